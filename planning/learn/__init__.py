"""The house's own figures, from what was measured, with their uncertainty. Pure."""

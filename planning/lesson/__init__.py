"""The day of a lesson: when, in which order, with which trigger. Pure, on top of physics."""

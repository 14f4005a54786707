"""Planned sets in the back room."""

from planning.admin import lesson, pictures, print_action, readings, sets

__all__ = ["lesson", "pictures", "print_action", "readings", "sets"]

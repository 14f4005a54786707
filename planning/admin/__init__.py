"""Planned sets in the back room."""

from planning.admin import after, lesson, pictures, print_action, readings, sets

__all__ = ["after", "lesson", "pictures", "print_action", "readings", "sets"]

"""Planned sets in the back room."""

from planning.admin import lesson, print_action, readings, sets

__all__ = ["lesson", "print_action", "readings", "sets"]

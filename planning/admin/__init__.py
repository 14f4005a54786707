"""Planned sets in the back room."""

from planning.admin import print_action, readings, sets

__all__ = ["print_action", "readings", "sets"]

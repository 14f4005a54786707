"""Planned sets in the back room."""

from planning.admin import readings, sets

__all__ = ["readings", "sets"]

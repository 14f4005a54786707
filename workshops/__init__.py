"""The records of a house that teaches on location, and its site."""

__version__ = "0.6.0"

"""The whole site in one file, and back: used by the commands of that name."""

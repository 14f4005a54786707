"""What else a process of the server starts with; an app adds its own in ``ready``."""

from collections.abc import Callable

ALSO: list[Callable[[], None]] = []

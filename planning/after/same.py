"""Whether two files are one frame: copied under another name, made anew by a converter, or told of
by a table as well as by the picture. Pure.

Two frames of one body cannot share a file name within a second, nor, at any speed a strobe can
follow, a hundredth of a second. A clock that is written in whole seconds or tenths tells nothing
under another name: then bursts share it.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

TENTH_US = 100_000
ALIKE_RATIO = 0.1  # "0.8" for 10/13, and what converters round; a third of a stop is 0.26


@dataclass(frozen=True)
class Looks:
    """What a frame is known by; ``name`` is its file's without folders."""

    name: str
    body: str
    clock_at: datetime | None
    figures: tuple[float | None, ...]  # shutter, f-number, ISO


class Known:
    """The frames there are, asked for those that a file repeats."""

    def __init__(self, there: Iterable[tuple[Looks, str]]):
        self._by_second: dict[datetime, list[tuple[Looks, str]]] = {}
        for looks, mark in there:
            self.add(looks, mark)

    def add(self, looks: Looks, mark: str) -> None:
        if looks.clock_at is not None:
            self._by_second.setdefault(_second(looks.clock_at), []).append((looks, mark))

    def mark(self, looks: Looks) -> str:
        """Return the mark of the frame that a file repeats, empty for none."""
        if looks.clock_at is None:
            return ""
        there = self._by_second.get(_second(looks.clock_at), ())
        return next((mark for other, mark in there if same(looks, other)), "")


def same(one: Looks, other: Looks) -> bool:
    """Return whether two files are of one frame; without a time never."""
    if one.clock_at is None or other.clock_at is None or not _one_body(one.body, other.body):
        return False
    if not all(map(_alike, one.figures, other.figures)):
        return False
    if one.clock_at == other.clock_at and one.clock_at.microsecond % TENTH_US:
        return True
    if one.name.casefold() != other.name.casefold():
        return False
    parted = one.clock_at.microsecond and other.clock_at.microsecond  # a converter may drop it
    return _second(one.clock_at) == _second(other.clock_at) and (
        not parted or one.clock_at == other.clock_at
    )


def _second(at: datetime) -> datetime:
    return at.replace(microsecond=0)


def _one_body(one: str, other: str) -> bool:
    """A table may know the serial number a maker hides, and the picture does not state."""
    return one == other or _begins(one, other) or _begins(other, one)


def _begins(whole: str, start: str) -> bool:
    return bool(start) and whole.startswith(f"{start} ")


def _alike(one: float | None, other: float | None) -> bool:
    return one is None or other is None or math.isclose(one, other, rel_tol=ALIKE_RATIO)

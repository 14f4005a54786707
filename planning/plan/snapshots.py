"""Forecast snapshots of one place: which hold for which hours, and what a newer one changed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

SAME = 1e-9  # figures this near are one


class Snapshot(Protocol):
    """What is asked of a forecast here."""

    valid_from: datetime
    valid_to: datetime
    taken_at: datetime


Span = tuple[datetime, datetime]


@dataclass(frozen=True)
class Held:
    """A snapshot with the hours for which it is the newest there is."""

    snapshot: Snapshot
    hours: tuple[Span, ...]


@dataclass(frozen=True)
class Cover:
    held: tuple[Held, ...]  # the newest first
    open: tuple[Span, ...]  # hours nobody forecasts


def cover(snapshots: Sequence[Snapshot], start_at: datetime, end_at: datetime) -> Cover:
    """Return the newest snapshot for every hour of a span; of several the newest counts.

    ``snapshots`` come the newest first.
    """
    left: list[Span] = [(start_at, end_at)]
    held = []
    for one in snapshots:
        got, rest = [], []
        for begins, ends in left:
            first, last = max(begins, one.valid_from), min(ends, one.valid_to)
            if first >= last:
                rest.append((begins, ends))
                continue
            got.append((first, last))
            rest += [span for span in ((begins, first), (last, ends)) if span[0] < span[1]]
        left = rest
        if got:
            held.append(Held(one, tuple(got)))
    return Cover(tuple(held), tuple(left))


def change(before: float | None, now: float | None) -> float | None:
    """Return how far a figure moved; None where either is not known, 0 for the same."""
    if before is None or now is None:
        return None
    moved = now - before
    return 0.0 if abs(moved) < SAME else moved

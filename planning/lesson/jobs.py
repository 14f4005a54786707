"""Who holds the stands and who keeps the log while others shoot, shared out evenly."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Crew:
    """What is to be done beside shooting, and who of the house is there for it."""

    hands: int = 1  # stands and boxes that want somebody's hands
    helpers: tuple[str, ...] = ()  # of the house


@dataclass(frozen=True)
class Jobs:
    """Who does what in one slot."""

    holders: tuple[str, ...]  # fewer than ``hands`` where nobody else is free
    log: str  # empty: the instructor keeps it


def jobs(
    slots: Sequence[tuple[Mapping[str, str], Sequence[str]]], order: Sequence[str], crew: Crew
) -> list[Jobs]:
    """Return who holds and who keeps the log in each slot.

    A slot is (person by station, who is there). The house's helpers hold first, then
    attendees who neither shoot nor come next: whoever did the job least so far, and of those
    whoever stands nearest behind the ones shooting. The log is an attendee's, else that of a
    helper with empty hands. Over a round of n people each holds ``hands`` times and keeps the
    log once, where n is at least ``hands`` + 3; three people have one free at a time, two have
    one only while the last of them shoots.

    Source: the rotation of common practice: shooting, next, holding, log.
    """
    held, logged = Counter(), Counter()
    found = []
    for number, (shooting, present) in enumerate(slots):
        after = slots[number + 1][0] if number + 1 < len(slots) else {}
        busy = {*shooting.values(), *after.values()}
        behind = _behind(order, [*shooting.values()])
        free = [name for name in behind if name in present and name not in busy]
        helping = crew.helpers[: crew.hands]
        wanted = crew.hands - len(helping)
        # sorted() keeps the order behind those shooting among equals.
        holding = sorted(free, key=lambda name: held[name])[:wanted]
        spare = [name for name in free if name not in holding]
        log = min(spare, key=lambda name: logged[name], default="")
        held.update(holding)
        logged.update([log] if log else [])
        idle = crew.helpers[crew.hands :]
        found.append(Jobs((*helping, *holding), log or (idle[0] if idle else "")))
    return found


def _behind(order: Sequence[str], shooting: Sequence[str]) -> list[str]:
    """The people in their order, beginning after the last of those who shoot."""
    at = [order.index(name) for name in shooting if name in order]
    first = max(at) + 1 if at else 0
    return [*order[first:], *order[:first]]

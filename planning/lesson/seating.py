"""Who stands where in one slot of a set with stations: nobody twice, no trigger twice."""

from collections import Counter
from collections.abc import Callable, Sequence
from math import ceil
from typing import Protocol, TypeVar


class Triggered(Protocol):
    """Whoever shoots, and by what the lamps fire; an empty text is shared with nobody."""

    @property
    def name(self) -> str: ...

    @property
    def trigger(self) -> str: ...


One = TypeVar("One", bound=Triggered)


def seated(
    here: Sequence[One], places: int, wants: Callable[[One], Sequence[str]]
) -> dict[str, One]:
    """Return who stands at which station: as many as can be filled, earlier people first.

    A trigger is at one station at a time: whoever shares it with somebody seated waits.

    Source: a matching by augmenting paths (Berge 1957).
    """
    at: dict[str, One] = {}

    def finds(one: One, tried: set[str]) -> bool:
        # A free station first: nobody changes places without need.
        for place in sorted(wants(one), key=lambda place: place in at):
            if place in tried:
                continue
            tried.add(place)
            if place not in at or finds(at[place], tried):
                at[place] = one
                return True
        return False

    in_use: set[str] = set()
    for one in here:
        if len(at) == places:
            break
        if one.trigger not in in_use and finds(one, set()):
            in_use |= {one.trigger} - {""}
    return at


def pressing(owed: Counter[tuple[str, str]], places: int) -> set[str]:
    """Return the triggers that no slot can do without, if the turns are to end soonest.

    ``owed`` counts turns by (name, trigger). A slot takes one turn of a person, one of a
    trigger, and one of each station: no fewer slots than the largest of these three.

    Source: the bound of open-shop scheduling with unit times (Gonzalez and Sahni 1976).
    """
    by_trigger: Counter[str] = Counter()
    for (_name, trigger), turns in owed.items():
        by_trigger[trigger] += turns
    by_trigger.pop("", None)
    least = max(ceil(sum(owed.values()) / places), *owed.values(), *by_trigger.values(), 0)
    return {trigger for trigger, turns in by_trigger.items() if turns == least}

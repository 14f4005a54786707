"""Whose turn comes when."""

from collections.abc import Sequence
from typing import TypeVar

from planning.physics.errors import OutOfRange

Person = TypeVar("Person")


def turn_order(people: Sequence[Person], set_index: int) -> list[Person]:
    """Return the people in the order of their turns on one set of the day.

    Each set starts one person later, so over n sets of n people everybody stands once in
    each place. Empty for nobody. Raises OutOfRange for a negative ``set_index``.

    Source: the cyclic Latin square, L[i][j] = (i + j) mod n.
    """
    if set_index < 0:
        raise OutOfRange(f"set_index must be 0 or more, not {set_index}")
    if not people:
        return []
    first = set_index % len(people)
    return [*people[first:], *people[:first]]

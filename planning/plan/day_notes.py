"""What is worth knowing of a day before it is ordered."""

from collections.abc import Iterator

from planning.lesson.day_inputs import Day
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _


def day_notes(day: Day) -> Iterator[Words]:
    """Return what is taken for known of the ways, and whether clocks change meanwhile."""
    yield from _clocks(day)
    yield from _unknown_ways(day)


def for_seats(seats: int) -> Words:
    return say(
        _("Nobody is booked yet: turns are reckoned for {seats} seats."), seats=(seats, "whole")
    )


def _clocks(day: Day) -> Iterator[Words]:
    """A set over the change seems an hour longer or shorter than it is."""
    change = day.end_at.utcoffset() - day.start_at.utcoffset()
    if change:
        told = (
            _("Clocks go forward {change} during this day. Sets still last their full minutes.")
            if change.total_seconds() > 0
            else _("Clocks go back {change} during this day. Sets still last their full minutes.")
        )
        yield say(told, change=(abs(change.total_seconds()) / 60.0, "min"))


def _unknown_ways(day: Day) -> Iterator[Words]:
    for number, one in enumerate(day.places):
        for other in day.places[number + 1 :]:
            if day.way_known_min(one.key, other.key) is None:
                yield say(
                    _(
                        "How long {one} to {other} takes is not known: taken as {way} and the "
                        "walks at both ends."
                    ),
                    one=(one.name, "text"),
                    other=(other.name, "text"),
                    way=(day.unknown_way_min, "min"),
                )

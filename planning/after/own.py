"""One attendee's own part of a set's tally: turns, frames, recipe, shutters, misfires."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from planning.after.frames import IN_TURN, Placed, SetFrames, Setting
from planning.after.results import SetTally

BY_HAND, BY_FILES = "counted", "files"


@dataclass(frozen=True)
class OwnMisfire:
    """A lamp that did not fire while somebody shot: why, with which trigger, how often."""

    cause: str  # as TallyEvent.Cause
    trigger: str  # asset tag
    count: int


@dataclass(frozen=True)
class OwnTally:
    """What somebody had and did on one set; None where nobody counted."""

    turns: int | None
    missed: int = 0
    frames: int | None = None
    frames_from: str = ""  # BY_HAND, or BY_FILES: those of the own turns
    at_recipe: int | None = None  # of the turns' frames, those that give the flash the recipe's
    shutters: tuple[tuple[float, int], ...] = ()  # of the turns, slowest first
    misfires: tuple[OwnMisfire, ...] = ()

    @property
    def says_something(self) -> bool:
        return self.turns is not None or self.frames is not None or bool(self.misfires)


def own_tally(
    tally: SetTally, placed: Iterable[Placed], booking_id: int, recipe: Setting | None
) -> OwnTally:
    """Return what is one attendee's alone of a set's tally and of the frames of its day.

    ``recipe`` is what was locked, None where nothing was. Frames read from files count before
    frames counted by hand; whether they gave the flash the recipe's exposure is told of the
    files alone, the shutter left free: it trims the background.
    """
    mine = next((one for one in tally.people if one.booking_id == booking_id), None)
    noted = any(one.turns or one.missed for one in tally.people)
    own = [
        one for one in placed if one.set_id == tally.set_id and one.shot.booking_id == booking_id
    ]
    taken = [one.shot.setting for one in own if one.where == IN_TURN]
    counted = mine.frames if mine else None
    return OwnTally(
        turns=(mine.turns if mine else 0) if noted else None,
        missed=mine.missed if mine else 0,
        frames=len(taken) if own else counted,
        frames_from=BY_FILES if own else BY_HAND if counted is not None else "",
        at_recipe=_at_recipe(tally.set_id, taken, recipe) if taken and recipe else None,
        shutters=_shutters(taken),
        misfires=_misfires(tally, booking_id),
    )


def _at_recipe(set_id: int, taken: list[Setting], recipe: Setting) -> int:
    settings = tuple(Counter(taken).most_common())
    return SetFrames(set_id, len(taken), settings=settings).at_flash(recipe)


def _shutters(taken: list[Setting]) -> tuple[tuple[float, int], ...]:
    counts = Counter(one.shutter_s for one in taken if one.shutter_s is not None)
    return tuple(sorted(counts.items(), reverse=True))


def _misfires(tally: SetTally, booking_id: int) -> tuple[OwnMisfire, ...]:
    counts = Counter(
        (one.cause, one.trigger) for one in tally.misfires if one.booking_id == booking_id
    )
    return tuple(OwnMisfire(*what, count) for what, count in counts.items())

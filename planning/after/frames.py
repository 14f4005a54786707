"""Frames by set and turn: from true time and owner to whose turn it was, and what was set.

A fire-only trigger leaves the Exif flash bit at "not fired", so nothing here asks it: a frame
counts as flashed where it was taken in its owner's turn, or by the house before the first turn,
with a shutter no faster than the group's sync.
"""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

# A set that nobody noted begins and ends about when it was planned: common practice, no source.
PLANNED_MARGIN = timedelta(minutes=15)
NOTED_SLACK = timedelta(minutes=1)  # the press comes a little before or after
SAME_STOPS = (
    1 / 12
)  # half the half of a third: marks no nearer than a sixth of a stop are told apart

IN_TURN, DEMONSTRATION, OUTSIDE, NO_SET = "in turn", "demonstration", "outside", ""


@dataclass(frozen=True)
class Setting:
    """What a camera was set to, each on its mark; None where the file does not say."""

    shutter_s: float | None
    f_number: float | None
    iso: float | None


@dataclass(frozen=True)
class Shot:
    """One frame as far as it is placed."""

    frame_id: int
    at: datetime | None  # true time; None: its file has no time
    booking_id: int | None  # whose, or whose body; None: the house's, or nobody knows
    setting: Setting
    settled: bool = False  # its set was chosen by hand
    set_id: int | None = None  # that set; None and settled: of no set


@dataclass(frozen=True)
class TurnSpan:
    """One turn from its first to its last moment, true time."""

    booking_id: int
    begins_at: datetime
    ends_at: datetime
    noted: bool = True  # False: planned, nobody noted it


@dataclass(frozen=True)
class SetSpan:
    """One set as long as it really lasted, true time, margin included, and its turns."""

    set_id: int
    begins_at: datetime
    ends_at: datetime
    turns: tuple[TurnSpan, ...] = ()
    sync_s: float | None = None  # of the group; None: there is no plan
    core_from_at: datetime | None = None  # without the margin
    core_to_at: datetime | None = None

    def holds(self, at: datetime) -> bool:
        return self.begins_at <= at <= self.ends_at

    def away(self, at: datetime) -> timedelta:
        """How far outside the set without its margins; nothing inside."""
        first, last = self.core_from_at or self.begins_at, self.core_to_at or self.ends_at
        return max(first - at, at - last, timedelta(0))

    def turn_of(self, booking_id: int, at: datetime) -> TurnSpan | None:
        for turn in self.turns:
            if turn.booking_id == booking_id and turn.begins_at <= at <= turn.ends_at:
                return turn
        return None


@dataclass(frozen=True)
class Placed:
    """Where one frame belongs."""

    shot: Shot
    set_id: int | None
    where: str  # IN_TURN, DEMONSTRATION, OUTSIDE, NO_SET
    flashed: bool = False


@dataclass(frozen=True)
class SetFrames:
    """The frames of one set. Settings are counted over turns and demonstration alone."""

    set_id: int
    frames: int  # in all: of turns, of the demonstration, other
    by_booking: dict[int, int] = field(default_factory=dict)  # in own turns
    demonstration: int = 0  # the house's, before the first turn
    other: int = 0  # outside own turns
    other_by_booking: dict[int, int] = field(default_factory=dict)
    flashed: int | None = None  # inferred; None: the group's sync is not known
    at_or_below_sync: int | None = None  # of all frames, other ones included: the most there can be
    by_hand: int = 0  # whose set was chosen by hand
    settings: tuple[tuple[Setting, int], ...] = ()  # most used first
    shutters: tuple[tuple[float, int], ...] = ()  # slowest first
    f_numbers: tuple[tuple[float, int], ...] = ()  # widest first
    isos: tuple[tuple[float, int], ...] = ()  # lowest first

    @property
    def taken(self) -> int:
        """In turns and demonstration: what the settings are counted over."""
        return sum(self.by_booking.values()) + self.demonstration

    def at_recipe(self, recipe: Setting) -> int:
        """How many were taken at exactly these marks."""
        return sum(count for setting, count in self.settings if _same(setting, recipe))

    def at_flash(self, recipe: Setting) -> int:
        """How many give the flash the recipe's exposure: aperture and ISO moved together count.

        The shutter is left free: it trims the background alone. Source: a guide number goes
        with the root of the speed, so N^2 / S alone tells (ISO 1230).
        """
        return sum(
            count
            for setting, count in self.settings
            if _flash_stops(setting) is not None
            and _flash_stops(recipe) is not None
            and abs(_flash_stops(setting) - _flash_stops(recipe)) < SAME_STOPS
        )


@dataclass(frozen=True)
class DayFrames:
    """All frames of a workshop, placed."""

    sets: tuple[SetFrames, ...]  # one for each set asked for, in that order, also without frames
    placed: tuple[Placed, ...]  # as the shots came

    @property
    def of_no_set(self) -> tuple[Shot, ...]:
        return tuple(one.shot for one in self.placed if one.set_id is None)


def frames_by_set(shots: Iterable[Shot], spans: Sequence[SetSpan]) -> DayFrames:
    """Return each frame with its set and turn, and what each set adds up to.

    A set chosen by hand holds. Else a frame belongs to the set whose span holds its true time:
    of several to the one with its owner's turn just then, then to the one that lay nearest
    without its margins, then to the one begun last.
    """
    placed = tuple(_placed(shot, spans) for shot in shots)
    by_set: dict[int, list[Placed]] = {span.set_id: [] for span in spans}
    for one in placed:
        if one.set_id in by_set:
            by_set[one.set_id].append(one)
    return DayFrames(
        sets=tuple(_sum(span, by_set[span.set_id]) for span in spans),
        placed=placed,
    )


def _placed(shot: Shot, spans: Sequence[SetSpan]) -> Placed:
    span = _span(shot, spans)
    if span is None:
        return Placed(shot, shot.set_id if shot.settled else None, NO_SET)
    where = _where(shot, span)
    flashed = where in (IN_TURN, DEMONSTRATION) and _no_faster(shot.setting, span.sync_s)
    return Placed(shot, span.set_id, where, flashed)


def _span(shot: Shot, spans: Sequence[SetSpan]) -> SetSpan | None:
    if shot.settled:
        return next((one for one in spans if one.set_id == shot.set_id), None)
    if shot.at is None:
        return None
    at = shot.at
    holding = [one for one in spans if one.holds(at)]
    return min(
        holding,
        key=lambda one: (
            shot.booking_id is None or one.turn_of(shot.booking_id, at) is None,
            one.away(at),
            -one.begins_at.timestamp(),
        ),
        default=None,
    )


def _where(shot: Shot, span: SetSpan) -> str:
    if shot.at is None:
        return OUTSIDE
    if shot.booking_id is not None:
        return IN_TURN if span.turn_of(shot.booking_id, shot.at) else OUTSIDE
    first_at = min((turn.begins_at for turn in span.turns), default=None)
    return DEMONSTRATION if first_at is None or shot.at < first_at else OUTSIDE


def _no_faster(setting: Setting, sync_s: float | None) -> bool:
    if sync_s is None or setting.shutter_s is None:
        return False
    return math.log2(setting.shutter_s / sync_s) > -SAME_STOPS


def _sum(span: SetSpan, placed: Sequence[Placed]) -> SetFrames:
    taken = [one for one in placed if one.where in (IN_TURN, DEMONSTRATION)]
    other = [one for one in placed if one.where == OUTSIDE]
    settings = Counter(one.shot.setting for one in taken)
    known = span.sync_s is not None
    return SetFrames(
        set_id=span.set_id,
        frames=len(placed),
        by_booking=dict(Counter(one.shot.booking_id for one in taken if one.where == IN_TURN)),
        demonstration=sum(one.where == DEMONSTRATION for one in taken),
        other=len(other),
        other_by_booking=dict(
            Counter(one.shot.booking_id for one in other if one.shot.booking_id is not None)
        ),
        flashed=sum(one.flashed for one in placed) if known else None,
        at_or_below_sync=(
            sum(_no_faster(one.shot.setting, span.sync_s) for one in placed) if known else None
        ),
        by_hand=sum(one.shot.settled for one in placed),
        settings=tuple(settings.most_common()),
        shutters=_counted(taken, "shutter_s", slowest_first=True),
        f_numbers=_counted(taken, "f_number"),
        isos=_counted(taken, "iso"),
    )


def _counted(
    taken: Sequence[Placed], name: str, *, slowest_first: bool = False
) -> tuple[tuple[float, int], ...]:
    counts = Counter(
        value for one in taken if (value := getattr(one.shot.setting, name)) is not None
    )
    return tuple(sorted(counts.items(), reverse=slowest_first))


def _flash_stops(setting: Setting) -> float | None:
    if setting.f_number is None or setting.iso is None:
        return None
    return 2 * math.log2(setting.f_number) - math.log2(setting.iso / 100.0)


def _same(one: Setting, other: Setting) -> bool:
    """Whether two settings are the same marks; what one of them does not say is not the same."""
    pairs = (
        (one.shutter_s, other.shutter_s, 1),
        (one.f_number, other.f_number, 2),
        (one.iso, other.iso, 1),
    )
    return all(
        a is not None and b is not None and abs(stops * math.log2(a / b)) < SAME_STOPS
        for a, b, stops in pairs
    )

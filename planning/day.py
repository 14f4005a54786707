"""A workshop's day -> what the page of its order shows: today's plan beside the proposal."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from planning.drawings.day import Block, day_columns
from planning.figures import Figures
from planning.lesson.day import Placed, PlacedBreak, Proposal, best_day, finish_today_at, placed_at
from planning.lesson.day_check import check_day, in_order
from planning.lesson.day_inputs import Day, later
from planning.models import PlannedSet
from planning.plan.day_words import fault_words, reasons, relaxed_words
from planning.plan.words import Words
from planning.selectors.day import WorkshopDay
from planning.sheets.options import print_options
from workshops.models import House

SECOND_MIN = 1 / 60


@dataclass(frozen=True)
class Row:
    """One set: as planned today, as proposed, and why."""

    record: PlannedSet
    today: Placed
    proposed: Placed
    why: tuple[Words, ...]
    breaks_before: tuple[PlacedBreak, ...]

    @property
    def moves(self) -> bool:
        """Whether taking the proposal over changes anything of the set."""
        kept = (self.record.start_at, self.record.end_at)
        return kept != (self.proposed.start_at, self.proposed.end_at)

    @property
    def start_iso(self) -> str:
        return self.proposed.start_at.astimezone(UTC).isoformat()

    @property
    def seen_iso(self) -> str:
        return self.record.changed_at.isoformat()


@dataclass(frozen=True)
class ShownDay:
    found: WorkshopDay
    say: Figures
    proposal: Proposal
    rows: tuple[Row, ...]
    breaks_after: tuple[PlacedBreak, ...]
    faults: tuple[Words, ...]  # of today's plan
    near_faults: tuple[Words, ...]  # of the day that comes nearest, where none fits
    relaxed: tuple[Words, ...]
    shoot_min: float  # of the sets that want a light
    lit_today_min: float
    lit_min: float
    finish_today_at: datetime
    drawn: SafeString

    @property
    def is_better(self) -> bool:
        """Whether the proposal holds where today's plan does not, has more light or ends sooner."""
        if not self.proposal.fits:
            return False
        gained = self.lit_min - self.lit_today_min
        sooner = self.proposal.finish_at < self.finish_today_at
        return bool(self.faults) or gained > SECOND_MIN or (abs(gained) <= SECOND_MIN and sooner)

    @property
    def can_take(self) -> bool:
        return self.is_better and any(row.moves for row in self.rows)


@lru_cache(maxsize=64)
def _best(day: Day) -> Proposal:
    """The same day has the same best order, so it is looked for once."""
    return best_day(day)


def shown_day(found: WorkshopDay, house: House, timezone_name: str) -> ShownDay:
    """Return one day with its proposal; call it in the house's language."""
    say = print_options(house).figures(timezone_name)
    day, proposal = found.day, _best(found.day)
    today = [placed_at(one, found.starts[one.key]) for one in in_order(day, found.starts)]
    records = {one.pk: one for one in found.records}
    by_key = {one.one.key: one for one in today}
    told = reasons(day, proposal)
    rows, from_at = [], day.start_at
    for placed in proposal.placed:
        rests = [one for one in proposal.breaks if from_at <= one.start_at < placed.start_at]
        key, from_at = placed.one.key, placed.start_at
        rows.append(Row(records[key], by_key[key], placed, told[key], tuple(rests)))
    wants = [one for one in today if one.light_min is not None]
    return ShownDay(
        found=found,
        say=say,
        proposal=proposal,
        rows=tuple(rows),
        breaks_after=tuple(one for one in proposal.breaks if one.start_at >= from_at),
        faults=_faults(found, found.starts),
        near_faults=tuple(fault_words(day, one) for one in proposal.faults),
        relaxed=tuple(relaxed_words(one) for one in proposal.relaxed),
        shoot_min=sum(one.one.shoot_min for one in wants),
        lit_today_min=sum(one.light_min for one in wants),
        lit_min=sum(one.light_min or 0.0 for one in proposal.placed),
        finish_today_at=finish_today_at(day) or _last_out_at(day, today[-1]),
        drawn=mark_safe(_drawn(found, today, proposal, say)),  # the drawing escapes its texts
    )


def _last_out_at(day: Day, last: Placed) -> datetime:
    """When a plan that does not hold would be over: out from its last set, and the closing."""
    return later(
        last.end_at, timedelta(minutes=day.place(last.one.place).walk_min + day.closing_min)
    )


def _faults(found: WorkshopDay, starts: dict[int, datetime]) -> tuple[Words, ...]:
    return tuple(fault_words(found.day, one) for one in check_day(found.day, starts))


def _drawn(found: WorkshopDay, today: list[Placed], proposal: Proposal, say: Figures) -> str:
    heading = _("Proposal") if proposal.fits else _("Nearest, does not fit")
    columns = [(_("Today’s plan"), [_block(one) for one in today])]
    if proposal.placed:
        rests = [Block(one.rest.title, one.start_at, one.end_at) for one in proposal.breaks]
        columns.append((heading, [*map(_block, proposal.placed), *rests]))
    blocks = [block for _heading, column in columns for block in column]
    return day_columns(
        columns,
        say,
        start_at=min([found.day.start_at, *(one.start_at for one in blocks)]),
        end_at=max([found.day.end_at, *(one.end_at for one in blocks)]),
        title=_("The day to scale, time down"),
    )


def _block(placed: Placed) -> Block:
    shooting = placed.one.shooting(placed.start_at)
    return Block(
        placed.one.title,
        placed.start_at,
        placed.end_at,
        shooting=(shooting.start_at, shooting.end_at),
        lit=tuple(_lit(placed)),
    )


def _lit(placed: Placed) -> Iterable[tuple[datetime, datetime]]:
    for span in placed.one.light or ():
        begin, end = max(span.start_at, placed.start_at), min(span.end_at, placed.end_at)
        if begin < end:
            yield begin, end

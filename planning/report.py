"""A day compared -> what page and PDF show of it: summary and tables in the house's words."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.after.compared import SetComparison
from planning.after.seen import NOT_NOTED, Pair
from planning.after.strobes import PackDay, StrobeDay
from planning.after.summary import summary
from planning.after.totals import DayComparison, PersonDay
from planning.figures import Figures
from planning.models import TallyEvent
from planning.report_lines import Line, joined, set_lines, tags_words
from planning.templatetags import figures
from workshops.words import NO_BREAK, NOT_KNOWN


@dataclass(frozen=True)
class Caution:
    level: str
    words: str
    answer: str
    noted: bool


@dataclass(frozen=True)
class Told:
    """Something that happened, in somebody's own words."""

    when: str  # "set 2, 14:30"
    what: str
    words: str


@dataclass(frozen=True)
class SetShown:
    set_id: int
    title: str
    place: str
    reason: str
    lines: tuple[Line, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class Row:
    """A row of a table: its name, its cells as text, and a remark."""

    name: str
    cells: tuple[str, ...]
    remark: str = ""


@dataclass(frozen=True)
class Unnoted:
    """What was left unnoted of a set, by the name of the figure, for a link that notes it."""

    set_id: int
    title: str
    figures: tuple[tuple[str, str], ...]  # (figure, in words)


@dataclass(frozen=True)
class Report:
    """Everything the after report says."""

    summary: tuple[str, ...]
    sets: tuple[SetShown, ...]
    people: tuple[Row, ...]
    people_note: str  # of how many sets the sums are
    strobes: tuple[Row, ...]
    packs: tuple[Row, ...]
    misfires: tuple[Told, ...]
    causes: str
    near_misses: tuple[Told, ...]
    faults: tuple[Told, ...]
    notes: tuple[Told, ...]
    unnoted: tuple[Unnoted, ...]


def report(day: DayComparison, say: Figures, says: Sequence[Figures]) -> Report:
    """Return the report; ``says`` is how the house writes figures at the place of each set.

    Call it in the house's language.
    """
    sets = list(zip(day.sets, says, strict=True))
    clock = {one.number: own for one, own in sets}
    return Report(
        summary=tuple(say.words(words) for words in summary(day)),
        sets=tuple(_set(one, own) for one, own in sets),
        people=tuple(_person(one, day, say) for one in day.people),
        people_note=_people_note(day),
        strobes=tuple(_strobe(one, say) for one in day.strobes),
        packs=tuple(_pack(one, clock, say) for one in day.packs),
        misfires=tuple(_misfires(sets)),
        causes=_causes(day.causes),
        near_misses=tuple(_told(day.near_misses, clock)),
        faults=tuple(
            Told(f"{say.date(one.at)}, {say.clock(one.at)}", f"{one.tag} {one.kind}, {one.person}",
                 one.words or _("nothing more was written"))
            for one in day.faults
        ),
        notes=tuple(_told(day.notes, clock)),
        unnoted=tuple(_unnoted(day.sets)),
    )  # fmt: skip


def set_title(one: SetComparison) -> str:
    return _("Set %(number)s: %(title)s") % {"number": one.number, "title": one.title}


def _at(number: int, at: datetime, clock: dict[int, Figures]) -> str:
    return _("set %(number)s, %(time)s") % {"number": number, "time": clock[number].clock(at)}


def _set(one: SetComparison, say: Figures) -> SetShown:
    return SetShown(
        set_id=one.set_id,
        title=set_title(one),
        place=one.place,
        reason=one.reason,
        lines=tuple(set_lines(one, say)),
        cautions=tuple(
            Caution(
                _("STOP") if found.caution.level == "stop" else _("act"),
                say.words(found.caution.text),
                say.words(found.words),
                found.noted,
            )
            for found in one.cautions
        ),
    )


def _most_noted(day: DayComparison) -> tuple[int, int]:
    """Of how many sets turns and frames were noted, for whoever has most of them noted."""
    turns = max((one.turn_sets for one in day.people), default=0)
    return turns, max((one.frame_sets for one in day.people), default=0)


def _people_note(day: DayComparison) -> str:
    turns, frames = _most_noted(day)
    sets = len(day.sets)
    if turns == frames and turns in (0, sets):
        return ""
    told = {"turns": turns, "frames": frames, "sets": sets}
    return (
        _(
            "Sums are of the sets where the figure was noted, planned and actual alike: turns of "
            "%(turns)d of %(sets)d sets, frames of %(frames)d."
        )
        % told
    )


def _person(one: PersonDay, day: DayComparison, say: Figures) -> Row:
    remarks = []
    if one.behind:
        remarks.append(
            ngettext("%(n)d turn fewer", "%(n)d turns fewer", one.behind) % {"n": one.behind}
        )
    if one.missed:
        remarks.append(
            ngettext("called in vain once", "called in vain %(n)d times", one.missed)
            % {"n": one.missed}
        )
    turns, frames = _most_noted(day)
    if one.turn_sets < turns:
        words = ngettext("turns of %(n)d set", "turns of %(n)d sets", one.turn_sets)
        remarks.append(words % {"n": one.turn_sets})
    if 0 < one.frame_sets < frames:
        words = ngettext("frames of %(n)d set", "frames of %(n)d sets", one.frame_sets)
        remarks.append(words % {"n": one.frame_sets})
    for number, counted, files in one.apart:
        told = {"number": number, "counted": say.number(counted), "files": files}
        remarks.append(_("set %(number)d: %(counted)s counted, %(files)d by the files") % told)
    cells = (*_counts(one.turns, say), *_counts(one.frames, say), str(one.misfires or NOT_KNOWN))
    return Row(one.name, cells, "; ".join(remarks))


def _counts(pair: Pair, say: Figures) -> tuple[str, str]:
    """Return planned and actual of a count, the source beside the actual one."""
    actual = _(NOT_NOTED) if pair.actual is None else say.number(pair.actual)
    return say.number(pair.planned), joined(actual, pair.sources)


def _strobe(one: StrobeDay, say: Figures) -> Row:
    charge = share_words(one.charge.actual, one.within_share, say)
    cells = (
        *_counts(one.flashes, say),
        *_counts(one.full_power, say),
        figures.share(one.charge.planned, say),
        joined(charge, one.charge.sources),
        tags_words(pack.tag for pack in one.packs) or NOT_KNOWN,
        NOT_KNOWN if one.swaps is None else say.number(one.swaps),
    )
    return Row(one.strobe, cells)


def share_words(share: float | None, within: float, say: Figures) -> str:
    """Return a share read off a pack with how near it can be told: "62 % ±3"."""
    if share is None:
        return _(NOT_NOTED)
    return f"{figures.share(share, say)} ±{say.number(100 * within)}"


def _pack(one: PackDay, clock: dict[int, Figures], say: Figures) -> Row:
    """The readings of a pack in a line: "set 1: octa 100 %, 38 %"."""
    stays: dict[tuple[int, str], list[str]] = {}
    for read in one.reads:
        shown = _(NOT_NOTED) if read.share is None else figures.share(read.share, say)
        if read.at is not None:
            shown = f"{clock[read.set_number].clock(read.at)}{NO_BREAK}{shown}"
        stays.setdefault((read.set_number, read.light), []).append(shown)
    told = [
        _("set %(number)s, %(light)s: %(shares)s")
        % {"number": number, "light": figures.short(light, 24), "shares": ", ".join(shares)}
        for (number, light), shares in stays.items()
    ]
    used = share_words(one.used, one.within_share, say)
    left = _(NOT_NOTED) if one.left is None else figures.share(one.left, say)
    remark = ngettext("charged in between", "charged %(n)d times in between", one.recharges)
    return Row(
        one.tag,
        ("; ".join(told), used, left),
        remark % {"n": one.recharges} if one.recharges else "",
    )


def _misfires(sets: Iterable[tuple[SetComparison, Figures]]) -> Iterator[Told]:
    for one, say in sets:
        for misfire in one.misfires:
            when = _("set %(number)s, %(time)s")
            what = (misfire.attendee, misfire.trigger, misfire.light)
            cause = _cause(misfire.cause)
            yield Told(
                when % {"number": one.number, "time": say.clock(misfire.at)},
                ", ".join(part for part in what if part),
                f"{cause}: {misfire.notes}" if misfire.notes else cause,
            )


def _cause(cause: str) -> str:
    return str(dict(TallyEvent.Cause.choices).get(cause, cause))


def _causes(causes: Sequence[tuple[str, int]]) -> str:
    return "; ".join(f"{count} × {_cause(cause)}" for cause, count in causes)


def _told(rows, clock: dict[int, Figures]) -> Iterator[Told]:
    for one in rows:
        yield Told(_at(one.set_number, one.at, clock), "", one.words)


def _unnoted(sets: Sequence[SetComparison]) -> Iterator[Unnoted]:
    names = {
        "times": _("when it began and ended"),
        "turns": _("turns"),
        "frames": _("frames of everybody"),
        "flashes": _("flashes of every lamp"),
        "packs": _("what the packs showed"),
        "recipe": _("the recipe"),
        "base": _("the base reading"),
        "gusts": _("gusts"),
        "sky": _("the sky"),
    }
    for one in sets:
        if one.missing:
            yield Unnoted(
                one.set_id, set_title(one), tuple((name, names[name]) for name in one.missing)
            )

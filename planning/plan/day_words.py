"""The day's order in sentences: why a set stands where it stands, what gave way, what is broken."""

from collections.abc import Iterator, Mapping
from datetime import timedelta

from planning.lesson import day_check as check
from planning.lesson.day import Given, Placed, Proposal
from planning.lesson.day_check import Fault
from planning.lesson.day_inputs import Day, WantedSun, later
from planning.lesson.day_relax import ALL, Relaxed
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

SECOND_MIN = 1 / 60
WAIT_MIN = 10.0  # less than that is no waiting worth a word


def sun_words(wanted: WantedSun) -> Words:
    """Return where a set wants the sun: "the sun stands 205° to 240°, 5° to 25° high"."""
    arc = wanted.from_deg is not None
    low, high = wanted.low_deg is not None, wanted.high_deg is not None
    ends = {name: getattr(wanted, f"{name}_deg") for name in ("from", "to", "low", "high")}
    figures = {name: (value, "deg") for name, value in ends.items() if value is not None}
    if arc and low and high:
        return say(_("the sun stands {from} to {to}, {low} to {high} high"), **figures)
    if arc and low:
        return say(_("the sun stands {from} to {to}, {low} or higher"), **figures)
    if arc and high:
        return say(_("the sun stands {from} to {to}, no higher than {high}"), **figures)
    if arc:
        return say(_("the sun stands {from} to {to}"), **figures)
    if low and high:
        return say(_("the sun stands {low} to {high} high"), **figures)
    if low:
        return say(_("the sun stands {low} or higher"), **figures)
    return say(_("the sun stands no higher than {high}"), **figures)


def reasons(day: Day, proposal: Proposal) -> dict[int, tuple[Words, ...]]:
    """Return why each set stands where it stands, and what it gives up, by its key."""
    titles = {one.key: one.title for one in day.sets}
    given = {one.key: one for one in proposal.given}
    told = {}
    for number, placed in enumerate(proposal.placed):
        before = proposal.placed[number - 1] if number else None
        lines = [*_pin(placed), *_light(placed), *_limits(day, placed)]
        if not lines:
            lines = [_nothing(placed, before, number == len(proposal.placed) - 1)]
        if placed.lost_min >= SECOND_MIN and proposal.fits:
            lines.append(_gave(placed, given.get(placed.one.key), titles))
        told[placed.one.key] = (*lines, *_wait(day, proposal, placed, before))
    return told


def _pin(placed: Placed) -> Iterator[Words]:
    if placed.one.pinned and placed.start_at == placed.one.start_at:
        yield say(_("Kept at {at}, where it is pinned."), at=(placed.start_at, "clock"))


def _light(placed: Placed) -> Iterator[Words]:
    if placed.light_min is None or placed.one.wanted is None:
        return
    figures = {
        "sun": (sun_words(placed.one.wanted), "words"),
        "got": (placed.light_min, "whole"),
        "shoot": (placed.one.shoot_min, "min"),
        "at": (placed.one.shooting(placed.start_at).start_at, "clock"),
    }
    if not placed.one.light:
        yield say(_("It wants to be when {sun}: that does not happen in this day."), **figures)
    elif placed.lost_min < SECOND_MIN:
        yield say(
            _("Pictures from {at}, when {sun}: all {shoot} in the light it wants."), **figures
        )
    elif placed.light_min >= SECOND_MIN:
        yield say(
            _("Pictures from {at}; it wants {sun}: {got} of {shoot} in that light."), **figures
        )
    else:
        yield say(_("It wants to be when {sun}: none of its {shoot} are."), **figures)


def _limits(day: Day, placed: Placed) -> Iterator[Words]:
    one = placed.one
    walk = timedelta(minutes=day.place(one.place).walk_min)
    for span in one.dry or ():
        out_at = later(placed.end_at, walk)
        if span.start_at <= later(placed.start_at, -walk) and out_at <= span.end_at:
            if span.end_at < day.end_at:
                yield say(
                    _(
                        "Before the water: struck by {end}, past the low point by {out}; clear "
                        "by {by}."
                    ),
                    end=(placed.end_at, "clock"),
                    out=(out_at, "clock"),
                    by=(span.end_at, "clock"),
                )
            if span.start_at > day.start_at:
                yield say(
                    _("After the water: the way in is dry from {at}."),
                    at=(span.start_at, "clock"),
                )
    if one.latest_at is not None:
        yield say(
            _("Over at {end}; it must be over by {by}."),
            end=(placed.end_at, "clock"),
            by=(one.latest_at, "clock"),
        )
    if one.earliest_at is not None:
        yield say(_("Not before {at}."), at=(one.earliest_at, "clock"))


def _nothing(placed: Placed, before: Placed | None, last: bool) -> Words:
    if before is not None and before.one.place == placed.one.place:
        return say(
            _("Next to {other}, at the same place: no way between."),
            other=(before.one.title, "text"),
        )
    if placed.start_at == placed.one.start_at:
        return say(_("As planned: nothing asks for another hour."))
    if before is None:
        return say(_("First: nothing asks for another hour."))
    if last:
        return say(_("Last: nothing else asks for this hour."))
    return say(_("Here between the others: it asks for no hour of its own."))


def _gave(placed: Placed, given: Given | None, titles: Mapping[int, str]) -> Words:
    lost = {"lost": (placed.lost_min, "min")}
    if given is None:
        return say(_("Gives up {lost} of the light it wants."), **lost)
    if given.alone:
        return say(
            _("Without {lost} of its light: with the day to itself it would have no more."), **lost
        )
    in_any_case = given.alone_min >= SECOND_MIN
    figures = {
        "lost": (placed.lost_min - given.alone_min, "min"),
        "others": (", ".join(titles[key] for key in given.rivals), "text"),
        "more": (given.alone_min, "min"),
    }
    if given.rivals and in_any_case:
        return say(
            _(
                "Gives up {lost} of its light, or {others} would lose as much or more of theirs; "
                "{more} it would be without in any case."
            ),
            **figures,
        )
    if given.rivals:
        return say(
            _("Gives up {lost} of its light, or {others} would lose as much or more of theirs."),
            **figures,
        )
    if in_any_case:
        return say(
            _(
                "Gives up {lost}: in its best light the rest of the day would no longer fit; "
                "{more} it would be without in any case."
            ),
            **figures,
        )
    return say(
        _("Gives up {lost}: in its best light the rest of the day would no longer fit."), **figures
    )


def _wait(day: Day, proposal: Proposal, placed: Placed, before: Placed | None) -> Iterator[Words]:
    """Time nobody uses before a set, if it is worth a word."""
    if before is None:
        from_at = later(day.start_at, timedelta(minutes=day.intro_min))
        way_min = day.place(placed.one.place).walk_min
    else:
        from_at, way_min = before.end_at, day.way_min(before.one.place, placed.one.place)
    rests = sum(
        one.rest.minutes for one in proposal.breaks if from_at <= one.start_at < placed.start_at
    )
    free = (placed.start_at.timestamp() - from_at.timestamp()) / 60.0 - way_min - rests
    if free >= WAIT_MIN:
        yield say(_("{free} free before it."), free=(free, "min"))


def fault_words(day: Day, fault: Fault) -> Words:
    """Return what a day breaks: by which set, and by how many minutes."""
    sets = {one.key: one for one in day.sets}
    one, other = sets.get(fault.key), sets.get(fault.other)
    figures = {
        "over": (fault.minutes, "need_min"),
        "title": (one.title if one else fault.title, "text"),
        "other": (other.title if other else "", "text"),
    }
    if fault.kind == check.WAY and one and other and one.place != other.place:
        figures["way"] = (day.way_min(other.place, one.place), "need_min")
        return say(
            _("{title} begins {over} too early: after {other} the way takes {way}."), **figures
        )
    return say(_FAULTS[fault.kind], **figures)


_FAULTS = {
    check.BEGIN: _("{title} begins {over} before the welcome and the walk in are over."),
    check.FINISH: _("After {title} the day ends {over} late, with the walk out and the closing."),
    check.PIN: _("{title} stands {over} from where it is pinned."),
    check.SPAN: _("{title} stands {over} outside the hours it may have."),
    check.TIDE: _(
        "{title} is {over} in the hours when the way out is too near flooding: no day that goes."
    ),
    check.WAY: _("{title} begins {over} before {other} is over."),
    check.BREAK: _("No room for {title}: {over} are missing."),
}


def relaxed_words(one: Relaxed) -> Words:
    """Return what limits of one kind would have to give so that the day fits."""
    if one.minutes is None:
        return say(_NOT_ALONE[one.kind])
    return say(_WOULD_DO[one.kind], minutes=(float(one.minutes), "min"))


_WOULD_DO = {
    check.BREAK: _("It would fit with breaks that may begin {minutes} earlier or later."),
    check.FINISH: _("It would fit if the day ended {minutes} later."),
    check.BEGIN: _("It would fit if the day began {minutes} earlier."),
    check.SPAN: _("It would fit if the permitted hours were {minutes} wider at both ends."),
    check.PIN: _("It would fit if pinned sets might move by {minutes}."),
    check.WAY: _("It would fit if every way took {minutes} less."),
    check.TIDE: _(
        "It would fit if the water left the way free {minutes} longer at both ends. It gives "
        "nothing: move, shorten or leave out a set."
    ),
    ALL: _("It would fit if every limit but the water gave {minutes}."),
}
_NOT_ALONE = {
    check.BREAK: _("Moving the breaks alone does not make it fit."),
    check.FINISH: _("A later end alone does not make it fit."),
    check.BEGIN: _("An earlier begin alone does not make it fit."),
    check.SPAN: _("Wider permitted hours alone do not make it fit."),
    check.PIN: _("Moving pinned sets alone does not make it fit."),
    check.WAY: _("Shorter ways alone do not make it fit."),
    check.TIDE: _("The water alone is not what forbids it."),
}

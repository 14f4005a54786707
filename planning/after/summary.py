"""The day in a few sentences: what somebody wants to know before the tables."""

from collections.abc import Iterator, Sequence

from planning.after import strobes as heads
from planning.after.compared import SetComparison
from planning.after.seen import FROM_FRAMES
from planning.after.strobes import StrobeDay
from planning.after.totals import DayComparison
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

WORTH_MIN = 5.0  # a set within so much of its time kept it: common practice, no source
WORTH_STOPS = 0.5  # an estimate this far off is worth a word; a third is what a lens steps by


def summary(day: DayComparison) -> tuple[Words, ...]:
    """Return the sentences: times, batteries, turns, flashes, light, wind, what went wrong.

    Of a day nobody noted anything of there are none.
    """
    if day.is_blank:
        return ()
    return (
        *_times(day.sets),
        *batteries(day.strobes),
        *_turns(day),
        *_flashes(day),
        *_light(day.sets),
        *_wind(day.sets),
        *_trouble(day),
    )


def _times(sets: Sequence[SetComparison]) -> Iterator[Words]:
    known = [one for one in sets if one.minutes.over is not None]
    for one in known:
        number, over = (one.number, "whole"), one.minutes.over
        if over >= WORTH_MIN:
            yield say(_("Set {number} took {over} longer than planned."),
                      number=number, over=(over, "min"))  # fmt: skip
        elif over <= -WORTH_MIN:
            yield say(_("Set {number} took {under} less than planned."),
                      number=number, under=(-over, "min"))  # fmt: skip
        if (late := one.began.over) >= WORTH_MIN:
            yield say(_("Set {number} began {late} late."), number=number, late=(late, "min"))
    on_time = all(abs(one.minutes.over) < WORTH_MIN for one in known)
    if on_time and known and len(known) == len(sets):
        limit = (WORTH_MIN, "min")
        yield say(_("Every set took its planned time to within {limit}."), limit=limit)


def batteries(strobes: Sequence[StrobeDay]) -> Iterator[Words]:
    """Say of each kind of head whether one battery was enough; alike answers together."""
    enough = [one for one in strobes if one.verdict == heads.ENOUGH]
    silent = [one for one in strobes if one.verdict == heads.NOT_NOTED]
    if len(enough) > 1:
        used = max(one.most_used for one in enough)
        yield say(
            _("One battery a head was enough for {strobes}: {used} used at the most."),
            strobes=(", ".join(one.strobe for one in enough), "text"),
            used=(100 * used, "percent"),
        )
    for one in strobes:
        if one.verdict and one not in silent and not (one in enough and len(enough) > 1):
            yield _battery(one)
    if silent:
        names = ", ".join(one.strobe for one in silent)
        yield say(MESSAGES[heads.NOT_NOTED], strobes=(names, "text"))


def _battery(one: StrobeDay) -> Words:
    charges = one.charge.actual or 0.0
    figures = {
        "strobe": (one.strobe, "text"),
        "heads": (one.heads, "whole"),
        "count": (len(one.packs), "whole"),
        "used": (100 * one.most_used, "percent"),
        "charges": (charges, "tenths"),
        "percent": (100 * charges, "percent"),
    }
    message = MESSAGES[one.verdict]
    if one.heads > 1:
        message = FOR_SEVERAL.get(one.verdict, message)
    if one.verdict == heads.PARTLY and one.charge.actual is None:
        message = NEVER_TWICE
    return _filled(message, figures)


def _filled(message: str, figures: dict[str, tuple[object, str]]) -> Words:
    """Return the sentence with those of the figures that it names."""
    return say(message, **{name: one for name, one in figures.items() if f"{{{name}}}" in message})


MESSAGES = {
    heads.ENOUGH: _("One battery was enough for {strobe}: {used} used."),
    heads.WOULD_HAVE_BEEN: _(
        "One battery would have been enough for {strobe}: {count} used or charged anew, "
        "{percent} of one charge in all."
    ),
    heads.UNDECIDED: _(
        "{strobe}: {charges} charges, batteries used: {count}. Whether one a head would have been "
        "enough is too near to say."
    ),
    heads.NOT_ENOUGH: _(
        "One battery was not enough for {strobe}: {charges} charges, batteries used: {count}."
    ),
    heads.PARTLY: _(
        "Whether one battery was enough for {strobe} cannot be told, not every reading was noted: "
        "{charges} charges at the least, batteries used: {count}."
    ),
    heads.NOT_NOTED: _(
        "Whether one battery was enough cannot be told for {strobes}: no reading was noted."
    ),
}
FOR_SEVERAL = {
    heads.ENOUGH: _(
        "One battery a head was enough for the {heads} of {strobe}: {used} used at the most."
    ),
    heads.NOT_ENOUGH: _(
        "One battery a head was not enough for the {heads} of {strobe}: {charges} charges, "
        "batteries used: {count}."
    ),
}
NEVER_TWICE = _(
    "Whether one battery was enough for {strobe} cannot be told: no pack of it was read twice."
)


def _turns(day: DayComparison) -> Iterator[Words]:
    known = [one for one in day.people if one.behind is not None]
    by_behind: dict[int, list[str]] = {}
    for one in known:
        if one.behind:
            by_behind.setdefault(one.behind, []).append(one.name)
    for behind in sorted(by_behind):
        names = ", ".join(by_behind[behind])
        message = (
            _("{names}: 1 turn fewer than whoever had most.")
            if behind == 1
            else _("{names}: {behind} turns fewer than whoever had most.")
        )
        yield _filled(message, {"names": (names, "text"), "behind": (behind, "whole")})
    if len(known) > 1 and not by_behind:
        yield say(_("Everybody had equally many turns."))


def _flashes(day: DayComparison) -> Iterator[Words]:
    flashes = day.flashes
    if flashes.actual is None or not flashes.planned:
        return
    message = (
        _("At least {actual} flashes, by the frames, for the {planned} planned.")
        if FROM_FRAMES in flashes.sources
        else _("{actual} flashes for the {planned} planned.")
    )
    yield say(
        message,
        actual=(flashes.actual, "whole"),
        planned=(flashes.planned, "whole"),
    )


def _light(sets: Sequence[SetComparison]) -> Iterator[Words]:
    for one in sets:
        moved = one.base.moved_stops if one.base else None
        if moved is None or abs(moved) < WORTH_STOPS:
            continue
        message = (
            _("The base of set {number} was metered {stops} brighter than estimated.")
            if moved > 0
            else _("The base of set {number} was metered {stops} darker than estimated.")
        )
        yield say(message, number=(one.number, "whole"), stops=(abs(moved), "stops"))


def _wind(sets: Sequence[SetComparison]) -> Iterator[Words]:
    for one in sets:
        passed = [limit for limit in one.wind.limits if limit.passed]
        if passed:
            gravest = min(passed, key=lambda limit: ORDER.index(limit.what))
            yield say(
                _(
                    "A gust of {gust} on set {number} was above the limit of {light}: {what} from "
                    "{limit}."
                ),
                gust=(one.wind.gust.actual, "m_s"),
                number=(one.number, "whole"),
                light=(gravest.light, "text"),
                what=(say(gravest.what), "words"),
                limit=(gravest.gust_m_s, "limit_m_s"),
            )
        elif one.wind.gust.over is not None and one.wind.gust.over > 0:
            yield say(
                _("A gust of {gust} on set {number}, with {forecast} forecast."),
                gust=(one.wind.gust.actual, "m_s"),
                number=(one.number, "whole"),
                forecast=(one.wind.gust.planned, "m_s"),
            )


ORDER = (_("strike"), _("modifier off"), _("hold"), _("more ballast"))


def _trouble(day: DayComparison) -> Iterator[Words]:
    misfires = sum(count for _cause, count in day.causes)
    figures = (
        (len(day.near_misses), _("1 near miss noted."), _("{count} near misses noted.")),
        (misfires, _("1 misfire noted."), _("{count} misfires noted.")),
        (len(day.faults), _("1 unit came back with a fault."),
         _("{count} units came back with a fault.")),
    )  # fmt: skip
    for count, one, many in figures:
        if count == 1:
            yield say(one)
        elif count:
            yield say(many, count=(count, "whole"))

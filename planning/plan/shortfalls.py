"""What falls short: power, packs, hands, the model's minutes and the clock."""

import math
from collections import Counter
from collections.abc import Iterator

from planning.physics import constants as c
from planning.physics.flash import flash_tail_loss_stops
from planning.plan.inputs import LightInputs, SetInputs
from planning.plan.result import BatteryRow, Caution, Exposure, Light, Turn
from planning.plan.rota import OverRun, hands_wanted, over_run
from planning.plan.wellbeing import COMMON, MAKERS
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

LONG_RECYCLE_S = 2.0
LEAST_TURN_MIN = 2  # a shorter turn is none: common practice, no source
RE_METER_TURNS = 3.0  # light that moves within three turns is metered more often: common practice
POWER_WORDS = {
    "too weak": _("{light}: too weak; what helps stands under remedies."),
    "may be too weak": _("{light}: may be too weak; what helps stands under remedies."),
    "too strong": _("{light}: too strong; what helps stands under remedies."),
}


def power(
    inputs: SetInputs, exposure: Exposure, light: Light, given: LightInputs
) -> Iterator[Caution]:
    named = {"light": (light.name, "text")}
    if light.verdict in POWER_WORDS:
        yield Caution(
            light.verdict.replace(" ", "-"),
            "act",
            say(POWER_WORDS[light.verdict], **named),
            say(_("guide number and its spread")),
        )
    if not light.set_power:
        return
    if given.flash_duration_s:
        lost = flash_tail_loss_stops(exposure.start_s, given.flash_duration_s)
        if lost > c.SAME_STOPS:
            yield Caution(
                "flash-tail",
                "note",
                say(
                    _("{light}: near full its flash outlasts the shutter and loses {lost}."),
                    lost=(lost, "stops"),
                    **named,
                ),
                say(_("exponential tail of the flash, t0.1 at full power")),
            )
    yield from _pace(inputs, light, given)


def _pace(inputs: SetInputs, light: Light, given: LightInputs) -> Iterator[Caution]:
    """How fast the head can follow, and how hot it gets."""
    named = {"light": (light.name, "text")}
    recycle_s = (given.recycle_s or 0.0) * light.set_power
    if recycle_s > LONG_RECYCLE_S:
        yield Caution(
            "recycle",
            "note",
            say(
                _("{light}: about {recycle} between flashes at this power: wait for ready."),
                recycle=(recycle_s, "s"),
                **named,
            ),
            say(_("recycle time at full, in proportion")),
        )
    frames = inputs.frames_per_attendee * 10.0 / (inputs.turn_min + inputs.changeover_min)
    if given.overheat_flashes and frames > given.overheat_flashes / light.set_power:
        yield Caution(
            "overheat",
            "act",
            say(
                _(
                    "{light}: {frames} flashes in ten minutes against the maker's {limit}: slower, "
                    "or rest the head."
                ),
                frames=(frames, "whole"),
                limit=(math.floor(given.overheat_flashes / light.set_power), "whole"),
                **named,
            ),
            MAKERS,
        )


def packs(battery: tuple[BatteryRow, ...]) -> Iterator[Caution]:
    for row in battery:
        if row.batteries is not None and row.along is not None and row.batteries > row.along:
            yield Caution(
                "packs-short",
                "act",
                say(
                    _("{strobe}: {packs} packs wanted, {along} along: bring more, or use less."),
                    strobe=(row.strobe, "text"),
                    packs=(row.batteries, "whole"),
                    along=(row.along, "whole"),
                ),
                say(_("energy per flash and idle draw, health and cold at their low end")),
            )
        if row.swap_after_flashes is None:
            continue
        yield Caution(
            "battery-swap",
            "act",
            say(
                _("{strobe}: {packs} packs for this set, swap after about {flashes} flashes."),
                strobe=(row.strobe, "text"),
                packs=(row.batteries, "whole"),
                flashes=(row.swap_after_flashes, "whole"),
            ),
            say(_("energy per flash and idle draw, health and cold at their low end")),
        )


def hands(
    inputs: SetInputs, lights: tuple[Light, ...], rows: tuple[Turn, ...]
) -> Iterator[Caution]:
    """Two boxes to hold need two people: counted on the rota itself, where it has fewest free."""
    held = hands_wanted(lights)
    free = min((len(row.holders) for row in rows if not row.given), default=len(inputs.helpers))
    if held > free:
        yield Caution(
            "hands",
            "act",
            say(
                _(
                    "hands to hold lamps: {held} wanted, {hands} free beside who shoots and who is "
                    "next: another helper, or a lamp that stands alone."
                ),
                held=(held, "whole"),
                hands=(free, "whole"),
            ),
            COMMON,
        )


def time(inputs: SetInputs, exposure: Exposure, rows: tuple[Turn, ...]) -> Iterator[Caution]:
    if over := over_run(inputs, rows):
        yield Caution(
            "over-run", "act", _over_words(inputs, over), say(_("sum of the set's own minutes"))
        )
    model_min = inputs.demo_min + len({row.start_at for row in rows}) * inputs.turn_min
    if inputs.model_minutes_limit is not None and model_min > inputs.model_minutes_limit:
        yield Caution(
            "model-limit",
            "act",
            say(
                _("the model stands {minutes} before the camera and agreed to {limit}: a break."),
                minutes=(model_min, "min"),
                limit=(inputs.model_minutes_limit, "min"),
            ),
            say(_("what was agreed with the model")),
        )
    every_min = exposure.re_meter_min
    if every_min is not None and every_min < RE_METER_TURNS * inputs.turn_min:
        yield Caution(
            "re-meter",
            "act",
            say(
                _("light changes a third of a stop in {every}: meter the base again that often."),
                every=(max(every_min, 1.0), "min"),
            ),
            say(_("the daylight estimate over this set")),
        )


def _over_words(inputs: SetInputs, over: OverRun) -> Words:
    """Where it bites, and the way out that fits: shorter turns, a round less, or neither."""
    figures = {
        "last": (over.turns, "whole"),
        "all": (over.of, "whole"),
        "turn": (inputs.turn_min, "min" if inputs.turn_min.is_integer() else "tenth_min"),
        "at": (over.from_at, "clock"),
        "over": (over.over_min, "min"),
        "fit": (over.fit_min, "min"),
    }
    if over.fit_min >= LEAST_TURN_MIN and over.rounds_less:
        message = _(
            "with turns of {turn} the last {last} of {all} end after {at}, when the talk must "
            "begin, {over} over: make each {fit}, or one round less."
        )
    elif over.fit_min >= LEAST_TURN_MIN:
        message = _(
            "with turns of {turn} the last {last} of {all} end after {at}, when the talk must "
            "begin, {over} over: make each {fit}, or start earlier."
        )
    elif over.rounds_less:
        message = _(
            "with turns of {turn} the last {last} of {all} end after {at}, when the talk must "
            "begin, {over} over: one round less."
        )
    else:
        message = _(
            "with turns of {turn} the last {last} of {all} end after {at}, when the talk must "
            "begin, {over} over: a longer set, or another one for them."
        )
    return say(message, **figures)


def fair_share(inputs: SetInputs, rows: tuple[Turn, ...]) -> Iterator[Caution]:
    """Who comes too late or leaves too early for as many turns as the others; empty stations."""
    wanted = inputs.rounds * max(1, len(inputs.stations))
    had = Counter(row.attendee for row in rows)
    short = [one.name for one in inputs.attendees if had[one.name] < wanted]
    if short:
        yield Caution(
            "fewer-turns",
            "act",
            say(
                _(
                    "fewer turns than the others, for coming late or leaving early: {names}; who "
                    "is there comes first on the next set."
                ),
                names=(", ".join(short), "text"),
            ),
            say(_("who is here, and the set's own minutes")),
        )
    yield from _stations(inputs, rows)


def _stations(inputs: SetInputs, rows: tuple[Turn, ...]) -> Iterator[Caution]:
    """More stations than people; stations that stand empty because a trigger is at another."""
    units, slots = _awaited(inputs, rows)
    if units:
        yield Caution(
            "triggers-shared",
            "act",
            say(
                _(
                    "a trigger is at one station at a time, so that {slots} of the turns to come "
                    "leave a station empty: {units}; one more trigger, or one station less."
                ),
                slots=(slots, "whole"),
                units=(", ".join(sorted(units)), "text"),
            ),
            say(_("the workshop's kit list")),
        )
    if inputs.attendees and len(inputs.stations) > len(inputs.attendees):
        yield Caution(
            "stations-empty",
            "act",
            say(
                _(
                    "{stations} stations for {people} people: some stand empty in every turn; "
                    "leave one out."
                ),
                stations=(len(inputs.stations), "whole"),
                people=(len(inputs.attendees), "whole"),
            ),
            say(_("the set's own stations")),
        )


def _awaited(inputs: SetInputs, rows: tuple[Turn, ...]) -> tuple[set[str], int]:
    """Return the triggers somebody waits for while a station is empty, and in how many slots."""
    comes_at = {one.name: one.arrives_at for one in inputs.attendees}
    owed = [row for row in rows if not row.given]
    units: set[str] = set()
    slots = 0
    for at in sorted({row.start_at for row in owed}):
        beside = {row.attendee: row.trigger for row in owed if row.start_at == at}
        waiting = {
            row.trigger
            for row in owed
            if row.start_at > at
            and row.attendee not in beside
            and (comes_at.get(row.attendee) or at) <= at
        } & ({*beside.values()} - {""})
        if waiting and len(beside) < len(inputs.stations):
            units |= waiting
            slots += 1
    return units, slots


def points(inputs: SetInputs) -> Iterator[Caution]:
    """More than one teaching point on a set."""
    if len(inputs.points) > 1:
        yield Caution(
            "two-points",
            "note",
            say(_("two points on one set: fewer techniques leave more turns and more shooting.")),
            COMMON,
        )

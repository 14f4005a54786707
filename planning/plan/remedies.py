"""When a lamp or the lens does not fit: what really helps, in order, each with its number."""

import math
from collections.abc import Iterator

from planning.physics import constants as c
from planning.plan.exposure import SERIES_TOLERANCE, Settled
from planning.plan.inputs import SetInputs
from planning.plan.lights import Lamp, guide_number_spread_stops, needed_power, reach_m
from planning.plan.result import Remedy
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

LEAST_WORTH_STOPS = 0.05  # less than this prints as nothing
EXTRA_STOP = 1.0  # a face shaded by this much more leaves the flash something to do


def remedies(
    inputs: SetInputs,
    settled: Settled,
    lamps: tuple[Lamp, ...],
    *,
    shade_f_number: float | None,
    stops_per_10_min: float,
) -> tuple[Remedy, ...]:
    """Return what helps the lens and each lamp, most useful first; empty when all fits.

    A lamp is judged at the low end of its guide number. A higher ISO is never offered for
    power: while ambient sets the aperture it changes none. Source: common practice.
    """
    rows = [*_lens(inputs, settled)]
    for lamp in lamps:
        about = say(_("{light}: "), light=(lamp.given.name, "text")) if len(lamps) > 1 else Words()
        if lamp.reading_f_number <= 0.0:
            found = _already_lit(inputs, settled)
        else:
            power = needed_power(lamp.given, lamp.reading_f_number, settled.iso)
            short = math.log2(power) + guide_number_spread_stops(lamp.given)
            if math.log2(power) > c.SAME_STOPS or short > c.SAME_STOPS:
                found = _too_weak(inputs, settled, lamp, short, shade_f_number, stops_per_10_min)
            elif math.log2(lamp.given.least_power / power) > c.SAME_STOPS:
                found = _too_strong(settled, lamp, power)
            else:
                found = ()
        rows += [_about(about, remedy) for remedy in found]
    return tuple(rows)


def _about(lamp: Words, remedy: Remedy) -> Remedy:
    if not lamp:
        return remedy
    what = say(_("{lamp}{what}"), lamp=(lamp, "words"), what=(remedy.what, "words"))
    return Remedy(what, remedy.number, remedy.unit)


def _lens(inputs: SetInputs, settled: Settled) -> Iterator[Remedy]:
    closed = 2.0 * math.log2(settled.working_f_number / inputs.smallest_f_number)
    if closed > SERIES_TOLERANCE:
        yield Remedy(say(_("ND on the lens, at least")), closed, "stops")
        if inputs.stops_under > 0.0:
            less = min(closed, inputs.stops_under)
            yield Remedy(say(_("or work less under, by")), less, "stops")
    opened = 2.0 * math.log2(inputs.widest_f_number / settled.working_f_number)
    if opened > SERIES_TOLERANCE:
        yield Remedy(say(_("raise the ISO, by")), opened, "stops")


def _already_lit(inputs: SetInputs, settled: Settled) -> Iterator[Remedy]:
    if inputs.job == "fill":
        yield Remedy(say(_("the shadow side already stands where it is wanted: no fill")), None, "")
        return
    over = max(2.0 * math.log2(settled.face_f_number / settled.working_f_number), 0.0)
    yield Remedy(say(_("shade the face, at least by")), over + EXTRA_STOP, "stops")
    yield Remedy(say(_("or make it a fill set: base on the sunny side, stops under 0")), None, "")
    yield Remedy(say(_("or work further under, by")), over + EXTRA_STOP, "stops")


def _too_weak(
    inputs: SetInputs,
    settled: Settled,
    lamp: Lamp,
    short: float,
    shade_f_number: float | None,
    stops_per_10_min: float,
) -> Iterator[Remedy]:
    light, group = lamp.given, settled.group
    # The low end of the guide number is what has to make it.
    low = 2.0 ** -guide_number_spread_stops(light)
    nearer_m = reach_m(light, lamp.reading_f_number, low, settled.iso)
    if nearer_m is not None:
        yield Remedy(say(_("nearer: cord down to")), nearer_m, "m")
    yield Remedy(say(_("a deeper or undiffused modifier, worth")), short, "stops")
    yield Remedy(say(_("a second head beside it gives")), 1.0, "stops")
    if group.cost_stops > 0.0:
        faster = say(
            _("faster sync without the body of {name} gives"), name=(group.slowest, "text")
        )
        yield Remedy(faster, group.cost_stops, "stops")
    less = _less_under(settled, lamp, short)
    if LEAST_WORTH_STOPS < less <= inputs.stops_under:
        yield Remedy(say(_("work less under, by")), less, "stops")
    if stops_per_10_min < 0.0:
        wait_min = 10.0 * short / -stops_per_10_min
        yield Remedy(say(_("wait while the light falls")), wait_min, "min")
    if shade_f_number is not None:
        gain = 2.0 * math.log2(settled.working_f_number / shade_f_number)
        yield Remedy(say(_("backdrop and model both into shade saves")), gain, "stops")


def _less_under(settled: Settled, lamp: Lamp, short: float) -> float:
    """Stops to open so that the flash needed falls by ``short``, the other light unchanged."""
    working_2 = settled.working_f_number**2
    flash_2 = lamp.reading_f_number**2 * lamp.weight
    rest_2 = max(working_2 - flash_2, 0.0)
    return math.log2(working_2 / (rest_2 + flash_2 * 2.0**-short))


def _too_strong(settled: Settled, lamp: Lamp, power: float) -> Iterator[Remedy]:
    light = lamp.given
    over = math.log2(light.least_power / power)
    farther_m = reach_m(light, lamp.reading_f_number, light.least_power, settled.iso)
    if farther_m is not None:
        yield Remedy(say(_("farther: cord out to")), farther_m, "m")
    yield Remedy(say(_("a grid or a second layer of cloth, worth")), over, "stops")
    yield Remedy(say(_("ND or gel on the lamp, worth")), over, "stops")
    yield Remedy(
        say(_("a smaller head with the same least setting, about")),
        light.energy_ws * 2.0**-over,
        "ws",
    )
    yield Remedy(say(_("ND on the lens and a wider aperture, at least")), over, "stops")

"""Other ways to the wanted aperture, and what helps when the lamp does not fit."""

import itertools
import math
from dataclasses import replace

from planning.physics import constants as c
from planning.physics.exposure import f_mark, nearest_f_number
from planning.physics.flash import high_speed_loss_stops
from planning.physics.optics import circle_of_confusion_mm, depth_of_field_m
from planning.plan.ambient import Offsets, levels_at
from planning.plan.battery import flashes_per_battery
from planning.plan.exposure import SERIES_TOLERANCE, Settled, settle
from planning.plan.inputs import FilterInputs, SetInputs
from planning.plan.lights import FULL_POWER_SLACK, Lamp, key_lamp, needed_power, solve
from planning.plan.result import Option
from planning.plan.words import NOTHING, Words, say
from planning.plan.words import gettext_noop as _

MOST_STACKED = 3  # more glass than this vignettes and flares: common practice


def options(
    inputs: SetInputs, settled: Settled, lamps: tuple[Lamp, ...], shade: Settled | None
) -> tuple[Option, ...]:
    """Return the planned line, then ND, HSS and shade where a wider aperture is wanted.

    ``shade`` is what ``shade_line`` gives.
    """
    key = key_lamp(lamps)
    power = needed_power(key.given, key.reading_f_number, settled.iso) if key else 0.0
    rows = [_as_planned(inputs, settled, key, power)]
    wanted = inputs.wanted_f_number
    if wanted and wanted < settled.working_f_number * (1 - SERIES_TOLERANCE) and key:
        rows.append(_nd(inputs, settled, key, power, wanted))
        rows.append(_hss(inputs, settled, key, power, wanted))
    if shade and key and wanted:
        rows.append(_shade(inputs, shade))
    return tuple(rows)


def _option(
    inputs: SetInputs, key: Lamp | None, power: float, *, drawn_power: float | None = None, **fields
) -> Option:
    camera = inputs.camera
    near_m, far_m = depth_of_field_m(
        inputs.focal_mm,
        fields["camera_f_number"],
        inputs.camera_distance_m,
        circle_of_confusion_mm(camera.sensor_width_mm, camera.sensor_height_mm),
    )
    return Option(
        power=power,
        near_m=near_m,
        far_m=far_m if math.isfinite(far_m) else None,
        flashes_per_battery=flashes_per_battery(inputs, key.given, drawn_power or power)
        if key
        else None,
        **fields,
    )


def _reach(key: Lamp | None, power: float) -> Words:
    """Why the head cannot give this power; empty when it can."""
    if key is not None and power > FULL_POWER_SLACK:
        return say(_("the head is {short} short"), short=(math.log2(power), "stops"))
    if key is not None and 0.0 < power * FULL_POWER_SLACK < key.given.least_power:
        over = math.log2(key.given.least_power / power)
        return say(_("under the head's least power by {over}"), over=(over, "stops"))
    return NOTHING


def camera_refusal(inputs: SetInputs, settled: Settled) -> Words:
    """Why the lens cannot give the working aperture; empty when it can."""
    if settled.working_f_number > inputs.smallest_f_number * (1 + SERIES_TOLERANCE):
        return say(
            _("the lens closes to {mark} only: ND on the lens"),
            mark=(f_mark(inputs.smallest_f_number), "text"),
        )
    if settled.working_f_number < inputs.widest_f_number * (1 - SERIES_TOLERANCE):
        return say(
            _("the lens opens to {mark} only: raise the ISO"),
            mark=(f_mark(inputs.widest_f_number), "text"),
        )
    return NOTHING


def _as_planned(inputs: SetInputs, settled: Settled, key: Lamp | None, power: float) -> Option:
    reason = camera_refusal(inputs, settled) or _reach(key, power)
    return _option(
        inputs,
        key,
        power,
        name="as planned",
        camera_f_number=settled.working_f_number,
        meter_f_number=settled.working_f_number,
        shutter_s=settled.start_s,
        nd_stops=0.0,
        trigger="simple",
        feasible=not reason,
        reason=reason or say(_("any body, any trigger")),
    )


def best_stack(filters: tuple[FilterInputs, ...], stops: float, most_stops: float) -> float | None:
    """The sum of up to three filters nearest to ``stops`` and not over ``most_stops``; or None."""
    sums = {
        sum(one.stops for one in stack)
        for count in range(1, min(MOST_STACKED, len(filters)) + 1)
        for stack in itertools.combinations(filters, count)
    }
    fitting = [total for total in sums if total <= most_stops + SERIES_TOLERANCE]
    return min(fitting, key=lambda total: (abs(total - stops), total)) if fitting else None


def _nd(inputs: SetInputs, settled: Settled, key: Lamp, power: float, wanted: float) -> Option:
    """Same shutter, same power; the meter still reads the small aperture."""
    need = 2.0 * math.log2(settled.working_f_number / wanted)
    widest = 2.0 * math.log2(settled.working_f_number / inputs.widest_f_number)
    stack = best_stack(inputs.filters, need, widest)
    reason = _reach(key, power)
    feasible = not reason and stack is not None
    camera = nearest_f_number(settled.working_f_number * 2.0 ** (-(stack or need) / 2.0))
    if stack is None:
        reason = say(_("no ND of about {need} in the workshop's kit"), need=(need, "stops"))
    elif abs(stack - need) >= c.SAME_STOPS and not reason:
        reason = say(
            _("ND of {stack} is what there is against {need}: the aperture settles it at {mark}"),
            stack=(stack, "stops"),
            need=(need, "stops"),
            mark=(f_mark(camera), "text"),
        )
    return _option(
        inputs,
        key,
        power,
        name="nd",
        camera_f_number=camera,
        meter_f_number=settled.working_f_number,
        shutter_s=settled.start_s,
        nd_stops=need if stack is None else stack,
        trigger="simple",
        feasible=feasible,
        reason=reason or say(_("meter without the filter, shoot with it")),
    )


def _hss(inputs: SetInputs, settled: Settled, key: Lamp, power: float, wanted: float) -> Option:
    """A faster shutter instead of the filter: dearer, and for one camera system only."""
    body = inputs.camera
    wide = max(wanted, inputs.widest_f_number)
    thirds = round(6.0 * math.log2(settled.working_f_number / wide))
    room = math.floor(3.0 * math.log2(settled.start_s / body.fastest_shutter_s) + SERIES_TOLERANCE)
    steps = max(min(thirds, room), 0)
    shutter_s = settled.start_s * 2.0 ** (-steps / 3.0)
    camera = settled.working_f_number * 2.0 ** (-steps / 6.0)
    loss = high_speed_loss_stops(
        shutter_s, body.curtain_s or body.sync_s, key.given.hss_overhead_stops
    )
    # Never cheaper than ND at sync, which uses the whole flash.
    hss_power = max(power * 2.0 ** (loss - steps / 3.0), power)
    reason = _hss_refusal(inputs, key) or _reach(key, hss_power)
    told = say(_("right within {spread} until measured"), spread=(c.HSS_SPREAD_STOPS, "stops"))
    if steps < thirds and not reason:
        told = say(
            _("the body stops at its fastest shutter, so {mark}; {spread}"),
            mark=(f_mark(camera), "text"),
            spread=(told, "words"),
        )
    return _option(
        inputs,
        key,
        hss_power,
        name="hss",
        camera_f_number=camera,
        meter_f_number=camera,
        shutter_s=shutter_s,
        nd_stops=0.0,
        trigger="advanced",
        drawn_power=1.0,  # the pulses draw on the whole capacitor whatever the setting
        feasible=not reason,
        reason=reason or told,
    )


def _hss_refusal(inputs: SetInputs, key: Lamp) -> Words:
    if not key.given.hss:
        return say(_("{strobe} has no high-speed sync"), strobe=(key.given.strobe, "text"))
    system = inputs.camera.flash_system.casefold()
    if not any(t.advanced and t.fits.casefold() in ("", system) for t in inputs.triggers):
        return say(
            _("no advanced trigger for {camera} in the workshop's kit"),
            camera=(inputs.camera.name, "text"),
        )
    return NOTHING


def shade_line(inputs: SetInputs, settled: Settled, added: Offsets) -> Settled | None:
    """Return the camera's line with backdrop and subject both moved into open shade.

    None where nothing stands in the sun now, or shade would not open the aperture.
    """
    if not (inputs.subject_in_sun or inputs.backdrop_in_sun):
        return None
    shaded = replace(inputs, subject_in_sun=False, backdrop_in_sun=False)
    # What was metered in the sun says nothing of the shade.
    kept = (("subject", added.added("shade")), ("shade", added.added("shade")))
    if not inputs.backdrop_in_sun:
        kept += (("incident", added.added("incident")),)
    added = replace(added, stops=(*kept, ("sky", added.added("sky"))))
    levels = levels_at(shaded, inputs.start_at, added)
    line = settle(shaded, levels, settled.group, dimmest_ev100=math.inf)
    opened = line.working_f_number < settled.working_f_number * (1 - SERIES_TOLERANCE)
    return line if opened and line.method == settled.method else None


def _shade(inputs: SetInputs, line: Settled) -> Option:
    """The whole set moved out of the sun: less ambient to beat, so less flash and more aperture."""
    key = key_lamp(solve(inputs, line))
    power = needed_power(key.given, key.reading_f_number, line.iso)
    reason = camera_refusal(inputs, line) or _reach(key, power)
    return _option(
        inputs,
        key,
        power,
        name="shade",
        camera_f_number=line.working_f_number,
        meter_f_number=line.working_f_number,
        shutter_s=line.start_s,
        nd_stops=0.0,
        trigger="simple",
        feasible=not reason,
        reason=reason or say(_("backdrop and model both in shade")),
    )

"""SetInputs -> SetPlan: the one place where the formulas are put together."""

from dataclasses import replace
from datetime import datetime

from planning.physics.exposure import f_mark
from planning.physics.flash import gap_for_spill_m
from planning.plan import cautions, spoilers
from planning.plan.ambient import (
    Offsets,
    ambient_row,
    levels_at,
    local,
)
from planning.plan.battery import battery_row
from planning.plan.check import check
from planning.plan.exposure import Settled, settle
from planning.plan.group import Served, group_sync, own_lines, serve
from planning.plan.inputs import SetInputs
from planning.plan.ladder import correction, ladder, mix
from planning.plan.late import late_rows
from planning.plan.lights import (
    Lamp,
    key_lamp,
    light_row,
    needed_power,
    solve,
)
from planning.plan.low_light import BaseCurve, base_curve, re_meter_min, schedule
from planning.plan.options import camera_refusal, options, shade_line
from planning.plan.own import own_rows
from planning.plan.readings import offsets
from planning.plan.remedies import remedies
from planning.plan.result import Bearings, Exposure, SetHead, SetPlan, Turn
from planning.plan.rota import turns
from planning.plan.skies import sky_rows
from planning.plan.stand import stand_row
from planning.plan.sun_side import compass_deg, sun_row
from planning.plan.tones import tones
from planning.plan.water import water_plan

__all__ = ["evaluate"]

LEAST_GAP_STOPS = 3.0  # spill this far under the key no longer shows on a backdrop


def evaluate(inputs: SetInputs) -> SetPlan:
    """Return the whole plan of one set. The same inputs always give the same plan.

    Raises OutOfRange, naming the field and what to enter, for inputs no plan can stand on.
    """
    check(inputs)
    added = offsets(inputs)
    served = serve(inputs.attendees, inputs.triggers)
    base = base_curve(inputs, added)
    settled = settle(
        inputs,
        levels_at(inputs, inputs.start_at, added),
        group_sync(inputs, served),
        dimmest_ev100=base.dimmest_ev100,
    )
    lamps = solve(inputs, settled)
    lights = tuple(
        light_row(inputs, settled, lamp, lamps, stand_row(inputs, lamp.given)) for lamp in lamps
    )
    rota = turns(inputs, served, lights, base)
    exposure = _exposure(inputs, settled, lamps, added, served, rota, base)
    battery = tuple(
        battery_row(inputs, lamp.given, light) for lamp, light in zip(lamps, lights, strict=True)
    )
    sun = tuple(sun_row(inputs, at) for at in _instants(inputs))
    water = water_plan(inputs)
    return SetPlan(
        set=_head(inputs),
        sun=sun,
        ambient=tuple(ambient_row(inputs, at, added) for at in _instants(inputs)),
        exposure=exposure,
        lights=lights,
        battery=battery,
        tones=tones(inputs, settled, mix(inputs, settled, lamps), exposure.ladder),
        turns=rota,
        cautions=(
            *(replace(one, harm=True) for one in cautions.safety(inputs, lights, water)),
            *spoilers.picture(inputs, sun, exposure, lights, battery, rota),
        ),
        water=water,
        bearings=_bearings(inputs),
        late=late_rows(inputs, settled, lamps, added, rota, water),
        skies=sky_rows(inputs, settled, added, base.dimmest_ev100),
        own=own_rows(inputs, lights, battery),
    )


def _instants(inputs: SetInputs) -> tuple[datetime, datetime, datetime]:
    middle = inputs.start_at + (inputs.end_at - inputs.start_at) / 2
    return inputs.start_at, middle, inputs.end_at


def _head(inputs: SetInputs) -> SetHead:
    changed_at = inputs.inputs_changed_at
    return SetHead(
        id=inputs.id,
        title=inputs.title,
        workshop=inputs.workshop,
        location=inputs.location.name,
        start_at=local(inputs, inputs.start_at),
        end_at=local(inputs, inputs.end_at),
        channel=inputs.channel,
        job=inputs.job,
        revision=inputs.revision,
        inputs_changed_at=local(inputs, changed_at) if changed_at else None,
    )


def _bearings(inputs: SetInputs) -> Bearings:
    return Bearings(
        inputs.camera_facing_deg % 360.0,
        compass_deg(inputs, inputs.camera_facing_deg),
        inputs.location.declination_deg,
    )


def _exposure(
    inputs: SetInputs,
    settled: Settled,
    lamps: tuple[Lamp, ...],
    added: Offsets,
    served: tuple[Served, ...],
    rota: tuple[Turn, ...],
    base: BaseCurve,
) -> Exposure:
    key = key_lamp(lamps)
    key_power = needed_power(key.given, key.reading_f_number, settled.iso) if key else 0.0
    steps, end = ladder(inputs, settled, mix(inputs, settled, lamps), key_power)
    change = base.stops_per_10_min
    shade = shade_line(inputs, settled, added)
    row = ambient_row(inputs, inputs.start_at, added)
    return Exposure(
        method=settled.method,
        iso=settled.iso,
        sync_s=settled.group.sync_s,
        start_s=settled.start_s,
        base_kind=inputs.base_kind,
        placement_stops=inputs.placement_stops,
        base_f_number=settled.base_f_number,
        stops_under=inputs.stops_under,
        closed_for_flash_stops=settled.closed_for_flash_stops,
        working_f_number=settled.working_f_number,
        working_mark=f_mark(settled.working_f_number),
        ladder=steps,
        correction=correction(settled, lamps),
        schedule=schedule(inputs, settled, added, rota),
        options=options(inputs, settled, lamps, shade),
        remedies=remedies(
            inputs,
            settled,
            lamps,
            shade_f_number=shade.working_f_number if shade else None,
            stops_per_10_min=change,
        ),
        base_exact_f_number=settled.base_exact_f_number,
        base_source=row.subject_source if inputs.job == "fill" else row.source,
        face_ambient_f_number=settled.face_f_number,
        camera_fits=camera_refusal(inputs, settled),
        white_balance_k=inputs.white_balance_k,
        least_gap_m=_least_gap_m(key),
        ladder_end=end,
        re_meter_min=re_meter_min(change),
        stops_per_10_min=change,
        sync_cost_stops=settled.group.cost_stops,
        slowest_body=settled.group.slowest,
        own_lines=own_lines(
            inputs,
            served,
            settled.group,
            settled.start_s,
            settled.working_f_number,
            settled.iso,
        ),
    )


def _least_gap_m(key: Lamp | None) -> float | None:
    """How far behind the subject the key's spill is three stops down."""
    if key is None:
        return None
    reach_m = key.given.distance_m + key.given.source_offset_m
    return gap_for_spill_m(reach_m, LEAST_GAP_STOPS, key.given.source_diameter_m)

"""What of a plan rests on the house's own measurements, figure by figure."""

from planning.plan.inputs import LearnedInputs, SetInputs
from planning.plan.result import BatteryRow, Light, OwnRow
from planning.plan.words import Words, own_measurement, own_span, say
from planning.plan.words import gettext_noop as _


def own_rows(
    inputs: SetInputs, lights: tuple[Light, ...], battery: tuple[BatteryRow, ...]
) -> tuple[OwnRow, ...]:
    """Return the figures that were learned, each with its spread and how many readings it has."""
    rows = []
    for given, light, row in zip(inputs.lights, lights, battery, strict=True):
        named = {"light": (light.name, "text")}
        if light.guide_number_source == "own":
            rest = (given.guide_number_spread_stops, given.guide_number_readings)
            name = say(_("guide number of {light} (m, ISO 100)"), **named)
            rows.append(_row(name, light.guide_number_m, LearnedInputs(*rest), of_lamp=True))
        if given.flashes_readings:
            rest = (given.flashes_within_stops, given.flashes_readings)
            name = say(_("full-power flashes of one charge, {light}"), **named)
            rows.append(_row(name, row.flashes_at_full, LearnedInputs(*rest), of_lamp=True))
    if inputs.turn_own:
        name = say(_("minutes of one turn"))
        rows.append(_times(name, inputs.turn_min, inputs.turn_own, "tenths"))
    if inputs.frames_own:
        name = say(_("frames of one attendee"))
        rows.append(_times(name, float(inputs.frames_per_attendee), inputs.frames_own, "whole"))
    for sky in inputs.daylight:
        named = {"sky": (say(sky.sky), "words")}
        name = say(_("daylight beside the equations, sky {sky} (stops)"), **named)
        rows.append(_row(name, sky.moved_stops, sky.own))
    return tuple(rows)


def _row(name: Words, value: float, own: LearnedInputs, *, of_lamp: bool = False) -> OwnRow:
    told = own_measurement(own.readings, (own.within_stops, "tenths"))
    return OwnRow(name, value, "own", own.within_stops, own.readings, told, of_lamp)


def _times(name: Words, value: float, own: LearnedInputs, kind: str) -> OwnRow:
    factor = 2.0**own.within_stops
    told = own_span(own.readings, (value / factor, kind), (value * factor, kind))
    return OwnRow(name, value, "own", own.within_stops, own.readings, told)

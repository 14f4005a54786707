"""A tally sheet as it was typed in -> the lines that note it."""

from collections.abc import Iterator
from datetime import datetime
from functools import partial

from django.utils.translation import gettext as _

from planning.forms.tally_paper import WORDS, PaperForm
from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import station_names
from planning.services.packs import put_pack_in
from planning.services.paper import (
    Line,
    counted_in_all,
    last_pack_out,
    misfires_in_all,
    sky_once,
    strongest_gust,
    words_once,
)
from planning.services.recipes import lock_recipe
from planning.services.sets import record_reading
from planning.services.tally import note_began, note_ended, note_flashes, note_frames
from planning.services.turns import note_turn
from planning.sheets.tally import SWAP_BOXES


def paper_lines(form: PaperForm, now: datetime) -> list[Line]:
    """Return everything a valid form says, in the order in which it happened.

    What has no time of its own on paper was there from the beginning, or was known at the end:
    as typed, else as noted, else as planned; while that is still to come, as of now.
    """
    typed, tally = form.cleaned_data, form.tally
    planned_set = form.choices.planned_set
    began = typed["began_at"] or tally.began_at or _past(planned_set.start_at, now)
    ended = typed["ended_at"] or tally.ended_at or _past(planned_set.end_at, now)
    lines = [*_head_of_the_sheet(form, planned_set, began, ended)]
    turns = [line for row in form.people for line in _turns(form, row.key, planned_set)]
    lines += sorted(turns, key=lambda line: line.says["at"])
    for booking in form.choices.bookings:
        lines += _of_person(typed, booking, ended)
    for n, light in enumerate(form.choices.lights):
        lines += _of_head(typed, str(n), light, began, ended)
    for name, _label in WORDS:
        if typed[name]:
            lines.append(
                Line(name, words_once, {"words": typed[name], "near": name == "near", "at": ended},
                     {"words": name})
            )  # fmt: skip
    return lines


def _past(at: datetime, now: datetime) -> datetime | None:
    return at if at <= now else None


def _head_of_the_sheet(
    form: PaperForm, planned_set: PlannedSet, began: datetime | None, ended: datetime | None
) -> Iterator[Line]:
    typed = form.cleaned_data
    for name, service in (("began_at", note_began), ("ended_at", note_ended)):
        if typed[name]:
            yield Line(name, service, {"at": typed[name]}, {"at": name})
    if typed["base_f"]:
        yield Line("base_f", _base_metered, _base(typed, planned_set, began), {"at": "base_at"})
    if typed["recipe_f"]:
        powers = {
            light: typed[f"power_{n}"]
            for n, light in enumerate(form.choices.lights)
            if typed[f"power_{n}"]
        }
        says = {"at": typed["recipe_at"] or began or planned_set.start_at, "powers": powers}
        says |= {"f_number": typed["recipe_f"], "shutter_s": typed["recipe_shutter"]}
        yield Line("recipe_f", _recipe_locked, says | {"iso": typed["recipe_iso"]})
    if typed["gust_m_s"] is not None:
        says = {"gust_m_s": typed["gust_m_s"], "at": ended}
        yield Line("gust_m_s", strongest_gust, says)
    if typed["sky"]:
        yield Line("sky", sky_once, {"sky": typed["sky"], "at": ended})


def _base(typed: dict, planned_set: PlannedSet, began: datetime | None) -> dict:
    kind = planned_set.base_kind
    return {
        "at": typed["base_at"] or began or planned_set.start_at,
        "kind": kind,
        "plane": "sky" if kind == "sky" else "backdrop",
        "f_mark": typed["base_f"],
        "tenths": typed["base_tenths"],
        "shutter_s": typed["base_shutter"],
        "iso": typed["base_iso"] or planned_set.iso,
    }


def _base_metered(*, by, planned_set, uuid, now, **reading) -> None:
    """The same reading again is the same one by what it says: it has no uuid."""
    record_reading(by=by, planned_set=planned_set, **reading)


def _recipe_locked(*, by, planned_set, uuid, now, **recipe) -> None:
    lock_recipe(by=by, planned_set=planned_set, key=uuid, **recipe)


def _turns(form: PaperForm, key: str, planned_set: PlannedSet) -> Iterator[Line]:
    stations = station_names(planned_set) or ("",)
    booking = form.choices.booking(key)
    for name in form.people_turns(key):
        if at := form.cleaned_data[name]:
            _turn, _pk, round_, place = name.split("_")
            says = {
                "booking": booking,
                "kind": TallyEvent.Kind.TURN_GIVEN,
                "round": int(round_),
                "station": stations[int(place)],
                "at": at,
                "planned_at": at,
            }
            yield Line(name, note_turn, says)


def _of_person(typed: dict, booking, ended: datetime | None) -> Iterator[Line]:
    pk = booking.pk
    if typed[f"frames_{pk}"] is not None:
        says = {"of": {"booking": booking}, "count": typed[f"frames_{pk}"], "at": ended}
        yield Line(f"frames_{pk}", partial(counted_in_all, note_frames), says)
    if typed[f"best_{pk}"]:
        words = _("best frame %(frame)s") % {"frame": typed[f"best_{pk}"]}
        yield Line(f"best_{pk}", words_once, {"booking": booking, "words": words, "at": ended})
    if typed[f"misfires_{pk}"]:
        says = {
            "booking": booking,
            "cause": typed[f"cause_{pk}"],
            "trigger": typed[f"trigger_{pk}"],
            "count": typed[f"misfires_{pk}"],
            "at": ended,
        }
        at = {"trigger": f"trigger_{pk}", "cause": f"cause_{pk}"}
        yield Line(f"misfires_{pk}", misfires_in_all, says, at)


def _of_head(
    typed: dict, n: str, light: str, began: datetime | None, ended: datetime | None | None
) -> Iterator[Line]:
    if typed[f"end_{n}"] is not None:
        count = typed[f"end_{n}"] - typed[f"start_{n}"]
        says = {"of": {"light_name": light}, "count": count, "at": ended}
        yield Line(f"end_{n}", partial(counted_in_all, note_flashes), says)
    if typed[f"pack_{n}"]:
        says = {"light_name": light, "unit": typed[f"pack_{n}"], "charge": typed[f"in_{n}"]}
        yield Line(f"pack_{n}", put_pack_in, says | {"at": began}, {"charge": f"in_{n}"})
    for c in range(SWAP_BOXES):
        if typed[f"pack_{n}_{c}"]:
            says = {
                "light_name": light,
                "unit": typed[f"pack_{n}_{c}"],
                "charge": typed[f"in_{n}_{c}"],
                "old_charge": typed[f"old_{n}_{c}"],
                "at": typed[f"at_{n}_{c}"],
            }
            at = {"at": f"at_{n}_{c}", "charge": f"in_{n}_{c}", "old_charge": f"old_{n}_{c}"}
            yield Line(f"pack_{n}_{c}", put_pack_in, says, at)
    if typed[f"out_{n}"]:
        says = {"light_name": light, "charge": typed[f"out_{n}"], "at": ended}
        yield Line(f"out_{n}", last_pack_out, says)

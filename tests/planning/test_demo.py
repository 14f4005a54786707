"""The demo's records through the services, and the commands that read them."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from planning import demo
from planning.models import PlannedSet, TallyEvent
from planning.plan import evaluate
from planning.selectors import set_inputs, set_list
from planning.selectors.tally import set_tallies
from planning.sheets.front import turn_lines
from workshops.access import own_workshops
from workshops.models import AuditEntry, Booking, User, Workshop

pytestmark = [pytest.mark.django_db, pytest.mark.database]

# The keys of the contract; a plan may say more, never less.
CONTRACT = {
    "set": "id title workshop location start_at end_at channel job revision",
    "sun": "at elevation_deg geometric_elevation_deg azimuth_deg from_camera_deg "
    "shadow_toward_deg shadow_length_ratio",
    "ambient": "at sky source subject_ev100 shade_side_ev100 background_ev100 sky_ev100 "
    "low_stops high_stops",
    "exposure": "method iso sync_s start_s base_kind placement_stops base_f_number stops_under "
    "closed_for_flash_stops working_f_number working_mark ladder correction schedule options "
    "remedies",
    "lights": "name role target_stops guide_number_m guide_number_source "
    "guide_number_spread_stops source_diameter_m source_offset_m distance_m reading_f_number "
    "all_in_f_number power power_mark residual_stops margin_stops in_frame sun_side "
    "matching_height_m stand",
    "battery": "strobe flashes full_power_flashes watt_hours charge_share batteries",
    "tones": "surface shutter_s stops state",
    "turns": "attendee trigger live_trigger round order start_at minutes",
    "cautions": "code level text source",
}
LADDER = (
    "shutter_s mark ambient_background_stops spill_stops background_stops face_stops "
    "shadow_stops ratio hand_held"
)
OPTION = (
    "name camera_f_number meter_f_number shutter_s nd_stops trigger power feasible reason near_m "
    "far_m flashes_per_battery"
)
STAND = (
    "lamp_height_m gust_m_s force_n tipping_speed_m_s ballast_kg ballast_on_foot_kg bag_kg "
    "verdict fall_toward_deg clear_circle_m"
)


@pytest.fixture(scope="module")
def built(django_db_setup, django_db_blocker, tmp_path_factory):
    """The demo, built once for all tests here; each test's own changes are rolled back."""
    folder = tmp_path_factory.mktemp("demo")
    with django_db_blocker.unblock(), transaction.atomic():
        demo.build(log_ins=folder / "log-ins.txt", report=lambda part: None)
        yield folder
        transaction.set_rollback(True)


def printed(*arguments):
    out = StringIO()
    call_command("set_plan", *arguments, stdout=out)
    return out.getvalue()


def to_come():
    """The sets of the days to come; one day of the demo has run."""
    return [row for row in set_list() if row.start_at.year == 2027]


def plans():
    return [evaluate(set_inputs(row.id)) for row in to_come()]


def test_every_demo_set_has_a_plan_that_says_what_the_scenario_promises(built):
    rows = plans()
    sides = [{light.sun_side for light in plan.lights} for plan in rows]
    codes = [{caution.code for caution in plan.cautions} for plan in rows]
    assert "behind subject" in sides[0]  # sun behind the subject
    assert "wind-modifier-off" in codes[0]  # gusts on the head
    assert sides[1] == {"same"}  # hard shadows from the side
    assert "tide" in codes[1]
    assert {option.name for option in rows[2].exposure.options} >= {"nd", "hss"}
    assert rows[3].exposure.method == "aperture first"
    assert rows[3].exposure.schedule
    assert rows[4].sun[0].azimuth_deg < 90  # the southern morning sun stands north of east
    assert rows[5].set.job == "fill"


def test_one_slow_body_and_one_without_a_contact_get_their_own_lines(built):
    lines = {line.attendee: line for line in plans()[0].exposure.own_lines}
    assert lines["Eka Rossi"].shutter_mark == "1/50"
    assert lines["Fay Quist"].shutter_mark == ""
    assert lines["Cyd Moran"].iso_mark == "200"


def test_every_record_of_the_demo_came_through_a_service(built):
    for model in (Workshop, Booking, PlannedSet):
        label = model._meta.label_lower
        created = AuditEntry.objects.filter(record_type=label, action="created")
        assert created.count() == model.objects.count() > 0


def test_the_log_ins_beside_it_open_the_accounts(built):
    lines = (built / "log-ins.txt").read_text().split("\n")[:-1]
    for line in lines:
        email, password = line.split()
        user = User.objects.get(email=email)
        assert user.check_password(password)
        assert user.has_perm("workshops.add_checkout")
        teaches = user.role != User.Role.HELPER
        assert user.has_perm("planning.change_plannedset") == teaches
        assert own_workshops(user).exists()
    assert len({line.split()[1] for line in lines}) == len(lines)


def test_json_holds_every_key_of_the_contract(built):
    for row in set_list():
        plan = json.loads(printed(str(row.id), "--json"))
        for part, keys in CONTRACT.items():
            items = plan[part] if isinstance(plan[part], list) else [plan[part]]
            for item in items:
                assert set(keys.split()) <= set(item), part
        assert all(set(LADDER.split()) <= set(step) for step in plan["exposure"]["ladder"])
        assert all(set(OPTION.split()) <= set(one) for one in plan["exposure"]["options"])
        assert all(set(STAND.split()) <= set(light["stand"]) for light in plan["lights"])


def test_text_and_list_speak_of_the_same_sets(built):
    row = to_come()[1]
    assert row.title in printed("--list")
    text = printed(str(row.id))
    assert "CAMERA" in text
    assert plans()[1].exposure.working_mark in text


@pytest.mark.parametrize(
    ("argument", "told"), [("999999", "set_plan --list"), ("two", "no number"), (None, "--list")]
)
def test_a_wrong_number_is_one_sentence_and_exit_code_2(built, argument, told):
    with pytest.raises(CommandError, match=told) as refusal:
        printed(*([argument] if argument else []))
    assert refusal.value.returncode == 2


def test_the_demos_records_bear_its_own_date_wherever_it_is_built(built):
    dates = {set_inputs(row.id).inputs_changed_at.isoformat()[:10] for row in set_list()}
    assert dates == {"2026-08-01"}


def test_a_person_with_one_camera_needs_none_chosen(built):
    Booking.objects.filter(person__name="Abel Finch").update(camera=None)
    one = next(p for p in set_inputs(to_come()[0].id).attendees if p.name == "Abel Finch")
    assert one.camera.name == "Full frame B"


def test_at_dusk_every_turn_carries_its_own_shutter(built):
    dusk = next(plan for plan in plans() if plan.exposure.schedule)
    assert all("ISO" in line.camera for line in turn_lines(dusk))
    assert not any(line.camera for line in turn_lines(plans()[0]))


def test_a_location_without_coordinates_names_what_to_enter(built):
    planned = PlannedSet.objects.order_by("pk").first()
    type(planned.location).objects.filter(pk=planned.location_id).update(
        latitude_deg=None, longitude_deg=None
    )
    with pytest.raises(CommandError, match="latitude and longitude"):
        printed(str(planned.pk))


def test_the_day_that_has_run_is_tallied_whole(built):
    workshop = Workshop.objects.get(start_at__year=2026)
    wood, dunes = set_tallies(workshop)
    assert (wood.missing, dunes.missing) == ((), ())
    assert wood.minutes_over == 2.0  # 10:04 to 11:21 against 75 min
    assert [head.flashes for tally in (wood, dunes) for head in tally.heads] == [131, 142]
    assert [(use.tag, round(use.used_share, 2)) for use in dunes.heads[0].packs] == [
        ("B95-1", 0.17), ("B95-2", 0.14),
    ]  # fmt: skip
    assert {one.cause for tally in (wood, dunes) for one in tally.misfires} == {"body", "cell"}
    assert all(person.turns == 1 and person.frames for person in wood.people)


def test_a_pair_that_failed_on_the_day_that_ran_is_not_given_again(built):
    triggers = {turn.attendee: turn.trigger for turn in plans()[0].turns}
    assert triggers["Dov Ansel"] not in ("", "fire-only T3")


def test_the_day_that_ran_says_when_each_thing_was_noted(built):
    events = TallyEvent.objects.all()
    assert events.count() == 40
    assert all(event.changed_at == event.at for event in events)

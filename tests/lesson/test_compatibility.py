"""Triggers, cameras and the shutter a mixed group can share."""

import math

import pytest

from planning.lesson.compatibility import (
    Body,
    Trigger,
    assign_triggers,
    effective_sync_s,
    group_sync_s,
    serving_trigger,
)
from planning.physics.errors import OutOfRange
from planning.physics.exposure import parse_shutter_mark, shutter_mark

SIMPLE = Trigger("fire-only", advanced=False, sync_penalty_stops=1 / 3)
ADVANCED = Trigger("advanced", advanced=True, sync_penalty_stops=0, fits="Alder")
STANDARD = Body("standard", sync_s=1 / 203)


def body(**fields):
    return Body(**{"name": "body", "sync_s": 1 / 203, **fields})


def synced(mark, penalty_stops=1 / 3):
    return effective_sync_s(parse_shutter_mark(mark), penalty_stops)


# Common practice: a simple radio link costs a third of a stop. Worked by hand.
@pytest.mark.parametrize(
    ("mark", "penalty_stops", "expected"),
    [
        ("1/250", 1 / 3, "1/200"),
        ("1/200", 1 / 3, "1/160"),
        ("1/180", 1 / 3, "1/125"),
        ("1/160", 0, "1/160"),
        ("1/60", 1 / 3, "1/50"),
    ],
)
def test_a_trigger_slows_the_body_down_to_a_slower_mark(mark, penalty_stops, expected):
    assert shutter_mark(synced(mark, penalty_stops)) == expected


def test_a_written_sync_is_taken_at_its_exact_time():
    assert effective_sync_s(1 / 200, 0) == effective_sync_s(parse_shutter_mark("1/200"), 0)


def test_a_sync_measured_at_the_rehearsal_beats_the_questionnaire():
    measured_s = parse_shutter_mark("1/125")
    assert effective_sync_s(parse_shutter_mark("1/250"), 0, measured_s) == measured_s


def test_more_delay_is_never_faster():
    times_s = [synced("1/250", penalty) for penalty in (0, 0.2, 1 / 3, 0.5, 1)]
    assert times_s == sorted(times_s)


def test_six_bodies_worked_by_hand():
    # The 1/60 body would cost all 1.33 stops: it gets its own line. One is electronic only.
    sync_by_body = {
        "one": synced("1/250"),
        "two": synced("1/200"),
        "three": synced("1/180"),
        "four": synced("1/160", 0),
        "five": synced("1/60"),
        "six": None,
    }
    group = group_sync_s(sync_by_body)
    assert shutter_mark(group.sync_s) == "1/125"
    assert group.slowest == "three"
    assert group.cost_stops == pytest.approx(1 / 3)
    assert group.outliers == ("five",)
    assert group.outlier_cost_stops == pytest.approx(4 / 3)
    assert group.not_served == ("six",)


def test_a_body_just_under_the_limit_stays_in_the_group():
    group = group_sync_s({"slow": synced("1/80", 0), "a": synced("1/160", 0)}, 1.01)
    assert (group.slowest, group.outliers) == ("slow", ())
    assert group.cost_stops == pytest.approx(1)
    assert group_sync_s({"slow": synced("1/80", 0), "a": synced("1/160", 0)}, 1.0).outliers


def test_half_of_the_bodies_always_stay():
    slow = {name: synced("1/60", 0) for name in "abc"}
    fast = {name: synced("1/250", 0) for name in "de"}
    group = group_sync_s({**slow, **fast})
    assert group.outliers == ()
    assert shutter_mark(group.sync_s) == "1/60"
    assert group.cost_stops == 0  # no one of the three costs it alone


def test_outliers_go_one_speed_after_the_other():
    fast = {name: synced("1/250", 0) for name in "abc"}
    group = group_sync_s({"worst": synced("1/30", 0), "bad": synced("1/60", 0), **fast})
    assert group.outliers == ("worst", "bad")
    assert group.outlier_cost_stops == pytest.approx(3)


def test_one_body_is_a_group_that_costs_nothing():
    group = group_sync_s({"only": 1 / 128})
    assert (group.sync_s, group.slowest, group.cost_stops) == (1 / 128, "only", 0)


@pytest.mark.parametrize("sync_by_body", [{}, {"six": None}])
def test_a_group_nobody_can_fire_in_is_refused(sync_by_body):
    with pytest.raises(OutOfRange, match="sync_by_body"):
        group_sync_s(sync_by_body)


def test_a_simple_trigger_comes_first_on_a_standard_shoe():
    service = serving_trigger(body(flash_system="Alder"), [ADVANCED, SIMPLE])
    assert service.trigger is SIMPLE
    assert service.reason == ""


def test_of_two_simple_triggers_the_quicker_serves():
    quick = Trigger("quick", advanced=False, sync_penalty_stops=0.1)
    assert serving_trigger(STANDARD, [SIMPLE, quick]).trigger is quick


def test_without_a_centre_contact_only_the_bodys_own_system_fires():
    camera = body(centre_contact=False, flash_system=" alder ")
    assert serving_trigger(camera, [SIMPLE, ADVANCED]).trigger is ADVANCED
    other = serving_trigger(body(centre_contact=False, flash_system="Other"), [SIMPLE, ADVANCED])
    assert other.trigger is None
    assert "centre contact" in other.reason
    assert other.system == "Other"


def test_an_advanced_trigger_for_any_shoe_still_needs_the_contact():
    universal = Trigger("universal", advanced=True, sync_penalty_stops=0)
    assert serving_trigger(STANDARD, [universal]).trigger is universal
    assert serving_trigger(body(centre_contact=False), [universal]).trigger is None


def test_a_trigger_made_for_an_unusual_shoe_serves_it():
    own = Trigger("own", advanced=False, sync_penalty_stops=1 / 3, fits="Alder")
    camera = body(shoe="other", flash_system="Alder")
    assert serving_trigger(camera, [SIMPLE, own]).trigger is own
    assert "shoe" in serving_trigger(camera, [SIMPLE]).reason


@pytest.mark.parametrize(
    ("camera", "triggers", "word"),
    [
        (body(electronic_only=True), [SIMPLE], "electronic shutter"),
        (body(shoe="none"), [SIMPLE], "no flash shoe"),
        (body(), [], "no trigger"),
        (body(), [ADVANCED], "another flash system"),
    ],
)
def test_a_camera_not_served_is_told_why_and_what_to_change(camera, triggers, word):
    service = serving_trigger(camera, triggers)
    assert service.trigger is None
    assert word in service.reason
    assert service.change


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: effective_sync_s(0, 0), "body_sync_s"),
        (lambda: effective_sync_s(0.005, -0.1), "penalty_stops"),
        (lambda: effective_sync_s(0.005, 0, math.nan), "measured_sync_s"),
        (lambda: group_sync_s({"a": 0.005}, 0), "outlier_stops"),
        (lambda: group_sync_s({"a": 0.0}), "the sync of a"),
    ],
)
def test_bad_inputs_are_refused_by_name(call, named):
    with pytest.raises(OutOfRange, match=named):
        call()


def units(*names, **fields):
    return [Trigger(**{"name": name} | fields) for name in names]


def given(*args, **kwargs):
    """Return the trigger's name by person, "" for nobody's."""
    services = assign_triggers(*args, **kwargs)
    return {who: one.trigger.name if one.trigger else "" for who, one in services.items()}


ALDER = body(flash_system="Alder", shoe="other", centre_contact=False)


def test_whoever_a_simple_trigger_serves_leaves_the_advanced_one_alone():
    group = {"Ana": body(flash_system="Alder"), "Bo": ALDER}
    assert given(group, [ADVANCED, *units("T1")]) == {"Ana": "T1", "Bo": "advanced"}
    # Even when the simple ones have run out: they are passed on.
    assert given(group | {"Cy": STANDARD}, [ADVANCED, *units("T1")]) == {
        "Ana": "T1", "Bo": "advanced", "Cy": "T1",
    }  # fmt: skip


def test_a_choosy_camera_gets_the_one_unit_that_fits_it():
    # "any" fits both, "birch" only Bo's: one each is possible in one way only.
    odd = body(flash_system="Birch", shoe="other")
    both = [Trigger("birch", fits="Birch"), *units("any")]
    assert given({"Ana": STANDARD, "Bo": odd}, both) == {"Ana": "any", "Bo": "birch"}
    twin = body(flash_system="Birch")
    assert given({"Bo": twin, "Ana": STANDARD}, both) == {"Bo": "birch", "Ana": "any"}


def test_four_people_with_one_way_to_serve_them_all_are_all_served():
    # By hand: B and D have one unit each beside "any", so A and C share out "p" and "any".
    systems = {"A": "P", "B": "Q", "C": "P", "D": "R"}
    people = {who: body(flash_system=system) for who, system in systems.items()}
    triggers = [
        Trigger("q", fits="Q"), Trigger("p", fits="P"), Trigger("r", fits="R"), *units("any"),
    ]  # fmt: skip
    found = given(people, triggers)
    assert sorted(found.values()) == ["any", "p", "q", "r"]


def test_triggers_that_run_out_are_shared_evenly_among_equals_and_by_what_fired():
    group = dict.fromkeys(("Ana", "Bo", "Cyd", "Dan", "Eva"), STANDARD)
    found = given(group, units("T1", "T2"))
    assert sorted(found.values()) == ["T1", "T1", "T1", "T2", "T2"]
    tried = given(group, units("T1", "T2"), fired={(who, "T2") for who in group})
    assert sorted(tried.values()) == ["T1", "T2", "T2", "T2", "T2"]


def test_a_settled_trigger_stays_where_it_fits_and_goes_where_it_does_not():
    group, triggers = {"Ana": STANDARD, "Bo": STANDARD}, units("T1", "T2")
    assert given(group, triggers, settled={"Bo": "T1"}) == {"Bo": "T1", "Ana": "T2"}
    assert given({"Bo": ALDER}, triggers, settled={"Bo": "T1"}) == {"Bo": ""}


def test_what_the_rehearsal_found_dead_is_not_given_again():
    group, triggers = {"Ana": STANDARD}, units("T1", "T2")
    assert given(group, triggers, failed=[("Ana", "T1")]) == {"Ana": "T2"}
    none = assign_triggers(group, triggers, failed=[("Ana", "T1"), ("Ana", "T2")])["Ana"]
    assert none.trigger is None
    assert "rehearsal" in none.reason


@pytest.mark.parametrize(
    "camera",
    [
        body(electronic_only=True),
        body(shoe="other", flash_system="Birch"),
        body(shoe="none"),
        body(centre_contact=False),
    ],
)
def test_what_fired_at_the_rehearsal_beats_what_is_recorded_of_the_camera(camera):
    group, triggers = {"Ana": camera}, units("T1", "T2")
    assert given(group, triggers) == {"Ana": ""}
    assert given(group, triggers, fired=[("Ana", "T2")]) == {"Ana": "T2"}
    # Fired on somebody else's camera it says nothing of hers; tried dead it stays dead.
    assert given(group, triggers, fired=[("Bo", "T2")]) == {"Ana": ""}
    both = [("Ana", "T2")]
    assert given(group, triggers, fired=both, failed=both) == {"Ana": ""}


def test_whoever_has_one_way_only_that_fired_gets_it_and_the_others_change():
    group = {"Ana": STANDARD, "Bo": body(electronic_only=True)}
    assert given(group, units("T1", "T2"), fired=[("Bo", "T1")]) == {"Ana": "T2", "Bo": "T1"}


def test_one_that_fired_comes_before_one_never_tried_and_no_advanced_one_is_taken_for_it():
    group = {"Ana": body(flash_system="Alder")}
    triggers = [ADVANCED, *units("T1", "T2")]
    assert given(group, triggers, fired=[("Ana", "T2")]) == {"Ana": "T2"}
    assert given(group, triggers, fired=[("Ana", "advanced")]) == {"Ana": "T1"}


def test_nobody_and_nothing_are_matched_to_nothing():
    assert assign_triggers({}, units("T1")) == {}
    assert given({"Ana": STANDARD}, []) == {"Ana": ""}

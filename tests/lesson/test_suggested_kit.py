"""What the sets of a day ask of the shelf, each number worked out beside it."""

from dataclasses import replace
from datetime import timedelta

import pytest

from planning.plan import evaluate
from planning.plan.inputs import AttendeeInputs, TriedInputs, TriggerInputs
from planning.plan.suggested_kit import suggest
from planning.plan.tally import SetOfDay, Shelf, Spares
from tests.planning.day import CAMERA, OCTA, SET

LATER = timedelta(hours=2)
FIRE_ONLY = TriggerInputs("fire-only", advanced=False, sync_penalty_stops=1 / 3)
NORTH = TriggerInputs("north one", advanced=True, sync_penalty_stops=0.0, fits="north")


def trigger_kind(figures: TriggerInputs, units: int) -> Shelf:
    had = tuple(replace(figures, name=f"{figures.name} T{n}") for n in range(units))
    return Shelf(figures.name, "trigger", free=units, trigger=figures, units=had)


SHELF = (
    Shelf("S600", "strobe", 3.0, here=1, free=1),
    Shelf("octa 90", "modifier", 1.0, free=1),
    Shelf("tall", "stand", 3.0, free=4),
    Shelf("bag 5", "ballast", 5.0, free=9),
    Shelf("P97", "battery", 0.8, free=2),
    Shelf("ND 2", "nd filter", stops=2.0, free=1),
    Shelf("ND 3", "nd filter", stops=3.0, free=1),
    Shelf("ND 6", "nd filter", stops=6.0, free=1),
    Shelf("hand meter", "meter", free=1),
    Shelf("spot meter", "meter", free=1, reads_spot=True),
    trigger_kind(FIRE_ONLY, 4),
    trigger_kind(NORTH, 1),
)


def of_day(name: str = "1 Wall", inputs=SET, *, charge: float | None = None) -> SetOfDay:
    plan = evaluate(inputs)
    if charge is not None:
        rows = tuple(replace(row, charge_share=charge) for row in plan.battery)
        plan = replace(plan, battery=rows)
    return SetOfDay(name, inputs, plan)


def later(inputs, by=LATER):
    return replace(inputs, start_at=inputs.start_at + by, end_at=inputs.end_at + by)


def counts(kit) -> dict[str, int]:
    return {line.kind: line.count for line in kit.lines}


def line(kit, kind: str):
    return next(one for one in kit.lines if one.kind == kind)


def suggested(*sets, shelf=SHELF, spares=None):
    return suggest(sets, shelf, spares or Spares())


def test_sets_one_after_the_other_share_their_kit_and_those_at_once_do_not():
    # One head in use and one spare for every two begun; one stand and one spare for every three.
    one = suggested(of_day(), of_day("2 Pier", later(SET)))
    assert {kind: counts(one)[kind] for kind in ("S600", "octa 90", "tall")} == {
        "S600": 2,
        "octa 90": 1,
        "tall": 2,
    }
    # Two heads at once and one spare; two stands and one spare.
    both = suggested(of_day(), of_day("2 Pier", later(SET, timedelta(minutes=30))))
    assert (counts(both)["S600"], counts(both)["octa 90"], counts(both)["tall"]) == (3, 2, 3)


def test_a_line_says_what_is_missing_and_what_cannot_be_had():
    at_once = suggested(of_day(), of_day("2 Pier", later(SET, timedelta(minutes=30))))
    heads = line(at_once, "S600")  # three wanted, one on the list, one free
    assert (heads.missing, heads.to_reserve, heads.not_to_be_had) == (2, 1, 1)


def test_ballast_hangs_in_whole_bags_by_the_gust_of_the_plan():
    """A gust of 6 m/s on 0.64 m2, drag 1.2: 0.6125 x 36 x 1.2 x 0.64 = 16.9 N at 2.3 m.

    With 1.5 on the moment 58.4 N m, held over an edge 0.25 m off the pole (legs of 0.5 m, the
    edge at half): 234 N, 23.8 kg; less the 7 kg of stand, head and box 16.8 kg: four bags of 5.
    """
    calm = replace(SET, forecast=replace(SET.forecast, gust_m_s=6.0))
    assert counts(suggested(of_day(inputs=calm)))["bag 5"] == 4
    # Without a forecast what was entered hangs: 10 kg, two bags.
    blind = replace(SET, forecast=None)
    kit = suggested(of_day(inputs=blind))
    assert counts(kit)["bag 5"] == 2
    assert "10 kg as entered, no wind forecast" in " ".join(map(str, line(kit, "bag 5").why))


def test_every_stand_has_a_bag_and_a_hand_held_lamp_neither_stand_nor_bag():
    bare = replace(SET, forecast=None, lights=(replace(OCTA, bag_kg=0.0),))
    assert counts(suggested(of_day(inputs=bare)))["bag 5"] == 1
    held = replace(SET, lights=(replace(OCTA, hand_held=True, stand="", bag_kg=0.0),))
    kit = counts(suggested(of_day(inputs=held)))
    assert "bag 5" not in kit
    assert "tall" not in kit


def test_another_kind_of_bag_helps_out_where_one_runs_short():
    shelf = [one for one in SHELF if one.category != "ballast"]
    shelf += [Shelf("bag 10", "ballast", 10.0, free=1), Shelf("bag 5", "ballast", 5.0, free=1)]
    calm = replace(SET, forecast=replace(SET.forecast, gust_m_s=6.0))
    kit = suggested(of_day(inputs=calm), shelf=shelf)
    # Of the 16.8 kg needed 10 + 5 hang; one more of the first kind is asked for the rest.
    assert (counts(kit)["bag 10"], counts(kit)["bag 5"]) == (2, 1)
    assert line(kit, "bag 10").not_to_be_had == 1


def test_packs_last_the_whole_day_and_one_is_spare_for_every_two_heads():
    # Three sets of 0.6 of a charge are 1.8: two packs for the one head, and one spare.
    times = (timedelta(0), LATER, 2 * LATER)
    sets = [of_day(f"{n} Set", later(SET, by), charge=0.6) for n, by in enumerate(times, 1)]
    kit = suggested(*sets)
    assert counts(kit)["P97"] == 3
    assert "1.8 charges over the day" in str(line(kit, "P97").why[0])
    # A day that empties none still wants one in the head.
    assert counts(suggested(of_day(charge=0.1)))["P97"] == 2


def test_simple_triggers_go_to_whom_they_serve_and_the_advanced_where_its_system_fits():
    """Six people and the instructor are seven: three spares, one for every three begun.

    Four fire-only units are there, so five of those six are asked beyond them.
    """
    kit = suggested(of_day())
    assert counts(kit)["fire-only"] == 6 + 3
    assert counts(kit)["north one"] == 1  # the instructor's own system
    assert line(kit, "fire-only").not_to_be_had == 5
    no_centre = replace(CAMERA, owner="Fay", name="Entry", centre_contact=False)
    odd = AttendeeInputs("Fay", replace(no_centre, flash_system="north"))
    lost = AttendeeInputs("Gil", replace(no_centre, name="Odd", flash_system="south"))
    kit = suggested(of_day(inputs=replace(SET, attendees=(odd, lost))))
    assert counts(kit)["north one"] == 2  # Fay's and the instructor's
    assert counts(kit)["fire-only"] == 2  # spares alone: the least
    assert "Gil: no trigger serves Odd" in " ".join(map(str, kit.open))


def test_a_camera_that_fired_at_the_rehearsal_is_counted_for_that_kind_of_trigger():
    silent = replace(CAMERA, owner="Gil", name="Silent", electronic_only=True)
    gil = AttendeeInputs("Gil", silent)
    kit = suggested(of_day(inputs=replace(SET, attendees=(gil,))))
    assert "Gil: no trigger serves Silent" in " ".join(map(str, kit.open))
    tried = replace(gil, tried=(TriedInputs("fire-only T2", fires=True),))
    kit = suggested(of_day(inputs=replace(SET, attendees=(tried,))))
    assert "Gil" not in " ".join(map(str, kit.open))
    assert counts(kit)["fire-only"] == 1 + 2  # his, and the least number of spares
    # A second one whose only unit is in other hands is counted beyond what is there.
    two = (tried, replace(tried, name="Hal"))
    assert counts(suggested(of_day(inputs=replace(SET, attendees=two))))["fire-only"] == 2 + 2


def test_somebody_without_a_camera_is_counted_for_a_simple_trigger_and_named():
    kit = suggested(of_day(inputs=replace(SET, attendees=(AttendeeInputs("Hal"),))))
    assert counts(kit)["fire-only"] == 1 + 2
    assert "Hal: no camera recorded" in " ".join(map(str, kit.open))


def test_the_filters_nearest_to_the_wanted_aperture_come_along():
    plan = evaluate(replace(SET, wanted_f_number=2.8))
    # From f/16 to f/2.8 are five whole stops on every lens barrel: 2 and 3, not 6.
    assert plan.exposure.working_mark == "f/16"
    kit = counts(suggested(SetOfDay("1 Wall", replace(SET, wanted_f_number=2.8), plan)))
    assert (kit.get("ND 2"), kit.get("ND 3"), kit.get("ND 6")) == (1, 1, None)
    assert not [kind for kind in counts(suggested(of_day())) if kind.startswith("ND")]


@pytest.mark.parametrize(("base", "meter"), [("incident", "hand meter"), ("spot", "spot meter")])
def test_the_meter_reads_spots_where_a_base_is_one(base, meter):
    assert meter in counts(suggested(of_day(inputs=replace(SET, base_kind=base))))


def test_a_set_without_a_plan_is_counted_as_entered_and_named():
    kit = suggested(SetOfDay("1 Wall", SET, None, "no light"))
    assert counts(kit)["bag 5"] == 2  # 10 kg as entered
    assert counts(kit)["P97"] == 2  # one in the head, one spare
    assert "set 1 Wall has no plan (no light)" in str(kit.open[0])


def test_the_houses_own_ratios_beat_the_usual_ones_and_nothing_is_asked_for_no_set():
    none = Spares(0, 0, 0, 0, 0, 0)
    kit = suggested(of_day(), spares=none)
    assert (counts(kit)["S600"], counts(kit)["tall"], counts(kit)["fire-only"]) == (1, 1, 6)
    assert kit.beside == ()
    assert suggest((), SHELF, Spares()).lines == ()


def test_the_weight_is_that_of_everything_suggested():
    kit = suggested(of_day(charge=0.1, inputs=replace(SET, forecast=None)))
    # Two heads of 3 kg, the octa 1, two stands of 3, two bags of 5, two packs of 0.8.
    assert kit.mass_kg == pytest.approx(6 + 1 + 6 + 10 + 1.6)

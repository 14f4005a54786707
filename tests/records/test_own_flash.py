"""Flash readings of sets and of the shelf, in the plans of the next sets."""

import math
from datetime import timedelta

import pytest

from planning.models import CountsFrom, LeftOut
from planning.plan import evaluate
from planning.selectors import set_inputs
from planning.selectors.own_flash import guide_figure
from tests import factories as make
from workshops import audit

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def light():
    """A set of another day, with the octa that earlier sets metered."""
    # 80 m bare, less the octa's two stops 40 m
    return make.LightFactory(name="octa", strobe=make.StrobeFactory(guide_number_m=80.0))


@pytest.fixture
def earlier(light):
    """A set three weeks before, at the other end of the world, same head, same octa."""
    south = make.LocationFactory(
        name="Jetty", latitude_deg=-43.6, longitude_deg=172.7, timezone_name="Pacific/Auckland"
    )
    planned = make.SetFactory(location=south, start_at=make.SET_START - timedelta(days=21))
    make.LightFactory(
        planned_set=planned, name="octa", strobe=light.strobe, modifier=light.modifier
    )
    return planned


def lamp(light):
    return set_inputs(light.planned_set_id).lights[0]


def metered(planned, days=0, **reading):
    return make.FlashReadingFactory(
        planned_set=planned, at=make.SET_START - timedelta(days=21 + days), **reading
    )


def test_a_reading_on_a_set_moves_the_next_plan(light, earlier):
    # f/11 at a quarter, 2.0 m from 0.9 m of face: 11.314 * 2.05 / 0.5 = 46.4 m
    guessed = evaluate(set_inputs(light.planned_set_id)).lights[0]
    assert guessed.guide_number_source == "estimate"
    assert str(guessed.guide_number_told) == "estimate, ±0.7 stop"  # hypot(0.5, 0.5)
    for day in range(5):
        metered(earlier, day)
    own = evaluate(set_inputs(light.planned_set_id)).lights[0]
    assert (own.guide_number_source, own.guide_number_readings) == ("own", 5)
    assert own.guide_number_m == pytest.approx(46.4, rel=0.06)
    assert str(own.guide_number_told) == "own measurement, 5 readings, ±0.2 stop"
    assert own.margin_stops - guessed.margin_stops == pytest.approx(
        2 * math.log2(own.guide_number_m / guessed.guide_number_m)
    )


def test_daylight_comes_out_of_a_reading_before_it_counts(light, earlier):
    metered(earlier)
    alone = lamp(light).guide_number_m
    earlier.flash_readings.all().delete()
    # f/13 and two tenths is f/13.61: sqrt(11.314^2 + 7.566^2)
    metered(earlier, f_mark=12.699, tenths=2, ambient_mark=7.566)
    assert lamp(light).guide_number_m == pytest.approx(alone, rel=0.02)
    earlier.flash_readings.all().delete()
    metered(earlier, f_mark=12.699, tenths=2)
    assert lamp(light).guide_number_m > 1.1 * alone


def test_all_together_counts_the_lamps_angle(light, earlier):
    # (1 + cos 45)/2 = 0.854: the dome to the lens reads f/10.45 of it; with 7.21 that is f/12.7
    metered(earlier, f_mark=12.699, ambient_mark=7.211, how="together")
    together = lamp(light).guide_number_m
    earlier.flash_readings.all().delete()
    metered(earlier)
    assert together == pytest.approx(lamp(light).guide_number_m, rel=0.02)


def test_daylight_far_brighter_than_the_lamp_changes_nothing(light, earlier):
    before = lamp(light)
    metered(earlier, ambient_mark=11.314 * 2 ** (-0.25 / 2))
    assert lamp(light).guide_number_m == before.guide_number_m
    assert lamp(light).guide_number_readings == 0


def test_a_gel_then_or_now_is_reckoned_out(light, earlier):
    metered(earlier)
    plain = lamp(light).guide_number_m
    then = earlier.lights.get()
    then.gel = make.GelFactory(loss_stops=1.0)
    then.save()
    assert lamp(light).guide_number_m > 1.2 * plain  # 1.41, shrunk toward the prior


def test_a_light_of_another_name_and_another_head_teach_nothing(light, earlier):
    metered(earlier, light_name="rim")
    make.LightFactory(planned_set=earlier, name="fill")
    metered(earlier, light_name="fill")
    assert lamp(light).guide_number_readings == 0


def test_the_day_is_that_of_the_place(light, earlier):
    # 10:30 and 13:30 UTC of one date are 22:30 and 01:30 in New Zealand: two nights
    for hour in (10, 13):
        make.FlashReadingFactory(
            planned_set=earlier, at=make.SET_START.replace(hour=hour, minute=30)
        )
    assert lamp(light).guide_number_days == 2


def test_readings_at_home_and_on_sets_join(light, earlier):
    metered(earlier)
    make.GuideNumberReadingFactory(strobe=light.strobe, modifier=light.modifier)
    assert lamp(light).guide_number_readings == 2


def test_the_bare_heads_readings_are_the_prior_of_its_modifiers(light):
    for day in range(1, 9):
        make.GuideNumberReadingFactory(
            strobe=light.strobe, modifier=None, read_on=f"2027-02-{day:02}", f_mark=45.25
        )
    # 45.25 * 2 m = 90.5 m bare, two stops less with the octa: 45.3 m
    given = lamp(light)
    assert given.guide_number_source == "estimate"
    assert given.guide_number_m == pytest.approx(45.3, rel=0.02)
    assert 0.5 < given.guide_number_spread_stops < 0.6
    told = evaluate(set_inputs(light.planned_set_id)).lights[0].guide_number_told
    assert str(told) == "estimate from 8 readings of the bare head, ±0.5 stop"


def test_what_is_left_out_and_what_lies_before_a_new_beginning_do_not_count(light, earlier):
    figure = guide_figure(light.strobe_id, light.modifier_id)
    old, new = metered(earlier, days=30), metered(earlier)
    assert lamp(light).guide_number_readings == 2
    begun = CountsFrom.objects.create(
        figure=figure, from_at=new.at - timedelta(days=1), reason="New tube"
    )
    assert lamp(light).guide_number_readings == 1
    begun.delete()
    LeftOut.objects.create(figure=figure, witness=f"flash-reading:{old.pk}", reason="Slipped")
    assert lamp(light).guide_number_readings == 1


def test_every_witness_and_choice_moves_revision_and_instant(light, earlier):
    def state():
        inputs = set_inputs(light.planned_set_id)
        return inputs.revision, inputs.inputs_changed_at

    seen = [state()]
    reading = metered(earlier)
    seen.append(state())
    figure = guide_figure(light.strobe_id, light.modifier_id)
    LeftOut.objects.create(figure=figure, witness=f"flash-reading:{reading.pk}", reason="Rain")
    seen.append(state())
    assert len({revision for revision, _at in seen}) == 2  # left out again is as before
    instants = [at for _revision, at in seen]
    assert instants == sorted(set(instants))
    audit.write(reading, by=None)
    assert state() == seen[-1]

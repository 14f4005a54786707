"""Ready-made kinds: valid on every engine, added once, marked until metered, fit for a plan.

Figures looked at here are those of trade sources named beside them, not of our own output.
"""

import math

import pytest
from django.utils import translation

from planning.plan import evaluate
from planning.selectors import set_inputs
from tests import factories as make
from workshops.errors import Refused
from workshops.models import AuditEntry, Battery, KitKind, KitUnit, Modifier, Stand, Strobe
from workshops.ready_made import BY_ENGLISH, KINDS, MIDDLE, TYPICAL, USUAL, says_typical
from workshops.selectors.kit import kind_on_shelf
from workshops.services.kit import add_ready_made, record_guide_number

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return make.UserFactory()


@pytest.mark.parametrize("ready", KINDS, ids=lambda ready: ready.key)
def test_every_kind_keeps_the_rules_of_its_record_and_is_stored(ready):
    record = ready.record()
    record.full_clean()
    record.save()
    kept = type(record).objects.get(pk=record.pk)
    for field, figure in ready.figures.items():
        assert getattr(kept, field) == figure.value
    assert kept.category == (ready.of.own_category or "charger")


def test_every_category_a_small_house_needs_is_there():
    needed = {one.value for one in KitKind.Category} - {"tether", "other"}
    assert {ready.record().category for ready in KINDS} == needed
    assert len(BY_ENGLISH) == len({ready.key for ready in KINDS}) == len(KINDS)


@pytest.mark.parametrize("ready", KINDS, ids=lambda ready: ready.key)
def test_every_figure_has_its_source_in_words(ready):
    assert ready.figures
    for figure in ready.figures.values():
        assert figure.words
        assert "%" not in figure.words


def test_guide_numbers_follow_the_root_of_the_energy_from_80_m_at_600_ws():
    # 80 m at 600 W.s is published; light grows with energy and the guide number with its root.
    for english in ("Head 200", "Head 400", "Head 600"):
        figures = BY_ENGLISH[english].figures
        expected_m = 80 * math.sqrt(figures["energy_ws"].value / 600)
        assert figures["guide_number_m"].value == pytest.approx(expected_m, abs=0.5)
        assert figures["guide_number_spread_stops"].value >= 0.5


def test_modifiers_lose_what_the_trade_takes_for_usual():
    # Common practice, no source: octa 90 -2; octa 120 -2 to -2.5; dish -0.5 to -1; grids.
    stops = {one.english: one.figures["stops"] for one in KINDS if one.of is Modifier}
    assert stops["Octa 90"].value == -2
    assert stops["Octa 90"].source == USUAL
    assert -2.5 < stops["Octa 120"].value < -2
    assert -1 < stops["Beauty dish 55"].value < -0.5
    assert stops["Beauty dish 55"].source == MIDDLE
    assert [stops[f"Grid {one} degrees"].value for one in (40, 20, 10)] == [-0.3, -1, -1.7]
    assert stops["Standard reflector"].value == 0  # the definition of the scale


def test_a_strobe_brings_its_battery_one_for_each_head(office):
    add_ready_made(by=office, counts={"Head 600": 2})
    strobe = Strobe.objects.get(name="Head 600")
    assert strobe.battery_kind == Battery.objects.get(name="Pack 95 Wh")
    tags = set(KitUnit.objects.values_list("tag", flat=True))
    assert tags == {"HEAD 600-1", "HEAD 600-2", "PACK 95 WH-1", "PACK 95 WH-2"}
    created = AuditEntry.objects.filter(action="created", who=office)
    assert created.filter(record_text="Head 600").exists()
    assert created.filter(record_type="workshops.kitunit").count() == 4


def test_a_name_taken_by_something_else_is_no_battery(office):
    KitKind.objects.create(name="Pack 40 Wh", category="other")
    (strobe,) = add_ready_made(by=office, counts={"Head 200": 1})
    assert strobe.battery_kind is None


def test_a_battery_ticked_with_its_head_is_added_once(office):
    add_ready_made(by=office, counts={"Head 200": 1, "Pack 40 Wh": 3})
    assert Battery.objects.get().strobes.get().name == "Head 200"
    assert Battery.objects.get().units.count() == 3


def test_a_name_on_the_shelf_is_refused_and_then_nothing_is_added(office):
    make.ModifierFactory(name="octa 90")
    with pytest.raises(Refused, match="Octa 90 is on the shelf already"):
        add_ready_made(by=office, counts={"Head 600": 1, "Octa 90": 1})
    assert list(KitKind.objects.values_list("name", flat=True)) == ["octa 90"]
    assert not KitUnit.objects.exists()


def test_tags_in_use_are_left_out(office):
    make.UnitFactory(tag="LIGHT STAND-1")
    add_ready_made(by=office, counts={"Light stand": 2})
    tags = Stand.objects.get().units.values_list("tag", flat=True)
    assert sorted(tags) == ["LIGHT STAND-2", "LIGHT STAND-3"]


def test_it_stays_typical_until_something_is_metered_or_the_notes_are_changed(office):
    add_ready_made(by=office, counts={"Head 600": 0, "Octa 90": 0, "Light stand": 0})
    strobe, modifier = Strobe.objects.get(), Modifier.objects.get()
    assert TYPICAL in strobe.notes
    assert kind_on_shelf(strobe.pk).typical
    record_guide_number(
        by=office, strobe=strobe, modifier=modifier, read_on="2027-03-01", distance_m=2, f_mark="22"
    )
    assert not kind_on_shelf(strobe.pk).typical
    assert not kind_on_shelf(modifier.pk).typical
    stand = Stand.objects.get()
    assert kind_on_shelf(stand.pk).typical
    Stand.objects.update(notes="Weighed: 1.4 kg.")
    assert not kind_on_shelf(stand.pk).typical


def test_the_mark_is_known_whatever_language_the_page_is_in(office):
    add_ready_made(by=office, counts={"1/2 CTO": 0})
    with translation.override("es"):
        assert says_typical(KitKind.objects.get().notes)


def test_strobe_modifier_and_stand_make_a_plan_that_calls_the_light_an_estimate(office):
    add_ready_made(by=office, counts={"Head 600": 1, "Octa 90": 1, "Heavy stand": 1})
    light = make.LightFactory(
        strobe=Strobe.objects.get(), modifier=Modifier.objects.get(), stand=Stand.objects.get()
    )
    plan = evaluate(set_inputs(light.planned_set_id))
    lamp = plan.lights[0]
    assert lamp.guide_number_source == "estimate"
    assert lamp.guide_number_spread_stops > 1  # the head's stop and the modifier's half
    # 80 m less two stops: 80 / 2 = 40 m.
    assert lamp.guide_number_m == pytest.approx(40.0)


def test_every_ready_made_head_and_modifier_makes_a_plan(office):
    add_ready_made(by=office, counts={ready.english: 0 for ready in KINDS})
    stand, light = Stand.objects.get(name="Heavy stand"), make.LightFactory()
    modifiers = [None, *Modifier.objects.filter(pk__in=_added(Modifier))]
    for strobe in Strobe.objects.filter(pk__in=_added(Strobe)):
        for modifier in modifiers:
            light.strobe, light.modifier, light.stand = strobe, modifier, stand
            light.save()
            assert evaluate(set_inputs(light.planned_set_id)).lights[0].guide_number_m > 0


def _added(model):
    names = [ready.english for ready in KINDS if ready.of is model]
    return model.objects.filter(name__in=names).values("pk")

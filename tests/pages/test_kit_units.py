"""Units, guide number readings and ready-made kinds: what the pages save and refuse in words."""

import pytest
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, GuideNumberReading, KitKind, KitUnit, Modifier, Strobe

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def test_several_units_are_added_by_their_tags(office):
    trigger = make.TriggerFactory()
    place = reverse("unit-new", args=[trigger.pk])
    page = office.post(
        place,
        filled(office.get(place)) | {"tags": "T1, T2;T3 ", "sync_penalty_stops": "0.5"},
        follow=True,
    )
    assert "Added 3 units: T1, T2, T3." in page.content.decode()
    assert set(KitUnit.objects.values_list("tag", "sync_penalty_stops")) == {
        ("T1", 0.5), ("T2", 0.5), ("T3", 0.5)
    }  # fmt: skip


def test_units_numbered_from_a_prefix_leave_out_what_is_there(office):
    trigger = make.TriggerFactory()
    make.UnitFactory(tag="T-2")
    place = reverse("unit-new", args=[trigger.pk])
    office.post(place, filled(office.get(place)) | {"prefix_text": "T", "count": "3"})
    assert sorted(trigger.units.values_list("tag", flat=True)) == ["T-1", "T-3", "T-4"]


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"tags": "T1, T9, T2"}, "In use already: T1, T2."),
        ({"tags": "T8, T8"}, "Twice in the list: T8."),
        ({"tags": "", "prefix_text": ""}, "Enter at least one asset tag"),
        ({"prefix_text": "T"}, "enter how many to add"),
        ({"count": "3"}, "Enter what their tags begin with"),
        ({"tags": "T8", "prefix_text": "T", "count": "2"}, "Give either the tags, or a prefix"),
        ({"prefix_text": "T", "count": "101"}, "100"),
        ({"tags": "x" * 41}, "a tag has 40 characters at most"),
    ],
)
def test_a_list_of_units_is_added_whole_or_not_at_all(office, typed, told):
    trigger = make.TriggerFactory()
    for tag in ("T1", "T2"):
        make.UnitFactory(kind=trigger.kitkind_ptr, tag=tag)
    place = reverse("unit-new", args=[trigger.pk])
    answer = office.post(place, filled(office.get(place)) | {"notes": "Kept."} | typed)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert filled(answer)["notes"] == "Kept."
    assert KitUnit.objects.count() == 2


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
@pytest.mark.parametrize("factory", [make.BatteryFactory, make.TriggerFactory, make.MeterFactory])
def test_absurd_text_in_a_unit_is_kept_or_refused_in_words(office, factory, text):
    kind = factory().kitkind_ptr
    unit = make.UnitFactory(kind=kind, tag="U1")
    for place in (reverse("unit-new", args=[kind.pk]), reverse("unit-edit", args=[unit.pk])):
        blank = filled(office.get(place)) | ({"tags": "N1"} if "new" in place else {})
        for name in set(blank) - {"csrfmiddlewaretoken", "seen"}:
            fresh = {"seen": ""} if "seen" in blank else {}
            answer = office.post(place, blank | fresh | {name: text})
            assert answer.status_code in (302, 422), name
            KitUnit.objects.exclude(pk=unit.pk).delete()
    page = office.get(reverse("kind", args=[kind.pk]))
    assert "<script>alert" not in page.content.decode()


@pytest.mark.parametrize(
    ("factory", "asked"),
    [
        (make.BatteryFactory, {"health_share", "cycles"}),
        (make.StrobeFactory, {"flashes_at_full"}),
        (make.TriggerFactory, {"sync_penalty_stops", "channel"}),
        (make.MeterFactory, {"incident_constant", "reflected_constant"}),
        (make.StandFactory, set()),
    ],
)
def test_a_unit_is_asked_only_what_makes_sense_for_it(office, factory, asked):
    unit = make.UnitFactory(kind=factory().kitkind_ptr)
    names = set(filled(office.get(reverse("unit-edit", args=[unit.pk]))))
    common = {"csrfmiddlewaretoken", "seen", "tag", "serial", "state", "notes"}
    assert names - common == asked


@pytest.mark.parametrize("state", ["fault", "retired"])
def test_a_fault_and_a_retirement_want_their_reason(office, state):
    unit = make.UnitFactory()
    place = reverse("unit-edit", args=[unit.pk])
    form = filled(office.get(place)) | {"state": state}
    answer = office.post(place, form)
    assert answer.status_code == 422
    assert "say what is wrong with it" in answer.content.decode()
    office.post(place, form | {"notes": "Hot shoe bent."})
    unit.refresh_from_db()
    assert (unit.state, unit.notes) == (state, "Hot shoe bent.")
    assert "Hot shoe bent." in office.get(reverse("kind", args=[unit.kind_id])).content.decode()


def test_a_unit_on_a_workshops_list_is_not_deleted(office):
    along = make.ReservationFactory()
    page = office.post(reverse("unit-delete", args=[along.unit_id]), follow=True).content.decode()
    assert "is used by kit of the workshop" in page
    assert KitUnit.objects.count() == 1


def reading_of(office, strobe, **typed):
    place = reverse("guide-number-new", args=[strobe.pk])
    return office.post(place, filled(office.get(place)) | typed)


def test_a_reading_is_typed_as_mark_and_tenths_and_shown_as_typed(office):
    strobe, octa = make.StrobeFactory(), make.ModifierFactory(name="Octa")
    meter = make.UnitFactory(kind=make.MeterFactory().kitkind_ptr, tag="METER-1")
    reading_of(
        office, strobe,
        modifier=str(octa.pk), distance_m="2,5", power="1/2", f_mark="11", tenths="3", iso="200",
        meter=str(meter.pk), read_on="2027-03-01",
    )  # fmt: skip
    reading = GuideNumberReading.objects.get()
    # ISO 517: f/11 is 2^3.5 = 11.314; three tenths of a stop more is 2^(3.5 + 0.15) = 12.553
    assert reading.f_number == pytest.approx(12.553, abs=0.001)
    assert (reading.distance_m, reading.power, reading.meter) == (2.5, 0.5, meter)
    page = office.get(reverse("kind", args=[strobe.pk])).content.decode()
    for shown in ("Octa", "2.5\N{NO-BREAK SPACE}m", "1/2", "f/11 and 3 tenths", "METER-1"):
        assert shown in page
    assert "Octa" in office.get(reverse("kind", args=[octa.pk])).content.decode()


def test_mark_and_tenths_ask_a_phone_for_its_figures(office):
    place = reverse("guide-number-new", args=[make.StrobeFactory().pk])
    page = office.get(place).content.decode()
    for name in ("f_mark", "tenths", "distance_m"):
        field = page[page.index(f'name="{name}"') :].partition(">")[0]
        assert "inputmode" in field


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"f_mark": "bright"}, "enter it like f/11 or 11"),
        ({"tenths": "11"}, "enter 0 to 9"),
        ({"distance_m": ""}, "required"),
        ({"distance_m": "0"}, "enter 0.05 to 100"),
        ({"power": "2"}, "power: enter"),
        ({"flash_alone": ""}, "take the reading without daylight"),
        ({"read_on": "soon"}, "Enter a date, such as 2027-05-08."),
    ],
)
def test_a_reading_nobody_can_use_is_refused_in_words(office, typed, told):
    good = {"distance_m": "2", "f_mark": "11", "tenths": "0"}
    answer = reading_of(office, make.StrobeFactory(), **good | typed)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not GuideNumberReading.objects.exists()


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_in_a_reading_is_kept_or_refused_in_words(office, text):
    strobe = make.StrobeFactory()
    good = {"distance_m": "2", "f_mark": "11"}
    for name in ("modifier", "distance_m", "power", "f_mark", "tenths", "iso", "read_on", "notes"):
        assert reading_of(office, strobe, **good | {name: text}).status_code in (302, 422), name
    assert "<script>alert" not in office.get(reverse("kind", args=[strobe.pk])).content.decode()


def test_a_reading_is_deleted_with_its_audit_entry(office):
    reading = make.GuideNumberReadingFactory()
    answer = office.post(reverse("guide-number-delete", args=[reading.pk]))
    assert answer.headers["Location"] == reverse("kind", args=[reading.strobe_id])
    assert not GuideNumberReading.objects.exists()
    deleted = AuditEntry.objects.filter(action="deleted")
    assert deleted.filter(record_type="workshops.guidenumberreading").exists()


def test_ready_made_kinds_are_chosen_counted_and_lead_to_the_shelf(office):
    place = reverse("kit-ready-made")
    ticks = {"pick-head-600": "on", "pick-octa-90": "on", "units-octa-90": "2"}
    page = office.post(place, filled(office.get(place)) | ticks, follow=True)
    assert page.redirect_chain == [(reverse("kit"), 302)]
    shown = page.content.decode()
    assert "Added 3 kinds." in shown  # the head brings its battery
    assert "typical, meter yours" in shown
    assert Strobe.objects.get().battery_kind.name == "Pack 95 Wh"
    assert sorted(Modifier.objects.get().units.values_list("tag", flat=True)) == [
        "OCTA 90-1", "OCTA 90-2"
    ]  # fmt: skip
    again = office.get(place).content.decode()
    assert "pick-octa-90" not in again
    assert "on the shelf already" in again
    kind = office.get(reverse("kind", args=[Strobe.objects.get().pk])).content.decode()
    assert "Typical, meter yours." in kind


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({}, "Nothing is ticked"),
        ({"pick-gel-nobody": "on"}, "Nothing is ticked"),
        ({"pick-octa-90": "on", "units-octa-90": "many"}, "Octa 90: enter how many units"),
        ({"pick-octa-90": "on", "units-octa-90": "-1"}, "Octa 90: enter how many units"),
        ({"pick-octa-90": "on", "units-octa-90": "1e999"}, "Octa 90: enter how many units"),
        ({"pick-octa-90": "on", "units-octa-90": "9" * 5000}, "Octa 90: enter how many units"),
        ({"pick-octa-90": "on", "units-octa-90": "<script>"}, "Octa 90: enter how many units"),
    ],
)
def test_a_choice_in_error_keeps_ticks_and_numbers(office, typed, told):
    place = reverse("kit-ready-made")
    answer = office.post(place, filled(office.get(place)) | {"units-head-200": "4"} | typed)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    kept = filled(answer)
    assert kept["units-head-200"] == "4"
    assert kept.get("pick-octa-90", "") == typed.get("pick-octa-90", "")
    assert not KitKind.objects.exists()


def test_a_ready_made_kind_somebody_added_meanwhile_is_not_added_twice(office):
    place = reverse("kit-ready-made")
    form = filled(office.get(place)) | {"pick-octa-90": "on", "pick-head-600": "on"}
    make.ModifierFactory(name="Octa 90")
    office.post(place, form)
    assert KitKind.objects.filter(name="Octa 90").count() == 1

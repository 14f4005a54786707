"""The shelf and its kinds: what the pages show, save, and refuse in words."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import (
    AuditEntry,
    House,
    KitKind,
    KitUnit,
    Stand,
    Trigger,
)

pytestmark = pytest.mark.django_db

WHAT = (
    "strobe", "modifier", "stand", "ballast", "battery", "trigger", "meter", "nd-filter", "gel",
    "charger", "tether", "other",
)  # fmt: skip
# What the figures of each form must be given at least; the rest has defaults.
GIVEN = {
    "strobe": {"energy_ws": "200"},
    "modifier": {"width_m": "0,9", "stops": "-2"},
    "stand": {"mass_kg": "2.5", "leg_radius_m": "0.5", "top_height_m": "2.8"},
    "ballast": {"mass_kg": "5"},
    "battery": {"capacity_wh": "43"},
    "nd-filter": {"stops": "3"},
    "gel": {"loss_stops": "0.5", "shift_mired": "81"},
}


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def every_page():
    strobe, modifier = make.StrobeFactory(), make.ModifierFactory()
    unit = make.UnitFactory(kind=strobe.kitkind_ptr)
    reading = make.GuideNumberReadingFactory(strobe=strobe, modifier=modifier)
    return [
        reverse("kit"),
        reverse("kit-ready-made"),
        reverse("kind-new"),
        *(reverse("kind-new-of", args=[what]) for what in WHAT),
        *(reverse(page, args=[strobe.pk]) for page in ("kind", "kind-edit", "kind-delete")),
        reverse("unit-new", args=[strobe.pk]),
        reverse("unit-edit", args=[unit.pk]),
        reverse("unit-delete", args=[unit.pk]),
        reverse("guide-number-new", args=[strobe.pk]),
        reverse("guide-number-delete", args=[reading.pk]),
    ]


def test_every_page_opens_for_the_office(office):
    for page in every_page():
        assert office.get(page).status_code == 200, page


def test_every_page_is_closed_to_an_account_without_rights(client):
    client.force_login(make.UserFactory(role="outsider", is_staff=False, is_superuser=False))
    for page in every_page():
        assert client.get(page).status_code == 403, page


def test_every_page_leads_a_stranger_to_the_log_in(client):
    for page in every_page():
        assert client.get(page).headers["Location"].startswith(reverse("log-in")), page


def test_unknown_numbers_and_words_are_not_found(office):
    for name in ("kind", "kind-edit", "kind-delete", "unit-new", "unit-edit", "guide-number-new"):
        assert office.get(reverse(name, args=[999999])).status_code == 404
    assert office.get(reverse("kind-new-of", args=["umbrella"])).status_code == 404


def test_a_reading_is_of_a_strobe(office):
    assert office.get(reverse("guide-number-new", args=[make.StandFactory().pk])).status_code == 404


def test_an_empty_shelf_says_what_to_do_first(office):
    page = office.get(reverse("kit")).content.decode()
    assert "Choose ready-made kinds to start" in page
    assert reverse("kit-ready-made") in page


def test_the_shelf_shows_figures_and_units_by_state(office):
    strobe = make.StrobeFactory(name="Head", energy_ws=600, guide_number_m=80, mass_kg=2.9)
    for tag, state in (("A", "ready"), ("B", "ready"), ("C", "fault")):
        make.UnitFactory(kind=strobe.kitkind_ptr, tag=tag, state=state)
    page = office.get(reverse("kit")).content.decode()
    assert (
        "600 W.s · guide number 80 m, as entered, ±&nbsp;0.5 stops · 2.9\N{NO-BREAK SPACE}kg"
        in page
    )
    assert "2 ready, 1 with a fault" in " ".join(page.split())


def test_the_shelf_speaks_the_units_of_the_house(office):
    House.objects.update(units="imperial")
    make.StandFactory(mass_kg=2.5, leg_radius_m=0.5, top_height_m=2.8)
    page = office.get(reverse("kit")).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    # 2.5 / 0.45359237 = 5.51 lb; 0.5 / 0.3048 x 12 = 19.7 in; 2.8 / 0.3048 = 9.186 ft
    assert "5.5 lb · leg radius 1 ft 8 in · up to 9 ft 2 in" in page


@pytest.mark.parametrize("asked", ["ÓCTA", "m-7", "sn 44", "torn seam"])
def test_search_finds_by_name_tag_serial_and_notes(office, asked):
    octa = make.ModifierFactory(name="Octá 90")
    make.UnitFactory(kind=octa.kitkind_ptr, tag="M-7", serial="SN 44", notes="Torn seam")
    make.StandFactory(name="Heavy")
    page = office.get(reverse("kit"), {"q": asked}).content.decode()
    assert "Octá 90" in page
    assert "Heavy" not in page


def test_a_search_for_nothing_there_says_so(office):
    page = office.get(reverse("kit"), {"q": "<script>\x00"})
    assert "goes by “&lt;script&gt;" in page.content.decode()


def test_the_shelf_asks_as_often_for_many_kinds_as_for_one(office):
    def queries():
        with CaptureQueriesContext(
            connection,
        ) as asked:
            assert office.get(reverse("kit")).status_code == 200
        return len(asked)

    for factory in (make.StrobeFactory, make.ModifierFactory, make.StandFactory, make.GelFactory):
        factory()
    few = queries()
    for factory in (make.StrobeFactory, make.ModifierFactory, make.StandFactory) * 4:
        make.UnitFactory(kind=KitKind.objects.get(pk=factory().pk))
    assert queries() == few


@pytest.mark.parametrize("what", WHAT)
def test_a_new_kind_is_saved_with_its_figures_and_its_audit_entry(office, what):
    place = reverse("kind-new-of", args=[what])
    form = filled(office.get(place)) | {"name": "Mine"} | GIVEN.get(what, {})
    answer = office.post(place, form)
    kind = KitKind.objects.get(name="Mine")
    assert answer.headers["Location"] == reverse("kind", args=[kind.pk])
    assert kind.category == what.replace("-", " ")
    assert AuditEntry.objects.filter(action="created", record_text="Mine").count() == 1
    assert office.get(answer.headers["Location"]).status_code == 200


def test_figures_are_read_in_the_units_of_the_house_and_with_a_comma(office):
    House.objects.update(units="imperial")
    place = reverse("kind-new-of", args=["stand"])
    figures = {"name": "S", "mass_kg": "5,5", "leg_radius_m": "1 ft 8 in", "top_height_m": "2.8 m"}
    office.post(place, filled(office.get(place)) | figures)
    stand = Stand.objects.get()
    assert stand.mass_kg == pytest.approx(5.5 * 0.45359237)
    assert stand.leg_radius_m == pytest.approx(20 * 0.0254)
    assert stand.top_height_m == 2.8


def test_a_kind_in_error_keeps_everything_typed(office):
    place = reverse("kind-new-of", args=["strobe"])
    form = filled(office.get(place)) | {"name": "Head", "recycle_s": "1.5", "notes": "Kept."}
    answer = office.post(place, form)  # neither energy nor guide number
    assert answer.status_code == 422
    assert "Energy: enter the W.s, or a guide number." in answer.content.decode()
    assert filled(answer)["recycle_s"] == "1.5"
    assert filled(answer)["notes"] == "Kept."
    assert not KitKind.objects.exists()


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
@pytest.mark.parametrize(
    ("what", "more"),
    [
        ("strobe", ("least_power", "power_step_stops", "overheat_flashes", "battery_kind")),
        ("modifier", ("shape", "beam_deg")),
        ("other", ("category",)),
    ],
)
def test_absurd_text_in_a_kind_is_kept_or_refused_in_words(office, what, more, text):
    place = reverse("kind-new-of", args=[what])
    blank = filled(office.get(place))
    for name in ("name", "maker_text", "notes", "mass_kg", *GIVEN.get(what, {}), *more):
        answer = office.post(place, blank | {"name": "Fine"} | GIVEN.get(what, {}) | {name: text})
        assert answer.status_code in (302, 422), name
        assert "<script>alert" not in answer.content.decode()
        if answer.status_code == 302:
            assert "<script>alert" not in office.get(answer.headers["Location"]).content.decode()
        KitKind.objects.all().delete()


def test_a_kind_leads_to_the_row_with_its_figures(office):
    trigger = make.TriggerFactory(name="Radio", fits="Alder")
    page = office.get(reverse("kind", args=[trigger.pk])).content.decode()
    assert "fits Alder" in page
    place = reverse("kind-edit", args=[trigger.pk])
    office.post(place, filled(office.get(place)) | {"sync_penalty_stops": "1/2"})
    assert Trigger.objects.get().sync_penalty_stops == 0.5


def test_a_stale_edit_is_refused_with_both_versions(office):
    stand = make.StandFactory(name="Old name")
    place = reverse("kind-edit", args=[stand.pk])
    form = filled(office.get(place))
    office.post(place, form | {"name": "Theirs"})
    answer = office.post(place, form | {"name": "Mine"})
    assert answer.status_code == 409
    assert "Theirs" in answer.content.decode()
    assert "Mine" in answer.content.decode()
    assert Stand.objects.get().name == "Theirs"


def test_a_kind_in_use_is_not_deleted_and_the_page_says_what_uses_it(office):
    trigger = make.TriggerFactory(name="Radio")
    make.UnitFactory(kind=trigger.kitkind_ptr, tag="T1")
    page = office.post(reverse("kind-delete", args=[trigger.pk]), follow=True).content.decode()
    assert "Radio is used by unit of kit T1 (Radio): change or delete that first." in page
    KitUnit.objects.all().delete()
    office.post(reverse("kind-delete", args=[trigger.pk]))
    assert not KitKind.objects.exists()
    assert AuditEntry.objects.filter(action="deleted", record_text="Radio").exists()

"""The form of a place: what it saves, finds out and refuses in words."""

import pytest
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, House, Location

pytestmark = pytest.mark.django_db

NEW = reverse("location-new")
# One point in five notations; 44' 06.36" is 44.106 minutes is 0.7351 of a degree, and
# 31' 55.2" is 31.92 minutes is 0.532: sexagesimal arithmetic by hand.
NOTATIONS = (
    "50.7351, -3.5320",
    "50°44'06.36\"N 3°31'55.2\"W",
    "N 50 44.106 W 3 31.92",
    "geo:50.7351,-3.532",
    "50,7351; -3,5320",
)


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def words(page) -> str:
    """The text of a page with its line breaks and no-break spaces as single spaces."""
    return " ".join(page.content.decode().replace("&nbsp;", " ").split())


@pytest.mark.parametrize("pasted", NOTATIONS)
def test_pasted_coordinates_fill_latitude_and_longitude(office, pasted):
    form = filled(office.get(NEW)) | {"name": "Weir", "coordinates": pasted}
    answer = office.post(NEW, form)
    place = Location.objects.get()
    assert answer.headers["Location"] == reverse("location", args=[place.pk])
    assert place.latitude_deg == pytest.approx(50.7351, abs=1e-9)
    assert place.longitude_deg == pytest.approx(-3.5320, abs=1e-9)
    assert AuditEntry.objects.filter(action="created", record_text="Weir").count() == 1


@pytest.mark.parametrize(
    ("pasted", "zone"),
    [
        # The zones of these towns: IANA Time Zone Database, zone1970.tab.
        ("51.5074, -0.1278", "Europe/London"),
        ("33.8688 S 151.2093 E", "Australia/Sydney"),
        ("28.1235, -15.4363", "Atlantic/Canary"),
        ("-43.95, -176.56", "Pacific/Chatham"),
    ],
)
def test_the_time_zone_is_found_from_the_coordinates_and_told(office, pasted, zone):
    form = filled(office.get(NEW)) | {"name": "Here", "coordinates": pasted}
    page = office.post(NEW, form, follow=True)
    assert Location.objects.get().timezone_name == zone
    assert zone in words(page)


def test_a_zone_chosen_by_hand_wins_and_a_differing_one_is_pointed_out(office):
    form = filled(office.get(NEW)) | {"name": "Here", "coordinates": "51.5, -0.1"}
    page = words(office.post(NEW, form | {"timezone_name": "Europe/Paris"}, follow=True))
    assert Location.objects.get().timezone_name == "Europe/Paris"
    assert "Times here are in Europe/Paris, but the coordinates lie in Europe/London" in page


def test_no_zone_can_be_found_without_coordinates(office):
    answer = office.post(NEW, filled(office.get(NEW)) | {"name": "Somewhere"})
    assert answer.status_code == 422
    assert "Time zone: choose one, or enter coordinates to find it from." in words(answer)
    answer = office.post(
        NEW, filled(office.get(NEW)) | {"name": "Somewhere", "timezone_name": "Europe/Madrid"}
    )
    page = words(office.get(answer.headers["Location"]))
    assert Location.objects.get().latitude_deg is None
    assert "none yet: no sun, no sheet" in page


@pytest.mark.parametrize(
    "nonsense",
    ["here", "91, 0", "89.9, 0", "50.7", "50.7, 190", "50°61'N 3°W", "1e999, 1", "<b>1</b>, 2"],
)
def test_nonsense_is_refused_at_its_field_with_nothing_lost(office, nonsense):
    typed = {"name": "Weir", "coordinates": nonsense, "horizon_pairs": "90 12", "notes": "Kept."}
    answer = office.post(NEW, filled(office.get(NEW)) | typed)
    assert answer.status_code == 422
    assert 'href="#id_coordinates"' in answer.content.decode()
    assert answer.context["form"].errors.keys() == {"coordinates"}
    assert answer.context["form"]["coordinates"].value() == nonsense
    assert filled(answer)["horizon_pairs"] == "90 12"
    assert filled(answer)["notes"] == "Kept."
    assert not Location.objects.exists()


def test_a_horizon_left_alone_stays_exact(office):
    place = make.LocationFactory(horizon=[[123.456789, 3.000001]])
    edit = reverse("location-edit", args=[place.pk])
    office.post(edit, filled(office.get(edit)) | {"notes": "Muddy"})
    place.refresh_from_db()
    assert (place.notes, place.horizon) == ("Muddy", [[123.456789, 3.000001]])


def test_coordinates_left_alone_stay_as_they_are_and_emptied_ones_go(office):
    exact = make.LocationFactory(latitude_deg=50.612345678, longitude_deg=-4.7712345678)
    place = reverse("location-edit", args=[exact.pk])
    form = filled(office.get(place))
    assert form["coordinates"] == "50.61235, -4.77123"
    office.post(place, form | {"notes": "Muddy"})
    exact.refresh_from_db()
    assert (exact.latitude_deg, exact.longitude_deg) == (50.612345678, -4.7712345678)
    office.post(place, filled(office.get(place)) | {"coordinates": ""})
    exact.refresh_from_db()
    assert (exact.latitude_deg, exact.longitude_deg) == (None, None)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("123.456789 3", [[123.456789, 3]]),
        ("0, 3\n90, 12,5\n200, 0", [[0, 3], [90, 12.5], [200, 0]]),
        ("200 0\n\n  0 3\n90 12.5", [[0, 3], [90, 12.5], [200, 0]]),
        ("E 12.5; SSW -1", [[90, 12.5], [202.5, -1]]),
        ("", []),
    ],
)
def test_a_horizon_is_read_with_commas_and_in_any_order(office, typed, kept):
    form = filled(office.get(NEW)) | {"name": "Here", "coordinates": "-33.9, 151.2"}
    office.post(NEW, form | {"horizon_pairs": typed})
    assert Location.objects.get().horizon == kept


@pytest.mark.parametrize("typed", ["90 12\n90 13", "90", "400 3", "90 95", "N 1\n0 2", "here 4"])
def test_a_horizon_that_cannot_be_read_is_refused_and_kept_as_typed(office, typed):
    form = filled(office.get(NEW)) | {"name": "Here", "coordinates": "-33.9, 151.2"}
    answer = office.post(NEW, form | {"horizon_pairs": typed})
    assert answer.status_code == 422
    assert answer.context["form"].errors.keys() == {"horizon_pairs"}
    assert filled(answer)["horizon_pairs"] == typed


def test_lengths_are_typed_and_shown_in_the_units_of_the_house(office):
    House.objects.update(units="imperial")
    form = filled(office.get(NEW)) | {"name": "Here", "coordinates": "50.6, -4.7"}
    office.post(NEW, form | {"water": "tidal", "water_distance_m": "100"})
    place = Location.objects.get()
    assert place.water_distance_m == pytest.approx(30.48)  # a foot is 0.3048 m, NIST SP 811
    page = words(office.get(reverse("location", args=[place.pk])))
    assert "100 ft" in page.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_in_a_place_is_kept_or_refused_in_words(office, text):
    blank = filled(office.get(NEW)) | {"name": "Fine", "coordinates": "50.6, -4.7"}
    for name in blank:
        if name in ("csrfmiddlewaretoken", "seen"):
            continue
        answer = office.post(NEW, blank | {name: text})
        assert answer.status_code in (302, 422), name
        assert "<script>alert" not in answer.content.decode()
        if answer.status_code == 302:
            page = office.get(answer.headers["Location"])
            assert page.status_code == 200
            assert "<script>alert" not in page.content.decode()
        Location.objects.all().delete()


def test_a_stale_edit_is_refused_with_both_versions(office):
    place = reverse("location-edit", args=[make.LocationFactory(name="Old name").pk])
    form = filled(office.get(place))
    office.post(place, form | {"name": "Theirs", "coordinates": "10, 20", "horizon_pairs": "E 5"})
    answer = office.post(place, form | {"name": "Mine", "coordinates": "N 30 W 40"})
    page = answer.content.decode()
    assert answer.status_code == 409
    for text in ("Theirs", "Mine", "10.00000, 20.00000", "N 30 W 40", "90 5"):
        assert text in page, text
    assert Location.objects.get().name == "Theirs"


def test_a_place_is_deleted_with_its_audit_entry(office):
    place = make.LocationFactory(name="Cove")
    office.post(reverse("location-delete", args=[place.pk]))
    assert not Location.objects.exists()
    assert AuditEntry.objects.filter(action="deleted", record_text="Cove").exists()

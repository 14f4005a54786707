"""The kit the planned sets ask for, and what one press reserves of it."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories as make
from tests.pages.days import COMING, coming, seated, words
from workshops.services.reservations import reserve

pytestmark = pytest.mark.django_db


@pytest.fixture
def office(client):
    make.HouseFactory(timezone_name="Europe/London")
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


def page_of(workshop):
    return reverse("suggested-kit", args=[workshop.pk])


def planned(workshop, **more):
    """One octa on one stand for two hours, its kinds with two units each."""
    planned_set = make.SetFactory(
        workshop=workshop, start_at=COMING, end_at=COMING + timedelta(hours=2), **more
    )
    light = make.LightFactory(planned_set=planned_set, bag_kg=10.0)
    bags = make.models.Ballast.objects.create(name="Bag 5", mass_kg=5.0)
    for kind, tag in ((light.strobe, "S"), (light.stand, "ST"), (light.modifier, "M"), (bags, "B")):
        for number in (1, 2):
            make.UnitFactory(kind=kind.kitkind_ptr, tag=f"{tag}{number}")
    return light


def test_without_a_set_the_page_says_what_to_do_first(office):
    workshop = coming()
    page = words(office.get(page_of(workshop)))
    assert "No set is planned yet" in page
    assert reverse("sets", args=[workshop.pk]) in page


def test_all_that_is_missing_is_reserved_by_one_press_and_not_twice(office):
    workshop = coming()
    light = planned(workshop)
    page = words(office.get(page_of(workshop)))
    # One head and one spare; one stand and one spare; the octa; 10 kg in bags of 5; a pack and a
    # spare, of which the shelf has none.
    assert "2 × " in page
    assert "10 kg as entered, no wind forecast" in page
    assert "2 not to be had" in page
    answer = office.post(page_of(workshop), {"kind": "all"}, follow=True)
    told = words(answer)
    assert "7 units are reserved:" in told
    assert f"{light.strobe.battery_kind}: 2" in told
    tags = sorted(row.unit.tag for row in workshop.kit.all())
    assert tags == ["B1", "B2", "M1", "S1", "S2", "ST1", "ST2"]
    office.post(page_of(workshop), {"kind": "all"})
    assert workshop.kit.count() == 7


def test_one_line_is_reserved_by_its_own_button(office):
    workshop = coming()
    light = planned(workshop)
    office.post(page_of(workshop), {"kind": str(light.stand_id)})
    assert {row.unit.tag for row in workshop.kit.all()} == {"ST1", "ST2"}
    for absurd in ("", "9" * 30, "\N{SUPERSCRIPT TWO}", "<script>"):
        answer = office.post(page_of(workshop), {"kind": absurd}, follow=True)
        assert "Nothing is missing of it." in words(answer)
    assert workshop.kit.count() == 2


def test_what_is_promised_elsewhere_is_told_and_left_there(office):
    workshop, other = coming(), coming(title="Slate coast")
    light = planned(workshop)
    reserve(by=None, workshop=other, units=light.strobe.units.filter(tag="S1"))
    assert "S1: promised to" in words(office.get(page_of(workshop)))
    told = words(office.post(page_of(workshop), {"kind": str(light.strobe_id)}, follow=True))
    assert "1 unit is reserved: S2." in told
    assert f"Not to be had in these hours: {light.strobe}: 1." in told


def test_a_set_that_cannot_be_counted_is_named_with_the_reason(office):
    workshop = coming()
    planned(
        workshop, location=make.LocationFactory(name="Cove", latitude_deg=None, longitude_deg=None)
    )
    page = words(office.get(page_of(workshop)))
    assert "is not counted: Cove has no coordinates" in page


def test_an_instructor_reads_the_list_and_reserves_nothing(client):
    person, workshop = make.PersonFactory(), coming()
    make.RoleFactory(workshop=workshop, person=person, role="lead")
    planned(workshop)
    client.force_login(
        make.UserFactory(role="instructor", is_superuser=False, is_staff=False, person=person)
    )
    page = words(client.get(page_of(workshop)))
    assert "2 missing" in page
    assert "Reserve" not in page
    assert client.post(page_of(workshop), {"kind": "all"}).status_code == 403
    assert client.get(page_of(coming())).status_code == 404


def test_the_page_asks_as_often_for_many_sets_and_people_as_for_one(office):
    workshop = coming(seats=6)
    planned(workshop)
    seated(workshop, camera=make.CameraFactory())

    def queries():
        with CaptureQueriesContext(connection) as asked:
            assert office.get(page_of(workshop)).status_code == 200
        return len(asked)

    few = queries()
    for _ in range(3):
        light = make.LightFactory(planned_set=make.SetFactory(workshop=workshop))
        make.UnitFactory(kind=light.strobe.kitkind_ptr)
        seated(workshop, camera=make.CameraFactory())
    assert queries() == few

"""People and their cameras: found, kept, refused in words."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, CameraBody, Person

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def names(page) -> list[str]:
    return [person.name for person in page.context["page"]]


def test_the_search_minds_neither_case_nor_accents(office):
    make.PersonFactory(name="Ángela Núñez")
    make.PersonFactory(name="Bea Lund")
    make.CameraFactory(owner=make.PersonFactory(name="Cyd Moran"), name="Crop D")
    for asked, found in (
        ("angela", ["Ángela Núñez"]),
        ("NUÑEZ", ["Ángela Núñez"]),
        ("lund bea", ["Bea Lund"]),
        ("crop", ["Cyd Moran"]),
        ("nobody", []),
    ):
        assert names(office.get(reverse("people"), {"q": asked})) == found


def test_the_list_asks_no_more_queries_for_more_people(office):
    make.CameraFactory()
    with CaptureQueriesContext(connection) as one:
        office.get(reverse("people"))
    for _more in range(11):
        make.CameraFactory()
    with CaptureQueriesContext(connection) as twelve:
        office.get(reverse("people"))
    assert len(twelve) == len(one)


def test_a_person_is_entered_with_an_audit_entry(office):
    form = filled(office.get(reverse("person-new"))) | {"name": "Dov Ansel"}
    page = office.post(reverse("person-new"), form)
    person = Person.objects.get()
    assert page.url == reverse("person", args=[person.pk])
    assert AuditEntry.objects.get().who == office.user


def test_a_camera_is_typed_in_marks(office):
    owner = make.PersonFactory()
    url = reverse("camera-new", args=[owner.pk])
    form = filled(office.get(url)) | {"name": "Full frame", "sync_s": "1/200"}
    assert office.post(url, form).status_code == 302
    camera = CameraBody.objects.get()
    # The third-stop member that carries the mark 1/200 is 2^(-23/3) s (ISO 516 series).
    assert camera.sync_s == pytest.approx(2 ** (-23 / 3))
    assert "1/200" in office.get(reverse("person", args=[owner.pk])).content.decode()


def test_somebody_under_age_needs_a_guardian(office):
    form = filled(office.get(reverse("person-new"))) | {"name": "Eka", "under_age": "on"}
    page = office.post(reverse("person-new"), form)
    assert page.status_code == 422
    assert "enter the adult who comes along" in page.content.decode()
    assert 'value="Eka"' in page.content.decode()


def test_a_person_with_a_booking_is_not_deleted_but_told_why(office):
    booking = make.BookingFactory()
    url = reverse("person-delete", args=[booking.person_id])
    page = office.post(url, follow=True).content.decode()
    assert "is used by booking" in page
    assert Person.objects.filter(pk=booking.person_id).exists()


@pytest.mark.parametrize("text", ABSURD, ids=range(len(ABSURD)))
def test_absurd_texts_are_kept_or_refused_never_an_error(office, text):
    form = filled(office.get(reverse("person-new")))
    typed = dict.fromkeys(("name", "email", "phone", "notes", "birth_date", "dietary"), text)
    page = office.post(reverse("person-new"), form | typed)
    assert page.status_code == 422
    assert "<script>alert" not in page.content.decode()
    office.post(reverse("person-new"), form | {"name": text, "notes": text})
    listed = office.get(reverse("people"), {"q": text[:50]})
    assert listed.status_code == 200
    assert "<script>alert" not in listed.content.decode()

"""People and their cameras: found, kept, refused in words."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import coming
from tests.records.browser import filled
from workshops.errors import Refused
from workshops.models import AuditEntry, CameraBody, Person
from workshops.services.records import save_record

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


@pytest.mark.parametrize("born", ["0008-05-03", "1899-12-31", "2199-05-03"])
def test_a_birth_date_that_can_be_nobodys_is_refused_at_its_field(office, born):
    url, told = reverse("person-new"), "Birth date: enter a day from 1900 to today"
    form = filled(office.get(url)) | {"name": "Eka", "birth_date": born, "guardian_name": "Cy"}
    page = office.post(url, form)
    assert page.status_code == 422
    assert told in page.context["form"].errors["birth_date"][0]
    assert f'value="{born}"' in page.content.decode()
    url = reverse("booking-new", args=[coming().pk])
    page = office.post(url, filled(office.get(url)) | {"name": "Eka", "birth_date": born})
    assert told in page.context["form"].errors["birth_date"][0]
    with pytest.raises(Refused, match=told):  # whoever asks the service
        save_record(by=None, record=Person(name="Eka", birth_date=date.fromisoformat(born)))
    assert not Person.objects.exists()


def test_whoever_was_born_today_or_in_1900_is_taken(office):
    for born in ("1900-01-01", f"{timezone.now():%Y-%m-%d}"):
        form = filled(office.get(reverse("person-new"))) | {"name": "Eka", "birth_date": born}
        page = office.post(reverse("person-new"), form | {"guardian_name": "Cy"})
        assert page.status_code == 302


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

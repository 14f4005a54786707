"""Medical answers: encrypted at rest, read by the lead alone, erased in time."""

import base64
import hashlib
import hmac
import io
import logging
from datetime import timedelta

import pytest
from cryptography.fernet import Fernet
from django.contrib import admin
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django.views.debug import ExceptionReporter

from planning.services.closing import close_workshop
from tests import factories as make
from tests.records.browser import filled
from workshops.due import due
from workshops.errors import Refused
from workshops.models import AuditEntry, MedicalAnswers, Workshop
from workshops.services import links
from workshops.services.cancelling import cancel_booking
from workshops.services.medical import encrypt_anew, keep_medical
from workshops.services.questionnaire import new_questionnaire_link
from workshops.services.workshops import save_workshop

pytestmark = pytest.mark.django_db

CANARY = "Canary-of-the-quarry"
FORM = "/questionnaire/"


@pytest.fixture
def booking():
    make.HouseFactory()
    soon = timezone.now() + timedelta(days=30)
    workshop = make.WorkshopFactory(start_at=soon, end_at=soon + timedelta(hours=9))
    person = make.PersonFactory(name="Ada Quill", emergency_name="Bo", emergency_phone="0123 4567")
    return make.BookingFactory(workshop=workshop, person=person)


def keep(booking, now=None, **told) -> MedicalAnswers | None:
    return keep_medical(
        by=None,
        person=booking.person,
        workshop=booking.workshop,
        told=told or {"rest": CANARY},
        now=now or timezone.now(),
    )


def raw() -> str:
    with connection.cursor() as cursor:
        cursor.execute("SELECT text FROM workshops_medicalanswers ORDER BY id")
        return cursor.fetchone()[0]


def whole_database() -> str:
    with connection.cursor() as cursor:
        held = []
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            held += cursor.fetchall()
    return repr(held)


def answered(booking, **typed) -> Client:
    """Send the questionnaire as a browser does, and return the browser."""
    link = new_questionnaire_link(
        by=None, person=booking.person, workshop=booking.workshop, now=timezone.now()
    )
    client = Client(raise_request_exception=False)
    page = client.get(reverse("questionnaire-open", args=[links.token(link)]), follow=True)
    client.answer = client.post(FORM, filled(page) | typed)
    return client


def lead_of(workshop, **account):
    person = make.RoleFactory(workshop=workshop, role="lead").person
    return make.UserFactory(
        person=person, **{"role": "instructor", "is_staff": False, "is_superuser": False} | account
    )


def logged_in(user) -> Client:
    client = Client()
    client.force_login(user)
    return client


def test_the_database_holds_a_token_by_the_specification_and_no_plain_text(booking, settings):
    answered(booking, **{"medical-rest": CANARY, "medical-no_strobe": "on"})
    assert MedicalAnswers.objects.get().told == {"rest": CANARY, "no_strobe": True}
    assert CANARY not in whole_database()
    # Fernet specification: version 0x80, time, IV, ciphertext, and an HMAC-SHA256 of all of that
    # with the first half of the 32-byte key.
    token = base64.urlsafe_b64decode(raw())
    signing = base64.urlsafe_b64decode(settings.FIELD_KEYS[0])[:16]
    assert token[0] == 0x80
    assert hmac.new(signing, token[:-32], hashlib.sha256).digest() == token[-32:]


def test_a_dump_of_the_records_holds_the_token_and_puts_it_back(booking, tmp_path):
    keep(booking)
    file = tmp_path / "dump.json"
    call_command("dumpdata", "workshops.medicalanswers", output=str(file))
    assert CANARY not in file.read_text()
    MedicalAnswers.objects.all().delete()
    call_command("loaddata", str(file), verbosity=0)
    assert MedicalAnswers.objects.get().told == {"rest": CANARY}
    assert CANARY not in raw()


def test_an_older_key_still_reads_until_all_is_encrypted_anew(booking, settings):
    old, new = Fernet.generate_key().decode(), Fernet.generate_key().decode()
    settings.FIELD_KEYS = [old]
    keep(booking)
    settings.FIELD_KEYS = [new, old]
    assert MedicalAnswers.objects.get().told == {"rest": CANARY}
    said = io.StringIO()
    call_command("medical", "encrypt", stdout=said)
    assert "1 person with the first key" in said.getvalue()
    settings.FIELD_KEYS = [new]
    assert MedicalAnswers.objects.get().told == {"rest": CANARY}


def test_with_its_key_lost_an_answer_is_gone_not_broken(booking, settings):
    keep(booking, no_strobe=True, rest=CANARY)
    client = logged_in(lead_of(booking.workshop))
    settings.FIELD_KEYS = [Fernet.generate_key().decode()]
    page = client.get(reverse("medical-answers", args=[booking.workshop_id]))
    assert "cannot be read any more" in page.content.decode()
    assert encrypt_anew() == (0, 1)
    # Whether it asked for calm nobody knows: the caution stays when others answer.
    keep(make.BookingFactory(workshop=booking.workshop, seat__number=8), rest="no")
    assert Workshop.objects.get().strobe_sensitive
    assert answered(booking, **{"medical-before": "replace", "medical-rest": "told anew"}).answer
    assert MedicalAnswers.objects.get(person=booking.person).told == {"rest": "told anew"}


@pytest.mark.parametrize("office", ["superuser", "clerk", "office who leads another"])
def test_nobody_but_the_lead_reads_them(booking, office):
    keep(booking)
    user = {
        "superuser": lambda: make.UserFactory(),
        "clerk": lambda: make.UserFactory(is_superuser=False, is_staff=False),
        "office who leads another": lambda: lead_of(
            make.WorkshopFactory(), role="office", is_superuser=True, is_staff=True
        ),
    }[office]()
    client = logged_in(user)
    page = reverse("medical-answers", args=[booking.workshop_id])
    assert client.get(page).status_code == 403
    for place in (
        reverse("workshop", args=[booking.workshop_id]),
        reverse("workshop-questionnaires", args=[booking.workshop_id]),
        reverse("booking-questionnaire", args=[booking.pk]),
        reverse("person", args=[booking.person_id]),
    ):
        shown = client.get(place).content.decode()
        assert CANARY not in shown
        assert page not in shown
    assert not AuditEntry.objects.filter(action="read").exists()


def test_the_lead_reads_them_and_each_reading_is_noted_without_what_it_says(booking):
    keep(booking, rest=CANARY, no_strobe=True)
    lead = lead_of(booking.workshop)
    client = logged_in(lead)
    page = reverse("medical-answers", args=[booking.workshop_id])
    assert page in client.get(reverse("workshop", args=[booking.workshop_id])).content.decode()
    answer = client.get(page)
    assert CANARY in answer.content.decode()
    assert answer.headers["Cache-Control"] == "no-store"
    noted = AuditEntry.objects.get(action="read")
    assert (noted.who, noted.record_id) == (lead, str(booking.workshop_id))
    client.get(page)
    assert AuditEntry.objects.filter(action="read").count() == 2
    office = logged_in(make.UserFactory())
    history = reverse("history", args=["workshops.workshop", booking.workshop_id])
    assert lead.email in office.get(history).content.decode()
    assert CANARY not in whole_database()


def test_whoever_has_the_link_cannot_read_what_was_told_before(booking):
    client = answered(booking, **{"medical-rest": CANARY})
    page = client.get(FORM)
    assert CANARY not in page.content.decode()
    assert "You told something here" in page.content.decode()
    typed = filled(page)
    assert client.post(FORM, typed).status_code == 302  # kept as it was
    assert MedicalAnswers.objects.get().told == {"rest": CANARY}
    mixed = typed | {"medical-rest": "more"}
    assert client.post(FORM, mixed).status_code == 422
    assert client.post(FORM, mixed | {"medical-before": "replace"}).status_code == 302
    assert MedicalAnswers.objects.get().told == {"rest": "more"}
    assert client.post(FORM, typed | {"medical-before": "erase"}).status_code == 302
    assert not MedicalAnswers.objects.exists()


def test_the_caution_about_flashes_follows_the_answers_and_names_nobody(booking):
    other = make.BookingFactory(workshop=booking.workshop, seat__number=8)
    keep(booking, no_strobe=True)
    keep(other, no_strobe=True)
    assert Workshop.objects.get().strobe_sensitive
    keep(booking, rest="now this")
    assert Workshop.objects.get().strobe_sensitive
    keep(other, rest="")
    assert not Workshop.objects.get().strobe_sensitive
    # No entry of the audit ties the caution to whoever answered at that instant, or says whose
    # answers they are.
    assert not AuditEntry.objects.filter(record_type="workshops.workshop").exists()
    for entry in AuditEntry.objects.filter(record_type="workshops.medicalanswers"):
        assert entry.record_text == "medical answers"
        assert str(booking.person_id) not in str(entry.changes.get("person"))


def test_a_caution_the_office_raised_stays_and_one_asked_for_cannot_be_lifted(booking):
    workshop = booking.workshop
    Workshop.objects.update(strobe_sensitive=True)
    keep(booking, rest="only this")
    assert Workshop.objects.get().strobe_sensitive
    keep(booking, no_strobe=True)
    workshop.refresh_from_db()
    workshop.strobe_sensitive = False
    with pytest.raises(Refused, match="own answers"):
        saved(workshop)


def saved(workshop, now=None):
    return save_workshop(
        by=None, workshop=workshop, seats=9, places=[], lead=None, now=now or timezone.now()
    )


def test_closing_erases_them_and_the_caution(booking):
    keep(booking, no_strobe=True)
    Workshop.objects.update(status="run")
    booking.state = "attended"
    booking.save()
    workshop = Workshop.objects.get()
    after = workshop.end_at + timedelta(hours=1)
    close_workshop(by=None, workshop=workshop, reasons={}, now=after)
    assert not MedicalAnswers.objects.exists()
    assert not Workshop.objects.get().strobe_sensitive
    with pytest.raises(Refused, match="kept for it no longer"):
        keep(booking)


def test_what_is_due_is_erased_fourteen_days_after_the_end_and_not_before(booking):
    keep(booking)
    end = booking.workshop.end_at
    due(end + timedelta(days=14) - timedelta(seconds=1))
    assert MedicalAnswers.objects.exists()
    assert "erased the medical answers of 1 person" in due(end + timedelta(days=14))
    assert not MedicalAnswers.objects.exists()
    assert due(end + timedelta(days=14)) == []


def test_whoever_gives_the_seat_back_is_erased_too_and_the_caution_goes(booking):
    keep(booking, no_strobe=True)
    booking.state, booking.seat, booking.cancelled_at = "cancelled", None, timezone.now()
    booking.save()
    due(timezone.now())
    assert not MedicalAnswers.objects.exists()
    assert not Workshop.objects.get().strobe_sensitive


def test_the_command_erases_one_workshop_or_all_that_is_overdue(booking):
    keep(booking)
    said = io.StringIO()
    call_command("medical", "erase", stdout=said)
    assert "of 0 people" in said.getvalue()
    call_command("medical", "erase", workshop=booking.workshop_id, stdout=said)
    assert "of 1 person" in said.getvalue()
    assert not MedicalAnswers.objects.exists()
    with pytest.raises(CommandError, match="no workshop of number 999"):
        call_command("medical", "erase", workshop=999)


def test_a_fault_while_saving_tells_nothing_of_it_in_log_or_report(booking, settings, caplog):
    settings.FIELD_KEYS = ["no key at all"]
    with caplog.at_level(logging.DEBUG):
        client = answered(booking, **{"medical-rest": CANARY})
    assert client.answer.status_code == 500
    assert CANARY not in client.answer.content.decode()
    assert CANARY not in caplog.text
    failed = next(one for one in caplog.records if one.exc_info)
    report = ExceptionReporter(failed.request, *failed.exc_info)
    assert "get_prep_value" in report.get_traceback_html()
    assert CANARY not in report.get_traceback_html() + report.get_traceback_text()
    booking.person.refresh_from_db()
    assert not MedicalAnswers.objects.exists()


def test_they_are_not_in_the_admin_and_their_name_tells_nothing(booking):
    assert MedicalAnswers not in admin.site._registry
    assert str(keep(booking)) == "medical answers"


def test_a_booking_cancelled_by_the_office_takes_them_along_at_once(booking):
    keep(booking, no_strobe=True)
    cancel_booking(by=None, booking=booking, now=timezone.now())
    assert not MedicalAnswers.objects.exists()
    assert not Workshop.objects.get().strobe_sensitive

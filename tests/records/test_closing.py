"""A workshop is closed over nothing that is open without a reason, all at once or not at all."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction

from planning.models import TallyEvent
from planning.selectors.closing import checklist, closing_of, foretold
from planning.services.closing import close_workshop, open_again
from planning.services.flash_readings import erase_flash_reading, record_flash_reading
from planning.services.sets import copy_set, record_reading, save_set
from planning.services.turns import note_turn
from tests import factories as make
from workshops.errors import AlreadyOut, Refused
from workshops.models import AuditEntry, Closing, MedicalAnswers, Message, SignedLink, Workshop
from workshops.services.bookings import book_person, set_state
from workshops.services.checkouts import sign_out, take_back
from workshops.services.handout_links import handout_link
from workshops.services.medical import keep_medical
from workshops.services.presence import Presence, note_presence
from workshops.services.records import erase_record
from workshops.services.workshops import open_workshop, save_workshop

pytestmark = pytest.mark.django_db

OVER = make.WorkshopFactory.end_at + timedelta(hours=2)


@pytest.fixture
def office():
    make.HouseFactory()
    return make.UserFactory()


@pytest.fixture
def workshop():
    """A day that has run, with nothing planned and nobody booked: nothing is open."""
    return make.WorkshopFactory(status="run")


def open_keys(workshop, now=OVER) -> list[str]:
    return [item.key.partition("-")[0] for one in checklist(workshop, now) for item in one.items]


def close(workshop, by=None, now=OVER, **reasons):
    return close_workshop(by=by, workshop=workshop, reasons=reasons, now=now)


def all_reasons(workshop, now=OVER) -> dict[str, str]:
    return {one.key: "It rained" for check in checklist(workshop, now) for one in check.items}


def attendee(workshop, state="attended", **person):
    return make.BookingFactory(workshop=workshop, state=state, person=make.PersonFactory(**person))


def test_with_nothing_open_it_is_closed(office, workshop):
    closing = close(workshop, by=office)
    workshop.refresh_from_db()
    assert (workshop.status, closing.by, closing.closed_at) == ("closed", office, OVER)
    assert list(closing.let_by.all()) == []


def test_each_thing_left_open_is_named_with_the_page_that_mends_it(workshop):
    attendee(workshop, state="confirmed", name="Abel Finch")
    make.CheckoutFactory(workshop=workshop, unit__tag="T-04", person__name="Bea Lund")
    faulty = make.UnitFactory(tag="S-01", state="fault")
    make.ReservationFactory(workshop=workshop, unit=faulty)
    planned = make.SetFactory(workshop=workshop, title="Chimney")
    assert open_keys(workshop) == ["presence", "out", "fault", "set"]
    items = [item for one in checklist(workshop, OVER) for item in one.items]
    told = " ".join(item.words for item in items)
    for words in ("Abel Finch", "T-04", "Bea Lund", "S-01", planned.title, "began and ended"):
        assert words in told
    assert all(item.place.startswith("/") for item in items)
    with pytest.raises(Refused, match="4 things are open") as refusal:
        close(workshop)
    assert set(refusal.value.error_dict) == {"__all__"} | {item.key for item in items}
    assert Workshop.objects.get(pk=workshop.pk).status == "run"
    assert not Closing.objects.exists()


def test_a_fault_with_words_is_fine(workshop):
    faulty = make.UnitFactory(state="fault", notes="2027-05-08: the foot is loose")
    make.ReservationFactory(workshop=workshop, unit=faulty)
    assert open_keys(workshop) == []


def test_a_reason_for_each_open_thing_is_kept(office, workshop):
    booking = attendee(workshop, state="confirmed", name="Abel Finch")
    make.SetFactory(workshop=workshop, title="Chimney")
    reasons = all_reasons(workshop)
    with pytest.raises(Refused, match="1 thing is open"):
        close(workshop, **{f"presence-{booking.pk}": "Left before the list went round"})
    closing = close(workshop, by=office, **reasons)
    kept = {one.what: one.reason for one in closing.let_by.all()}
    assert len(kept) == 2
    assert set(kept.values()) == {"It rained"}


def test_a_reason_of_nothing_but_blanks_is_none(workshop):
    booking = attendee(workshop, state="confirmed")
    with pytest.raises(Refused, match="1 thing is open"):
        close(workshop, **{f"presence-{booking.pk}": "  \n "})


def test_a_reason_too_long_to_keep_is_refused_not_cut(workshop):
    booking = attendee(workshop, state="confirmed")
    with pytest.raises(Refused, match="200 characters at most"):
        close(workshop, **{f"presence-{booking.pk}": "x" * 201})


def test_a_reason_given_for_what_a_set_lacked_does_not_stand_for_more(workshop):
    planned = make.SetFactory(workshop=workshop)
    for kind, hours in (("set began", 0), ("set ended", 1)):
        at = planned.start_at + timedelta(hours=hours)
        make.EventFactory(planned_set=planned, kind=kind, at=at)
    attendee(workshop)
    seen = all_reasons(workshop)
    began = TallyEvent.objects.get(kind="set began")
    make.EventFactory(planned_set=planned, kind="set began", at=OVER, takes_back=began)
    with pytest.raises(Refused, match="began and ended"):
        close(workshop, **seen)


def test_money_owed_is_told_and_wants_no_reason(workshop):
    workshop.price = 180
    workshop.save()
    booking = attendee(workshop, name="Abel Finch")
    (item,) = [item for one in checklist(workshop, OVER) for item in one.items]
    assert item.warning
    assert "Abel Finch still owes 180.00" in item.words
    closing = close(workshop, **{f"money-{booking.pk}": "Pays on the first"})
    assert closing.let_by.get().reason == "Pays on the first"


def test_a_day_that_broke_off_is_closed_with_a_reason(workshop):
    early = workshop.end_at - timedelta(hours=3)
    with pytest.raises(Refused, match="not over yet"):
        close(workshop, now=early)
    assert close(workshop, now=early, over="Storm").let_by.get().reason == "Storm"


@pytest.mark.parametrize("status", ["draft", "open", "cancelled"])
def test_only_a_workshop_that_has_run_is_closed(status):
    reason = "storm" if status == "cancelled" else ""
    workshop = make.WorkshopFactory(status=status, cancelled_reason=reason)
    with pytest.raises(Refused, match=r"called off|has run"):
        close(workshop)


def test_a_confirmed_one_has_run_first_once_it_is_over():
    workshop = make.WorkshopFactory(status="confirmed")
    with pytest.raises(Refused, match="not over yet"):
        close(workshop, now=workshop.end_at - timedelta(minutes=1), over="early")
    close(workshop)
    rows = AuditEntry.objects.filter(record_type="workshops.workshop", record_id=workshop.pk)
    steps = [one.changes["status"] for one in rows.order_by("pk") if "status" in one.changes]
    assert steps == [["confirmed", "run"], ["run", "closed"]]


def test_a_second_press_changes_nothing(office, workshop):
    attendee(workshop)
    first = close(workshop, by=office)
    entries, mails = AuditEntry.objects.count(), Message.objects.count()
    again = close(workshop, by=office, now=OVER + timedelta(hours=1))
    assert again == first
    assert (AuditEntry.objects.count(), Message.objects.count()) == (entries, mails)


def test_medical_answers_are_erased_with_the_caution_they_raised(office, workshop):
    booking = attendee(workshop)
    keep_medical(
        by=None,
        person=booking.person,
        workshop=workshop,
        told={"no_strobe": True},
        now=workshop.start_at,
    )
    assert foretold(workshop).medical == 1
    close(workshop, by=office)
    assert not MedicalAnswers.objects.exists()
    workshop.refresh_from_db()
    assert not workshop.strobe_sensitive


def test_whoever_was_there_gets_handout_and_questions_once(workshop):
    came = attendee(workshop, email="abel@example.org")
    by_hand = attendee(workshop, name="Bea Lund", email="")
    attendee(workshop, state="absent")
    before = foretold(workshop)
    assert (before.handouts, before.questions) == ([came.person], [came.person])
    assert before.by_hand == [by_hand.person]
    close(workshop)
    mails = {(one.purpose, one.person) for one in Message.objects.all()}
    assert mails == {("handout", came.person), ("feedback", came.person)}
    assert all("{link}" in one.body and one.link for one in Message.objects.all())
    # Whoever has no address gets the questions by hand.
    links = SignedLink.objects.filter(booking=by_hand)
    assert [one.purpose for one in links] == ["feedback"]
    assert handout_link(came, OVER)


def test_of_who_may_have_come_nobody_is_written_to(workshop):
    attendee(workshop, state="confirmed")
    close(workshop, **all_reasons(workshop))
    assert not Message.objects.exists()


def no_mail_about_feedback() -> None:
    """Let the database refuse the very last that a closing writes."""
    only = "ALTER TABLE workshops_message ADD CHECK (purpose <> 'feedback')"
    if connection.vendor == "sqlite":
        only = (
            "CREATE TRIGGER no_feedback BEFORE INSERT ON workshops_message "
            "WHEN NEW.purpose = 'feedback' BEGIN SELECT RAISE(ABORT, 'no'); END"
        )
    with connection.cursor() as cursor:
        cursor.execute(only)


def test_all_of_it_or_nothing(workshop):
    booking = attendee(workshop)
    keep_medical(
        by=None, person=booking.person, workshop=workshop, told={"rest": "x"}, now=workshop.start_at
    )
    entries = AuditEntry.objects.count()
    no_mail_about_feedback()
    with pytest.raises(Refused, match="nothing has changed"):
        close(workshop)
    assert Workshop.objects.get(pk=workshop.pk).status == "run"
    assert MedicalAnswers.objects.count() == 1
    for model in (Closing, Message, SignedLink):
        assert not model.objects.exists()
    assert AuditEntry.objects.count() == entries


def test_no_form_closes_a_workshop_or_opens_it_again(office, workshop):
    words = {"by": office, "seats": 1, "places": [], "lead": None, "now": OVER}
    workshop.status = "closed"
    with pytest.raises(Refused, match="is closed on its page"):
        save_workshop(workshop=workshop, **words)
    workshop.refresh_from_db()
    close(workshop)
    for status in ("run", "open", "cancelled"):
        workshop.status = status
        workshop.cancelled_reason = "x" if status == "cancelled" else ""
        with pytest.raises(Refused, match="opens it again"):
            save_workshop(workshop=workshop, **words)
    workshop.refresh_from_db()
    workshop.end_at += timedelta(hours=1)
    with pytest.raises(Refused, match="they stay as they were"):
        save_workshop(workshop=workshop, **words)
    about = {"title": "New", "start_at": OVER, "end_at": OVER + timedelta(hours=1)}
    with pytest.raises(Refused, match="is closed on its page"):
        open_workshop(by=office, seats=1, status="closed", timezone_name="UTC", **about)


def test_a_closed_workshop_takes_nothing_new_but_kit_comes_back(office, workshop):
    booking = attendee(workshop)
    planned = make.SetFactory(workshop=workshop)
    out = make.CheckoutFactory(workshop=workshop, unit__state="out", person=booking.person)
    other = make.UnitFactory()
    make.ReservationFactory(workshop=workshop, unit=other)
    close(workshop, **all_reasons(workshop))
    about = {"by": office, "now": OVER}
    turn = {"planned_set": planned, "booking": booking, "uuid": uuid4(), "planned_at": OVER}
    with pytest.raises(Refused, match="is closed: nothing is added"):
        note_turn(kind="turn given", **turn, **about)
    with pytest.raises(Refused, match="is closed: nothing is added"):
        sign_out(unit=other, person=booking.person, workshop=workshop, **about)
    with pytest.raises(Refused, match="takes no bookings: its status is closed"):
        book_person(workshop=workshop, person=make.PersonFactory(), **about)
    with pytest.raises(Refused, match="is closed: nothing is added"):
        set_state(booking=booking, state="absent", **about)
    with pytest.raises(Refused, match="is closed: nothing is added"):
        note_presence(workshop=workshop, said=[Presence(booking, "absent")], **about)
    assert take_back(checkout=out, **about).in_at == OVER
    with pytest.raises((AlreadyOut, Refused)):
        take_back(checkout=out, **about)


def test_readings_and_sets_of_a_closed_workshop_stay_as_they_are(office, workshop):
    planned = make.LightFactory(planned_set__workshop=workshop).planned_set
    light = {"planned_set": planned, "light_name": planned.lights.get().name}
    base = make.ReadingFactory(planned_set=planned)
    flash = make.FlashReadingFactory(**light)
    close(workshop, **all_reasons(workshop))
    # As records that a page read before the closing: what is stored decides.
    brighter = make.ReadingFactory.build(planned_set=planned, f_mark=16.0)
    steps = (
        lambda: record_reading(by=office, reading=brighter),
        lambda: record_flash_reading(
            by=office, reading=make.FlashReadingFactory.build(**light, distance_m=3.0)
        ),
        lambda: erase_flash_reading(by=office, reading=flash),
        lambda: erase_record(by=office, record=base),
        lambda: save_set(by=office, planned_set=planned, lights=[], title="Another title"),
        lambda: copy_set(by=office, planned_set=planned),
    )
    for step in steps:
        with pytest.raises(Refused, match="is closed: nothing is added"):
            step()
    assert (planned.readings.count(), planned.flash_readings.count()) == (1, 1)
    assert [one.title for one in workshop.sets.all()] == ["Slate wall"]


def test_the_office_opens_it_again_for_a_reason_that_is_kept(office, workshop):
    booking = attendee(workshop)
    keep_medical(
        by=None, person=booking.person, workshop=workshop, told={"rest": "x"}, now=workshop.start_at
    )
    first = close(workshop, by=office)
    with pytest.raises(Refused, match="say why"):
        open_again(by=office, workshop=workshop, reason=" ", now=OVER)
    opened = open_again(by=office, workshop=workshop, reason="A card turned up", now=OVER)
    assert opened.status == "run"
    first.refresh_from_db()
    assert (first.reopened_by, first.reopened_reason) == (office, "A card turned up")
    assert closing_of(workshop) is None
    assert not MedicalAnswers.objects.exists()
    with pytest.raises(Refused, match="is not closed"):
        open_again(by=office, workshop=workshop, reason="Again", now=OVER)
    set_state(by=office, booking=booking, state="absent", now=OVER)
    second = close(workshop, by=office, now=OVER + timedelta(days=1))
    assert second != first
    assert Message.objects.count() == 2  # those of the first closing: nobody is written to twice


def test_the_database_keeps_one_closing_that_stands(workshop):
    make.ClosingFactory(workshop=workshop)
    with pytest.raises(IntegrityError), transaction.atomic():
        make.ClosingFactory(workshop=workshop)


def test_the_database_keeps_no_reopening_without_a_reason(workshop):
    with pytest.raises(IntegrityError), transaction.atomic():
        make.ClosingFactory(workshop=workshop, reopened_at=OVER)

"""Feedback: asked of who was there, answered by a link, changed until it ends, put together."""

from datetime import timedelta

import pytest

from tests import factories as make
from workshops.errors import Refused
from workshops.models import AuditEntry, Feedback, Message
from workshops.selectors.feedback import asked_for_feedback, feedback_table, put_together
from workshops.services.feedback import (
    OPEN_FOR,
    ask_for_feedback,
    make_feedback_link,
    revoke_feedback_links,
    save_feedback,
)

pytestmark = pytest.mark.django_db

OVER = make.WorkshopFactory.end_at
NOTHING = {"taught": None, "turns": "", "pace": "", "safe": None, "words": ""}
ANSWERS = {"taught": 4, "turns": "few", "pace": "right", "safe": 5, "words": "More wind."}


@pytest.fixture
def booking():
    make.HouseFactory()
    return make.BookingFactory(state="attended", person=make.PersonFactory(name="Abel Finch"))


@pytest.fixture
def link(booking):
    return make_feedback_link(by=None, booking=booking, now=OVER)


def answered(link, now=OVER, **answers) -> Feedback:
    return save_feedback(link=link, answers=NOTHING | answers, now=now)


def test_the_answers_are_kept_with_the_link_that_brought_them(booking, link):
    told = answered(link, **ANSWERS)
    assert (told.booking, told.given_at, told.taught, told.words) == (
        booking, OVER, 4, "More wind.",
    )  # fmt: skip
    link.refresh_from_db()
    assert link.answered_at == OVER


def test_they_can_be_changed_until_the_link_ends_and_are_one_record(link):
    answered(link, **ANSWERS)
    later = OVER + OPEN_FOR - timedelta(seconds=1)
    told = answered(link, now=later, safe=3)
    assert (told.safe, told.taught, told.given_at) == (3, None, later)
    assert Feedback.objects.count() == 1
    with pytest.raises(Refused, match="does not open any more"):
        answered(link, now=OVER + OPEN_FOR, safe=1)
    assert Feedback.objects.get().safe == 3


def test_the_same_answers_again_are_no_news(link):
    first = answered(link, **ANSWERS)
    again = answered(link, now=OVER + timedelta(minutes=1), **ANSWERS)
    assert again.given_at == first.given_at
    assert AuditEntry.objects.filter(record_type="workshops.feedback").count() == 1


def test_one_answer_of_the_five_is_enough_and_none_is_too_few(link):
    with pytest.raises(Refused, match="at least one of the five"):
        answered(link)
    assert not Feedback.objects.exists()
    answered(link, pace="fast")


@pytest.mark.parametrize("mark", [0, 6])
def test_a_mark_beyond_the_scale_is_refused(link, mark):
    with pytest.raises(Refused, match="enter 1 to 5"):
        answered(link, taught=mark)


def test_what_was_written_and_taken_out_again_is_not_kept_in_the_audit(link):
    answered(link, words="He was rude")
    answered(link, words="", safe=4)
    entries = AuditEntry.objects.filter(record_type="workshops.feedback")
    assert entries.count() == 2
    assert not any("rude" in str(one.changes) for one in entries)


def test_a_revoked_link_opens_nothing_and_what_was_answered_stays(booking, link):
    answered(link, **ANSWERS)
    assert revoke_feedback_links(by=None, booking=booking, now=OVER) == 1
    with pytest.raises(Refused, match="does not open any more"):
        answered(link, safe=1)
    assert Feedback.objects.get().safe == 5


@pytest.mark.parametrize("state", ["held", "confirmed", "absent"])
def test_only_who_was_there_is_asked(booking, state):
    booking.state = state
    booking.save()
    with pytest.raises(Refused, match="Only who was there"):
        make_feedback_link(by=None, booking=booking, now=OVER)


def test_nobody_is_asked_twice_and_nobody_who_has_answered(booking):
    by_hand = make.BookingFactory(
        workshop=booking.workshop, state="attended", person=make.PersonFactory(email="")
    )
    both = [booking, by_hand]
    first = ask_for_feedback(by=None, bookings=both, now=OVER)
    again = ask_for_feedback(by=None, bookings=both, now=OVER)
    assert (first.now, again.now, again.before) == (1, 0, 1)
    assert first.without_address == [by_hand.person]
    mail = Message.objects.get()
    assert mail.link.purpose == "feedback"
    assert "{link}" in mail.body
    answered(mail.link, safe=5)
    revoke_feedback_links(by=None, booking=booking, now=OVER)
    assert ask_for_feedback(by=None, bookings=[booking], now=OVER).now == 0


def test_answers_are_counted_as_they_were_given():
    workshop = make.WorkshopFactory()
    for taught, pace in ((5, "right"), (5, "fast"), (None, "")):
        booking = make.BookingFactory(workshop=workshop, state="attended")
        make.FeedbackFactory(booking=booking, taught=taught, pace=pace, safe=1)
    taught, turns, pace, safe = put_together(Feedback.objects.all())
    assert dict(taught.counts) == {"1": 0, "2": 0, "3": 0, "4": 0, "5": 2}
    assert (taught.answered, turns.answered, safe.answered) == (2, 0, 3)
    assert dict(pace.counts) == {"too slow": 0, "right": 1, "too fast": 1}


def test_the_list_has_a_row_for_each_who_answered(booking, link):
    silent = make.BookingFactory(workshop=booking.workshop, state="attended")
    answered(link, **ANSWERS)
    asked = asked_for_feedback(booking.workshop, OVER)
    assert {one.booking for one in asked} == {booking, silent}
    header, rows = feedback_table(asked, booking.workshop)
    assert rows == [["Abel Finch", "2027-05-08 19:00", 4, "too few", "right", 5, "More wind."]]
    assert len(header) == len(rows[0])

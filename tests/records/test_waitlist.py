"""The waitlist: in order, offered with an end, lapsed by itself, never overtaken unasked."""

from datetime import timedelta

import pytest

from tests import factories as make
from workshops.due import due
from workshops.errors import AlreadyBooked, NotBookable, Refused, WorkshopFull
from workshops.models import AuditEntry, Booking, Message, SignedLink
from workshops.selectors.seats import seat_count
from workshops.services.bookings import book_person, confirm_booking, set_state
from workshops.services.cancelling import cancel_booking, decline_offer
from workshops.services.links import address, opened
from workshops.services.waitlist import (
    accept_offer,
    give_seat,
    lapsed_offers,
    offer_seat,
    withdraw_offer,
)
from workshops.services.workshops import cancel_workshop, resize_seats

pytestmark = pytest.mark.django_db
NOW, HOUR = make.NOW, timedelta(hours=1)
LATER = NOW + 48 * HOUR  # the house default: 48 hours


@pytest.fixture
def workshop():
    make.HouseFactory()
    workshop = make.WorkshopFactory(price=180)
    resize_seats(by=None, workshop=workshop, seats=1)
    return workshop


def book(workshop, now=NOW, **more):
    person = make.PersonFactory()
    return book_person(by=None, workshop=workshop, person=person, now=now, **more)


@pytest.fixture
def line(workshop):
    """One who holds the only seat, and two who wait."""
    return [book(workshop, waitlist=True, now=NOW + timedelta(minutes=n)) for n in range(3)]


def state(booking):
    booking.refresh_from_db()
    return booking.state, booking.seat is not None


def free(booking, now=NOW + HOUR, **more):
    return cancel_booking(by=None, booking=booking, now=now, **more)


def test_a_full_workshop_puts_on_the_waitlist_only_who_asked_for_it(workshop, line):
    assert [one.state for one in line] == ["held", "waitlisted", "waitlisted"]
    with pytest.raises(WorkshopFull, match="is full"):
        book(workshop)
    with pytest.raises(AlreadyBooked, match="on the waitlist"):
        book_person(by=None, workshop=workshop, person=line[1].person, now=NOW, waitlist=True)
    assert Booking.objects.count() == 3
    assert {one.price for one in line} == {180}


def test_a_freed_seat_is_offered_to_the_first_in_line_by_mail_with_an_end(workshop, line):
    free(line[0])
    assert [state(one) for one in line[1:]] == [("waitlisted", True), ("waitlisted", False)]
    assert line[1].offer_expires_at == NOW + HOUR + 48 * HOUR
    count = seat_count(workshop, NOW + 2 * HOUR)
    assert (count.free, count.offered, count.waiting) == (0, 1, 1)
    with pytest.raises(WorkshopFull):
        book(workshop, now=NOW + 2 * HOUR)
    link = SignedLink.objects.get(booking=line[1])
    assert link.expires_at == line[1].offer_expires_at
    assert Message.objects.filter(purpose="offer", booking=line[1]).count() == 1


def test_an_accepted_offer_holds_the_seat_and_a_second_press_does_no_harm(line):
    free(line[0])
    accept_offer(by=None, booking=line[1], now=NOW + 2 * HOUR)
    accept_offer(by=None, booking=line[1], now=NOW + 2 * HOUR)
    assert state(line[1]) == ("held", True)
    with pytest.raises(Refused, match="not on the waitlist"):
        decline_offer(by=None, booking=line[1], now=NOW + 2 * HOUR)
    assert state(line[1]) == ("held", True)


def test_a_declined_offer_goes_to_the_next(line):
    free(line[0])
    declined = decline_offer(by=None, booking=line[1], now=NOW + 2 * HOUR)
    assert (declined.cancelled_by, declined.refund_share) == ("attendee", 1.0)
    assert state(line[1]) == ("cancelled", False)
    assert state(line[2]) == ("waitlisted", True)


def test_an_offer_has_lapsed_the_moment_it_ends_whoever_reads(workshop, line):
    free(line[0], now=NOW)
    assert seat_count(workshop, LATER - timedelta(seconds=1)).free == 0
    count = seat_count(workshop, LATER)
    assert (count.free, count.offered, count.waiting) == (1, 0, 2)
    with pytest.raises(Refused, match="has run out"):
        accept_offer(by=None, booking=line[1], now=LATER)


def test_a_lapsed_offer_moves_on_by_itself_and_is_not_made_again(line):
    free(line[0], now=NOW)
    assert due(LATER - timedelta(seconds=1), tasks=(lapsed_offers,)) == []
    assert len(due(LATER, tasks=(lapsed_offers,))) == 1
    assert state(line[1]) == ("waitlisted", False)
    assert line[1].offer_lapsed_at == LATER
    assert state(line[2]) == ("waitlisted", True)
    assert due(LATER, tasks=(lapsed_offers,)) == []
    due(LATER + 48 * HOUR, tasks=(lapsed_offers,))
    assert [state(one) for one in line[1:]] == [("waitlisted", False)] * 2
    assert Message.objects.filter(purpose="lapsed").count() == 2


def test_whoever_let_an_offer_lapse_is_passed_by_only_knowingly(workshop, line):
    free(line[0], now=NOW)
    late = NOW + 200 * HOUR
    due(LATER, tasks=(lapsed_offers,))
    with pytest.raises(WorkshopFull, match="2 people wait whose offers lapsed"):
        book(workshop, now=late)
    assert book(workshop, now=late, past_waitlist=True).state == "held"


def test_the_office_gives_a_free_seat_to_whom_of_the_list_it_chooses(line):
    free(line[0], now=NOW)
    late = NOW + 200 * HOUR
    due(LATER, tasks=(lapsed_offers,))
    due(late, tasks=(lapsed_offers,))
    assert give_seat(by=None, booking=line[2], now=late).state == "held"
    with pytest.raises(WorkshopFull, match="No seat is free"):
        give_seat(by=None, booking=line[1], now=late)
    with pytest.raises(WorkshopFull, match="No seat is free"):
        offer_seat(by=None, booking=line[1], now=late)


def test_a_withdrawn_offer_goes_to_the_one_chosen_and_its_link_is_dead(workshop, line):
    third = book(workshop, waitlist=True, now=NOW + HOUR)
    free(line[0])
    signed = address(SignedLink.objects.get(booking=line[1])).rstrip("/").rpartition("/")[2]
    assert opened("offer", signed, NOW + HOUR).booking == line[1]
    withdraw_offer(by=None, booking=line[1], now=NOW + 2 * HOUR, then=third)
    assert opened("offer", signed, NOW + 2 * HOUR) is None
    assert [state(one)[1] for one in (line[1], line[2], third)] == [False, False, True]
    with pytest.raises(Refused, match="no offer"):
        withdraw_offer(by=None, booking=line[1], now=NOW + 2 * HOUR)


def test_more_seats_are_offered_in_order_and_an_offered_one_is_not_taken_away(workshop, line):
    resize_seats(by=None, workshop=workshop, seats=2, now=NOW + HOUR)
    assert state(line[1]) == ("waitlisted", True)
    with pytest.raises(Refused, match="enter at least 2"):
        resize_seats(by=None, workshop=workshop, seats=1, now=NOW + HOUR)


def test_no_offer_outlasts_the_start_of_the_day(workshop, line):
    free(line[0], now=workshop.start_at - HOUR)
    assert state(line[1]) == ("waitlisted", True)
    assert line[1].offer_expires_at == workshop.start_at
    with pytest.raises(NotBookable, match="already started"):
        give_seat(by=None, booking=line[2], now=workshop.start_at)


def test_an_offer_made_before_the_day_was_moved_ends_with_its_new_start(workshop, line):
    free(line[0], now=NOW)
    workshop.start_at = NOW + 3 * HOUR
    workshop.save()
    assert len(due(NOW + 3 * HOUR, tasks=(lapsed_offers,))) == 1
    assert state(line[1]) == ("waitlisted", False)
    assert state(line[2]) == ("waitlisted", False)


def test_nobody_on_the_waitlist_is_confirmed_or_noted_as_there(line):
    for wanted in ("confirmed", "attended", "held", "cancelled"):
        with pytest.raises(Refused, match="on the waitlist"):
            set_state(by=None, booking=line[1], state=wanted, now=NOW)


def test_a_workshop_called_off_cancels_everybody_by_the_house_and_frees_its_kit(workshop, line):
    promised = make.ReservationFactory(workshop=workshop)
    confirm_booking(by=None, booking=line[0], now=NOW)
    resize_seats(by=None, workshop=workshop, seats=2, now=NOW + HOUR)
    with pytest.raises(Refused, match="say why"):
        cancel_workshop(by=None, workshop=workshop, reason=" ", now=NOW)
    cancel_workshop(by=None, workshop=workshop, reason="storm", now=NOW + 2 * HOUR)
    assert {state(one) for one in line} == {("cancelled", False)}
    kept = Booking.objects.values_list("cancelled_by", "cancelled_reason", "refund_share")
    assert set(kept) == {("house", "storm", 1.0)}
    assert not workshop.kit.exists()
    assert AuditEntry.objects.filter(
        record_type="workshops.reservation", record_id=str(promised.pk), action="deleted"
    ).exists()
    assert Message.objects.filter(purpose="cancellation").count() == 3
    assert not SignedLink.objects.filter(revoked_at=None).exists()
    with pytest.raises(Refused, match="cancelled already"):
        cancel_workshop(by=None, workshop=workshop, reason="storm", now=NOW)


def test_calling_off_stops_at_somebody_who_was_there(workshop, line):
    set_state(by=None, booking=line[0], state="attended", now=workshop.start_at)
    with pytest.raises(Refused, match="Take that back"):
        cancel_workshop(by=None, workshop=workshop, reason="storm", now=workshop.start_at)
    assert [state(one)[0] for one in line] == ["attended", "waitlisted", "waitlisted"]

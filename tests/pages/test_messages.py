"""The mails of a workshop on their pages, and the calendar by its secret link."""

import re

import icalendar
import pytest
from django.core import mail
from django.urls import reverse

from tests import factories as make
from tests.pages.days import coming, seated, words
from workshops.models import AuditEntry, Message, SignedLink
from workshops.services import links
from workshops.services.subscriptions import new_calendar_link

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop(office):
    day = coming(seats=3)
    seated(day, person__name="Ada", person__email="ada@example.org")
    seated(day, person__name="Bo", person__email="", person__phone="01632 960101")
    return day


def shown(office, name, pk, **asked):
    return words(office.get(reverse(name, args=[pk]), asked))


def test_joining_notes_are_seen_with_their_timetable_before_they_are_sent(office, workshop):
    make.SetFactory(
        workshop=workshop,
        title="Rim light",
        start_at=workshop.start_at.replace(hour=12),
        end_at=workshop.start_at.replace(hour=13),
    )
    page = shown(office, "workshop-joining", workshop.pk)
    assert "13:00 Rim light" in page  # 12:00 UTC in summer, in London
    assert "no address: tell them by phone</strong> 01632 960101" in page
    assert "Hello Ada," in page
    bo = workshop.bookings.get(person__name="Bo")
    assert "Hello Bo," in shown(office, "workshop-joining", workshop.pk, to=bo.pk)
    assert not Message.objects.exists()


def test_one_button_sends_to_everybody_once(office, workshop):
    place = reverse("workshop-joining", args=[workshop.pk])
    for _ in range(2):  # a double click
        assert office.post(place).status_code == 302
    (message,) = Message.objects.all()
    assert message.to_address == "ada@example.org"
    assert AuditEntry.objects.get(record_type="workshops.message").who == office.user
    page = words(office.get(place))
    assert "Send again to everybody" in page
    again = re.search(r'name="again" value="(\d+)"', page)[1]
    for _ in range(2):
        office.post(place, {"again": again})
    assert Message.objects.count() == 2


@pytest.mark.parametrize("again", ["-1", "1e999", "٣", "9" * 5000, "<script>", "\x00"])
def test_a_forged_number_sends_nothing_twice(office, workshop, again):
    place = reverse("workshop-reminder", args=[workshop.pk])
    office.post(place)
    assert office.post(place, {"again": again}).status_code == 302
    assert Message.objects.count() == 1


def test_every_mailing_shows_its_text_and_says_when_nobody_is_left(office, workshop):
    workshop.price = 100
    workshop.save()
    assert "days to go" in shown(office, "workshop-reminder", workshop.pk)
    assert "Still open: 100 EUR" in shown(office, "workshop-balance", workshop.pk)
    assert "(link)" in shown(office, "workshop-questionnaire", workshop.pk)
    workshop.bookings.update(price=0)
    assert "There is nobody to write to" in shown(office, "workshop-balance", workshop.pk)


def test_the_list_says_what_became_of_each_mail(office, workshop):
    booking = workshop.bookings.first()
    failed = make.MessageFactory(
        booking=booking, state="failed", last_error="550 no such user", body="Open {link}"
    )
    page = shown(office, "workshop-messages", workshop.pk)
    assert "<strong>could not be sent</strong>: 550 no such user" in page
    page = shown(office, "message", failed.pk)
    assert "Open (link)" in page
    assert office.post(reverse("message-again", args=[failed.pk])).status_code == 302
    failed.refresh_from_db()
    assert (failed.state, failed.attempts) == ("queued", 0)


def test_the_list_takes_as_many_queries_for_many_mails_as_for_one(
    office, workshop, django_assert_max_num_queries
):
    booking = workshop.bookings.first()
    for _ in range(20):
        make.MessageFactory(booking=booking)
    with django_assert_max_num_queries(20):
        shown(office, "workshop-messages", workshop.pk)


def test_after_the_day_nobody_is_written_to(office, workshop):
    workshop.status, workshop.cancelled_reason = "cancelled", "Storm"
    workshop.save()
    page = office.post(reverse("workshop-joining", args=[workshop.pk]), follow=True)
    assert "nobody is written to" in words(page)
    assert not Message.objects.exists()
    assert not mail.outbox


def test_a_text_with_markup_stays_text(office, workshop):
    workshop.title = "<script>alert(1)</script>"
    workshop.save()
    for name in ("workshop-joining", "workshop-messages"):
        assert "<script>alert" not in shown(office, name, workshop.pk)


# --- the calendar ---------------------------------------------------------------------------


@pytest.fixture
def teacher(client, house):
    account = make.UserFactory(
        role="instructor", is_staff=False, is_superuser=False, person=make.PersonFactory()
    )
    make.RoleFactory(workshop=coming(title="Mine"), person=account.person, role="lead")
    coming(title="Somebody else's")
    return account


def feed_of(account, suffix=""):
    link = SignedLink.objects.get(user=account, revoked_at=None)
    return reverse("calendar-feed", args=[links.token(link) + suffix])


def titles(answer) -> list[str]:
    return [str(one["SUMMARY"]) for one in icalendar.Calendar.from_ical(answer.content).events]


def test_the_secret_address_shows_the_own_workshops_without_a_log_in(client, teacher):
    new_calendar_link(user=teacher, now=make.NOW)
    answer = client.get(feed_of(teacher, ".ics"))
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert titles(answer) == titles(client.get(feed_of(teacher))) == ["Mine"]


def test_an_unchanged_calendar_is_not_sent_again(client, teacher):
    # RFC 9110, 13.1.2 and 15.4.5
    new_calendar_link(user=teacher, now=make.NOW)
    etag = client.get(feed_of(teacher)).headers["ETag"]
    assert client.get(feed_of(teacher), headers={"if-none-match": etag}).status_code == 304
    own = teacher.person.roles.get().workshop
    own.title = "Mine, later"
    own.save()
    assert client.get(feed_of(teacher), headers={"if-none-match": etag}).status_code == 200


def test_whoever_may_no_longer_see_them_finds_nothing(client, teacher):
    new_calendar_link(user=teacher, now=make.NOW)
    place = feed_of(teacher)
    teacher.is_active = False
    teacher.save()
    assert client.get(place).status_code == 404
    teacher.is_active, teacher.role = True, "outsider"
    teacher.save()
    assert client.get(place).status_code == 404
    forged = place[:-1] + ("A" if place[-1] != "A" else "B")
    assert client.get(forged).status_code == 404


def test_the_address_is_made_replaced_and_ended_on_the_account_page(client, teacher):
    client.force_login(teacher)
    assert "Make the address" in words(client.get(reverse("account")))
    client.post(reverse("calendar-link-new"))
    first = feed_of(teacher)
    assert first in words(client.get(reverse("account")))
    client.post(reverse("calendar-link-new"))
    assert client.get(first).status_code == 404
    second = feed_of(teacher)
    assert client.get(second).status_code == 200
    client.post(reverse("calendar-link-end"))
    assert client.get(second).status_code == 404


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("confirmation", "Your seat: Slate and tide"),
        ("offer", "A seat is free for you: Slate and tide"),
        ("cancellation", "Cancelled: Slate and tide"),
        ("<b>", "Your seat: Slate and tide"),
    ],
)
def test_what_goes_out_by_itself_can_be_read_before_it_does(office, what, said):
    day = coming(title="Slate and tide")
    booking = seated(day)
    assert said in shown(office, "workshop-foretold", day.pk, what=what)
    assert not Message.objects.exists()
    booking.refresh_from_db()
    assert booking.state == "held"

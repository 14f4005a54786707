"""The pages of the day: whose turn it is, pressed by a thumb, and who is here."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from planning.models import TallyEvent
from tests import factories as make
from tests.pages.days import running, words
from tests.records.browser import filled
from workshops.models import Booking

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(house):
    planned = running()
    for number, name in enumerate(("Abel", "Bea", "Cyd")):
        make.BookingFactory(
            workshop=planned.workshop,
            person=make.PersonFactory(name=name),
            booked_at=make.NOW + timedelta(minutes=number),
        )
    return planned


@pytest.fixture
def instructor(planned):
    person = make.RoleFactory(workshop=planned.workshop, role="lead").person
    client = Client()
    client.force_login(
        make.UserFactory(role="instructor", person=person, is_staff=False, is_superuser=False)
    )
    return client


def page_of(planned):
    return reverse("set-turns", args=[planned.pk])


def forms(answer, do):
    """The fields of every form with that button, in the order of the page."""
    text = answer.content.decode()
    return [
        dict(re.findall(r'name="(\w+)" value="([^"]*)"', form)) | {"do": do}
        for form in re.findall(r"<form method=\"post\".*?</form>", text, re.DOTALL)
        if f'value="{do}"' in form
    ]


def press(client, planned, do, number=0):
    shown = client.get(page_of(planned))
    return client.post(page_of(planned), forms(shown, do)[number], follow=True)


def called(answer):
    return re.findall(r'<p class="who">(\w+)', answer.content.decode())


class TestTurns:
    def test_it_names_who_shoots_who_is_next_who_holds_and_how_long(self, instructor, planned):
        shown = instructor.get(page_of(planned))
        assert called(shown) == ["Abel"]
        said = words(shown)
        assert "<dt>next</dt><dd>Bea</dd>" in said
        assert "<dt>holds</dt><dd>Cyd</dd>" in said
        assert re.search(r"until \d\d:\d\d: [34] min left", said)
        assert re.search(r"Talk at \d\d:\d\d: 3[34] min left for 3 turns", said)

    def test_one_press_notes_a_turn_and_calls_the_next(self, instructor, planned):
        shown = press(instructor, planned, "given")
        assert called(shown) == ["Bea"]
        assert "Abel: turn given." in words(shown)
        event = TallyEvent.objects.get()
        assert (event.kind, event.booking.person.name) == ("turn given", "Abel")

    def test_a_double_press_notes_it_once_and_says_nothing_is_wrong(self, instructor, planned):
        typed = forms(instructor.get(page_of(planned)), "given")[0]
        for _ in range(2):
            shown = instructor.post(page_of(planned), typed, follow=True)
            assert shown.status_code == 200
        assert called(shown) == ["Bea"]
        assert TallyEvent.objects.count() == 1

    def test_whoever_is_not_here_comes_last_and_the_press_can_be_taken_back(
        self, instructor, planned
    ):
        shown = press(instructor, planned, "missed")
        assert called(shown) == ["Bea"]
        assert "not here: the next one comes now" in words(shown)
        assert called(press(instructor, planned, "back")) == ["Abel"]
        assert TallyEvent.objects.count() == 2

    def test_a_turn_out_of_order_is_noted_from_its_own_row(self, instructor, planned):
        shown = press(instructor, planned, "given", number=2)
        assert "Cyd: turn given." in words(shown)
        assert called(shown) == ["Abel"]

    def test_when_all_had_theirs_it_says_so(self, instructor, planned):
        for _ in range(3):
            shown = press(instructor, planned, "given")
        assert "Everybody has had their turn." in words(shown)
        assert called(shown) == []

    def test_stations_are_called_side_by_side(self, instructor, planned):
        planned.stations = "wall, gate"
        planned.save()
        shown = instructor.get(page_of(planned))
        assert called(shown) == ["Abel", "Bea"]
        assert "<h3>gate</h3>" in words(shown)

    def test_late_it_says_what_each_turn_may_still_last(self, instructor, planned):
        planned.end_at = timezone.now() + timedelta(minutes=16 + 15)
        planned.save()
        # 15 min until the talk for three turns of 5 + 1: over by 3, 15 / 3 - 1 = 4 min each
        assert re.search(
            r"Over by [34] min: make each [34] min", words(instructor.get(page_of(planned)))
        )

    def test_before_the_day_it_shows_the_order_and_nothing_to_press(self, instructor, planned):
        for record in (planned, planned.workshop):
            record.start_at += timedelta(days=300)
            record.end_at += timedelta(days=300)
        planned.workshop.save()
        planned.save()
        page = instructor.get(page_of(planned))
        shown = words(page)
        assert "Turns are noted from the day of the set on, not before." in shown
        assert "Abel" in shown
        assert not re.search(r"\d{4} ?min", shown)  # nobody counts months in minutes
        assert b'name="do"' not in page.content

    def test_before_the_day_it_refuses_in_words(self, instructor, planned):
        form = forms(instructor.get(page_of(planned)), "given")[0]  # open when the set was moved
        later = {"start_at": planned.start_at + timedelta(days=2)}
        later["end_at"] = planned.end_at + timedelta(days=2)
        type(planned).objects.filter(pk=planned.pk).update(**later)
        shown = instructor.post(page_of(planned), form)
        assert shown.status_code == 422
        assert "from the day of the set on" in words(shown)
        assert not TallyEvent.objects.exists()

    @pytest.mark.parametrize(
        "typed",
        [
            {},
            {"do": "given"},
            {"do": "fly", "uuid": "x", "booking": "9" * 40, "round": "-1"},
            {"do": "back", "event": "<b>", "uuid": "7"},
        ],
    )
    def test_what_no_button_sends_is_refused_and_nothing_noted(self, instructor, planned, typed):
        shown = instructor.post(page_of(planned), typed)
        assert shown.status_code == 422
        assert "could not be read" in words(shown)
        assert not TallyEvent.objects.exists()

    def test_somebody_of_another_workshop_is_not_noted_here(self, instructor, planned):
        typed = forms(instructor.get(page_of(planned)), "given")[0]
        other = make.BookingFactory()
        shown = instructor.post(page_of(planned), typed | {"booking": other.pk})
        assert shown.status_code == 422
        assert not TallyEvent.objects.exists()

    def test_a_set_without_a_plan_says_why(self, instructor, planned):
        planned.location.latitude_deg = planned.location.longitude_deg = None
        planned.location.save()
        assert "No plan yet" in words(instructor.get(page_of(planned)))

    def test_the_set_and_the_list_lead_there(self, instructor, planned):
        for page, pk in (("set", planned.pk), ("sets", planned.workshop_id)):
            assert page_of(planned) in words(instructor.get(reverse(page, args=[pk])))

    def test_a_set_with_turns_noted_is_kept_when_somebody_deletes_it(self, instructor, planned):
        press(instructor, planned, "given")
        shown = instructor.post(reverse("set-delete", args=[planned.pk]), follow=True)
        assert "is used by event of the day" in words(shown)


class TestHere:
    def here(self, planned):
        return reverse("workshop-here", args=[planned.workshop_id])

    def say(self, client, planned, **typed):
        place = self.here(planned)
        return client.post(place, filled(client.get(place)) | typed, follow=True)

    def on_one_date(self, planned):
        """Return its workshop on a date of its own: one that runs now may end tomorrow."""
        start = datetime(2027, 1, 12, 20, 0, tzinfo=UTC)  # 09:00 the day after in Auckland
        planned.workshop.start_at, planned.workshop.end_at = start, start + timedelta(hours=8)
        planned.workshop.timezone_name = "Pacific/Auckland"
        planned.workshop.save()
        return planned.workshop

    def test_who_is_absent_has_no_turn_from_then_on(self, instructor, planned):
        abel = planned.workshop.bookings.get(person__name="Abel")
        shown = self.say(instructor, planned, **{f"of{abel.pk}-state": "absent"})
        assert "dealt anew" in words(shown)
        assert called(instructor.get(page_of(planned))) == ["Bea"]

    def test_times_are_typed_on_the_clock_of_the_place(self, instructor, planned):
        bea = self.on_one_date(planned).bookings.get(person__name="Bea")
        typed = {f"of{bea.pk}-arrives_at": "11:30", f"of{bea.pk}-leaves_at": "15:00"}
        shown = self.say(instructor, planned, **typed)
        assert shown.status_code == 200
        bea.refresh_from_db()
        assert bea.arrives_at == datetime(2027, 1, 12, 22, 30, tzinfo=UTC)
        assert filled(instructor.get(self.here(planned)))[f"of{bea.pk}-arrives_at"] == "11:30"

    def test_a_time_outside_the_day_is_told_with_the_name_and_kept_in_the_form(
        self, instructor, planned
    ):
        bea = self.on_one_date(planned).bookings.get(person__name="Bea")
        shown = self.say(instructor, planned, **{f"of{bea.pk}-leaves_at": "06:00"})
        assert shown.status_code == 422
        assert "Bea: enter a time" in words(shown)
        assert 'value="06:00"' in shown.content.decode()

    def test_nothing_said_says_nothing(self, instructor, planned):
        assert "dealt anew" not in words(self.say(instructor, planned))

    def test_whoever_booked_since_the_page_was_read_is_left_alone(self, instructor, planned):
        typed = filled(instructor.get(self.here(planned)))
        comes = planned.start_at
        made = make.BookingFactory(workshop=planned.workshop, arrives_at=comes)
        instructor.post(self.here(planned), typed)
        assert Booking.objects.get(pk=made.pk).arrives_at == comes

    def test_the_workshop_leads_there(self, instructor, planned):
        shown = instructor.get(reverse("workshop", args=[planned.workshop_id]))
        assert self.here(planned) in words(shown)

"""The page of the day's order: today's plan beside the proposal, taken over whole or in part."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from planning.models import PlannedSet, TallyEvent
from tests import factories as make
from tests.pages.days import saved, words
from tests.records.browser import filled
from workshops.models import TravelTime, WorkshopBreak

pytestmark = pytest.mark.django_db


def clock(hour, minute=0):
    return datetime(2027, 5, 8, hour, minute, tzinfo=UTC)  # 14:00 UTC is 15:00 at the place


@pytest.fixture
def workshop(office):
    day = make.WorkshopFactory(intro_min=20, closing_min=15)
    make.BookingFactory(workshop=day)
    return day


def planned(workshop, position, start, **more):
    """Forty minutes, the pictures of 20 from 10 minutes after the start."""
    before = workshop.sets.first()
    parts = {"rig_min": 10, "brief_min": 0, "demo_min": 15, "turn_min": 4, "changeover_min": 1}
    parts |= {"critique_min": 5, "strike_min": 5, "title": f"Set {position}"}
    return make.SetFactory(
        workshop=workshop,
        position=position,
        start_at=start,
        end_at=start + timedelta(minutes=40),
        **parts | {"location": before.location if before else make.LocationFactory()} | more,
    )


@pytest.fixture
def wants_morning(workshop):
    """Two sets the wrong way round: the later one wants a sun in the east, the earlier none."""
    calm = planned(workshop, 1, clock(9))
    eager = planned(workshop, 2, clock(14), wanted_from_deg=80, wanted_to_deg=140)
    return calm, eager


def place(workshop):
    return reverse("workshop-day", args=[workshop.pk])


def shown(office, workshop):
    return words(office.get(place(workshop)))


def taken(office, workshop, keys):
    page = office.get(place(workshop))
    return office.post(place(workshop), filled(page) | {"take": [str(key) for key in keys]})


def test_the_page_shows_what_the_proposal_gains_and_why(office, workshop, wants_morning):
    page = shown(office, workshop)
    assert "0 of 20 min" in page
    assert "<strong>20 of 20 min</strong>" in page
    assert "when the sun stands 80° to 140°: all 20 min in the light it wants." in page
    assert "No order has more of the wanted light" in page


def test_a_break_after_the_last_set_counts_towards_todays_finish(office, workshop):
    # At the place: 09:20 to 10:00, tea from 12:00 for half an hour, closing until 12:45.
    planned(workshop, 1, clock(8, 20))
    WorkshopBreak.objects.create(
        workshop=workshop, title="Tea", earliest_at=clock(11), latest_at=clock(12), minutes=30
    )
    page = shown(office, workshop)
    assert "12:45 today, <strong>12:45</strong> proposed" in page
    assert "Today’s plan holds" in page


def test_the_whole_proposal_is_taken_over_by_one_button(office, workshop, wants_morning):
    calm, eager = wants_morning
    answer = taken(office, workshop, [calm.pk, eager.pk])
    assert answer.status_code == 302
    calm.refresh_from_db()
    eager.refresh_from_db()
    # Welcome until 09:20 there, and today's order where another one gains nothing.
    assert (calm.start_at, eager.start_at) == (clock(8, 20), clock(9))
    assert eager.end_at - eager.start_at == timedelta(minutes=40)
    assert "Today’s plan holds, and no order has more of the wanted light" in shown(
        office, workshop
    )


def test_a_part_of_it_is_taken_where_the_day_still_holds(office, workshop, wants_morning):
    # Proposed: the calm one at 09:20 there, then the eager one at 10:00, where the calm one is now.
    calm, eager = wants_morning
    assert taken(office, workshop, [calm.pk]).status_code == 302
    calm.refresh_from_db()
    eager.refresh_from_db()
    assert (calm.start_at, eager.start_at) == (clock(8, 20), clock(14))


def test_a_part_that_needs_the_rest_of_it_is_refused_with_what_it_breaks(
    office, workshop, wants_morning
):
    eager = wants_morning[1]
    answer = taken(office, workshop, [eager.pk])
    assert answer.status_code == 422
    assert "Set 2 begins 40 min before Set 1 is over" in words(answer)
    eager.refresh_from_db()
    assert eager.start_at == clock(14)


def test_nothing_ticked_is_told(office, workshop, wants_morning):
    answer = taken(office, workshop, [])
    assert answer.status_code == 422
    assert "Tick the sets" in words(answer)


def test_a_set_changed_meanwhile_is_told_and_nothing_moves(office, workshop, wants_morning):
    calm, eager = wants_morning
    sent = filled(office.get(place(workshop))) | {"take": [str(eager.pk)]}
    calm.notes = "wet"
    calm.save()
    answer = office.post(place(workshop), sent)
    assert answer.status_code == 409
    assert "has been changed meanwhile" in words(answer)
    assert PlannedSet.objects.get(pk=eager.pk).start_at == clock(14)


def test_a_typed_time_that_breaks_the_day_is_refused_in_words(office, workshop, wants_morning):
    eager = wants_morning[1]
    sent = filled(office.get(place(workshop))) | {"take": [str(eager.pk)]}
    sent[f"start_{eager.pk}"] = clock(17, 30).isoformat()
    answer = office.post(place(workshop), sent)
    assert answer.status_code == 422
    assert "After Set 2 the day ends 25 min late" in words(answer)


@pytest.mark.parametrize("start", ["soon", "", "2027-05-08T09:00", "9999-99-99"])
def test_a_time_that_is_none_is_refused(office, workshop, wants_morning, start):
    eager = wants_morning[1]
    sent = filled(office.get(place(workshop))) | {"take": [str(eager.pk)]}
    answer = office.post(place(workshop), sent | {f"start_{eager.pk}": start})
    assert answer.status_code == 422


def test_what_todays_plan_breaks_stands_at_the_top(office, workshop):
    planned(workshop, 1, clock(9))
    planned(workshop, 2, clock(9, 10))
    page = shown(office, workshop)
    assert "Today’s plan does not hold" in page
    assert "Set 2 begins 30 min before Set 1 is over." in page


def test_a_day_that_cannot_be_says_what_would_have_to_give(office, workshop):
    planned(workshop, 1, clock(9), latest_at=clock(8, 50))
    page = shown(office, workshop)
    # Welcome until 09:20; 40 minutes from then end at 10:00, 10 after the gate closes.
    assert "No order fits" in page
    assert "It would fit if the permitted hours were 10 min wider at both ends." in page
    assert "It would fit if the day began 10 min earlier." in page
    assert "Set 1 begins 10 min before the welcome and the walk in are over." in page
    assert "Take the ticked times over" not in page


def test_a_set_is_pinned_and_let_go_from_the_page(office, workshop, wants_morning):
    eager = wants_morning[1]
    sent = filled(office.get(place(workshop))) | {"pinned": "1"}
    assert office.post(reverse("set-pin", args=[eager.pk]), sent).status_code == 302
    eager.refresh_from_db()
    assert eager.pinned
    assert "Kept at 15:00, where it is pinned." in shown(office, workshop)
    office.post(reverse("set-pin", args=[eager.pk]), {"pinned": "0"})
    eager.refresh_from_db()
    assert not eager.pinned


def test_breaks_are_entered_changed_and_deleted_on_pages(office, workshop):
    typed = {"title": "Lunch", "minutes": "45"}
    typed |= {"earliest_at": "2027-05-08T12:00", "latest_at": "2027-05-08T13:30"}
    assert saved(office, "break-new", workshop.pk, **typed).status_code == 302
    rest = WorkshopBreak.objects.get()
    assert (rest.minutes, rest.earliest_at) == (45, clock(11))  # 12:00 at the place
    planned(workshop, 1, clock(9))
    planned(workshop, 2, clock(13))
    assert "lunch" in shown(office, workshop).lower()
    saved(office, "break-edit", rest.pk, minutes="30")
    rest.refresh_from_db()
    assert rest.minutes == 30
    office.post(reverse("break-delete", args=[rest.pk]))
    assert not WorkshopBreak.objects.exists()


def test_a_break_that_ends_before_it_may_begin_is_refused_at_its_field(office, workshop):
    typed = {"earliest_at": "2027-05-08T13:30", "latest_at": "2027-05-08T12:00", "title": "Tea"}
    answer = saved(office, "break-new", workshop.pk, **typed)
    assert answer.status_code == 422
    assert "no earlier than the one before" in words(answer)


def test_ways_are_entered_on_the_page_of_a_place_and_count_both_ways(office):
    hill, shore = make.LocationFactory(name="Hill"), make.LocationFactory(name="Shore")
    assert saved(office, "way-new", hill.pk, to=str(shore.pk), minutes="20").status_code == 302
    for one in (hill, shore):
        assert "Hill – Shore" in words(office.get(reverse("location", args=[one.pk])))
    again = saved(office, "way-new", hill.pk, to=str(shore.pk), minutes="25")
    assert "there is a way to that place already" in words(again)
    way = TravelTime.objects.get()
    saved(office, "way-edit", way.pk, minutes="35")
    way.refresh_from_db()
    assert way.minutes == 35
    office.post(reverse("way-delete", args=[way.pk]))
    assert not TravelTime.objects.exists()


def test_welcome_and_closing_are_entered_with_the_workshop(office, workshop):
    saved(office, "workshop-edit", workshop.pk, intro_min="45", closing_min="10")
    workshop.refresh_from_db()
    assert (workshop.intro_min, workshop.closing_min) == (45, 10)


def test_a_workshop_without_sets_leads_to_planning_them(office, workshop):
    page = shown(office, workshop)
    assert "No set is planned yet" in page
    assert reverse("sets", args=[workshop.pk]) in page


def test_the_page_asks_as_often_for_six_sets_as_for_two(
    office, workshop, django_assert_max_num_queries
):
    spot = make.LocationFactory()
    for number in range(6):
        planned(workshop, number + 1, clock(9 + number), location=spot, pinned=True)
    with django_assert_max_num_queries(18):
        shown(office, workshop)


def test_sets_too_long_for_the_water_are_told_and_no_such_day_is_drawn(office, workshop):
    slip = make.LocationFactory(water="tidal", path_low_point_m=3.0)
    for at, height_m, turn in ((clock(3), 6.0, "high"), (clock(9), 0.0, "low"),
                               (clock(15), 6.0, "high"), (clock(21), 0.0, "low")):  # fmt: skip
        make.TidePointFactory(location=slip, at=at, height_m=height_m, turn=turn)
    # Dry from 08:20 (welcome) until 11:00 UTC, an hour before the flood: 160 minutes for 200, and
    # after 18:00 UTC, when the water has fallen, the workshop is over.
    for number in range(5):
        planned(workshop, number + 1, clock(9 + number), location=slip)
    page = shown(office, workshop)
    assert "if the water left the way free 40 min longer at both ends. It gives nothing" in page
    assert "The day that comes nearest" not in page
    assert "Take the ticked times over" not in page


def test_each_day_of_several_has_its_own_proposal(office, workshop):
    workshop.end_at = clock(18) + timedelta(days=1)
    workshop.save()
    planned(workshop, 1, clock(10))
    second = planned(workshop, 2, clock(12) + timedelta(days=1))
    page = shown(office, workshop)
    assert page.count("The day to scale, time down") == 2
    answer = office.post(
        place(workshop),
        filled(office.get(place(workshop))) | {"day": "2027-05-09", "take": [str(second.pk)]},
    )
    assert answer.status_code == 302
    second.refresh_from_db()
    assert second.start_at == clock(8, 20) + timedelta(days=1)


def moved_to(workshop, **delta):
    workshop.start_at += timedelta(**delta)
    workshop.end_at += timedelta(**delta)
    workshop.save()


def test_sets_left_behind_by_a_new_date_are_told_and_move_along(office, workshop, wants_morning):
    lunch = make.BreakFactory(workshop=workshop)
    moved_to(workshop, days=7)
    page = shown(office, workshop)
    assert "The sets lie on another date" in page
    assert "before the welcome" not in page, "of sets on another date there is no day to order"
    assert "The sets lie on another date" in words(office.get(f"/workshops/{workshop.pk}/sets/"))
    answer = office.post(reverse("sets-move", args=[workshop.pk]), follow=True)
    assert "moved by 7 days" in words(answer)
    calm, eager = wants_morning
    for one, was in ((calm, clock(9)), (eager, clock(14))):
        one.refresh_from_db()
        assert one.start_at == was + timedelta(days=7)
        assert one.end_at - one.start_at == timedelta(minutes=40)
    before = lunch.earliest_at
    lunch.refresh_from_db()
    assert lunch.earliest_at == before + timedelta(days=7)
    assert "The sets lie on another date" not in shown(office, workshop)


def test_moved_sets_keep_their_hours_across_a_change_of_clocks(office, workshop, wants_morning):
    # In Britain clocks go back on 31 October 2027: 10:00 summer time, 09:00 UTC, is then 10:00 UTC.
    calm, _eager = wants_morning
    moved_to(workshop, days=7 * 26)
    office.post(reverse("sets-move", args=[workshop.pk]))
    calm.refresh_from_db()
    assert calm.start_at == clock(10) + timedelta(days=7 * 26)


def test_nothing_moves_where_sets_lie_on_the_day_or_turns_were_given(
    office, workshop, wants_morning
):
    told = words(office.post(reverse("sets-move", args=[workshop.pk]), follow=True))
    assert "nothing is to be moved" in told
    booking = workshop.bookings.get()
    TallyEvent.objects.create(
        planned_set=wants_morning[0], kind="turn given", booking=booking, at=clock(9)
    )
    moved_to(workshop, days=7)
    told = words(office.post(reverse("sets-move", args=[workshop.pk]), follow=True))
    assert "Something happened on these sets already" in told
    assert PlannedSet.objects.earliest("start_at").start_at == clock(9)

"""The page a set is noted on: pressed by a thumb, refused in words, taken back."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from planning.models import TallyEvent
from planning.selectors.tally import set_tallies
from tests import factories as make
from tests.pages.days import running, words
from workshops.models.base import in_zone

pytestmark = pytest.mark.django_db


@pytest.fixture
def instructor(planned):
    person = make.RoleFactory(workshop=planned.workshop, role="lead").person
    client = Client()
    client.force_login(
        make.UserFactory(role="instructor", person=person, is_staff=False, is_superuser=False)
    )
    return client


def page_of(planned):
    return reverse("tally", args=[planned.pk])


def form_of(answer, do, key=""):
    """The hidden fields of the form that does this, as the page carries them."""
    text = answer.content.decode()
    for form in re.findall(r"<form method=\"post\".*?</form>", text, re.DOTALL):
        hidden = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))
        if (hidden.get("do"), hidden.get("key", "")) == (do, key):
            return hidden
    raise AssertionError(f"no form does {do} {key}")


def press(office, planned, do, key="", **typed):
    form = form_of(office.get(page_of(planned)), do, key)
    return office.post(page_of(planned), form | typed)


def tally(planned):
    return set_tallies(planned.workshop)[0]


def test_a_set_from_its_beginning_to_its_last_pack(office, planned, light, abel, packs):
    first, second = packs
    trigger = make.ReservationFactory(workshop=planned.workshop).unit
    press(office, planned, "began")
    press(office, planned, "in", "0", unit=first.pk, charge="100")
    press(office, planned, "flashes", "0", count="40", how="more")
    press(office, planned, "in", "0", unit=second.pk, charge="4/4", old_charge="10 %")
    press(office, planned, "flashes", "0", count="71", how="all")
    press(
        office, planned, "misfire", booking=abel.pk, trigger=trigger.pk, cause="body",
        light_name="octa", notes="twice",
    )  # fmt: skip
    press(office, planned, "frames", str(abel.pk), count="18", how="more")
    press(office, planned, "gust", gust_m_s="9,5")
    press(office, planned, "sky", sky="partly")
    press(office, planned, "near", words="Stand went over")
    press(office, planned, "note", words="Sand")
    press(office, planned, "ended")
    press(office, planned, "out", f"0-{second.pk}", charge="3/4")
    shown = office.get(page_of(planned))
    one = tally(planned)
    (head,), (person,), (misfire,) = one.heads, one.people, one.misfires
    assert None not in (one.began_at, one.ended_at)
    assert head.flashes == 71
    assert [use.used_share for use in head.packs] == [0.9, 0.25]
    assert (person.frames, person.misfires, misfire.cause) == (18, 1, "body")
    assert [speed for _at, speed in one.gusts_m_s] == [9.5]
    assert one.skies[0][1] == "partly"
    assert (one.near_misses[0][1], one.notes[0][1]) == ("Stand went over", "Sand")
    assert one.missing == ("turns",)
    for told in ("31 flashes", "B2 out of octa, 3 of 4 lamps", "gust 9.5 m/s", "sky: partly"):
        assert told in words(shown)


def test_the_same_press_twice_is_once(office, planned):
    form = form_of(office.get(page_of(planned)), "flashes", "0") | {"count": "40", "how": "more"}
    for _press in (1, 2):
        assert office.post(page_of(planned), form).status_code == 302
    assert tally(planned).heads[0].flashes == 40


def test_what_was_noted_is_taken_back_once(office, planned):
    press(office, planned, "flashes", "0", count="400", how="more")
    shown = office.get(page_of(planned))
    back = re.search(r'name="uuid" value="([^"]*)"><input type="hidden" name="event" value="(\d+)"',
                     shown.content.decode())  # fmt: skip
    asked = {"do": "back", "uuid": back[1], "event": back[2]}
    for _press in (1, 2):
        assert office.post(page_of(planned), asked).status_code == 302
    assert tally(planned).heads[0].flashes is None
    assert TallyEvent.objects.count() == 2


FAULTS = (
    ("flashes", "0", {"count": "many"}, "Enter a whole number"),
    ("flashes", "0", {"count": "9" * 50_000}, "0 to 100000|less than or equal|whole number"),
    ("in", "0", {"unit": "PACK", "charge": "120"}, "Enter 0 to 100 per cent"),
    ("in", "0", {"unit": "PACK", "charge": "5/4"}, "Enter 0 to 100 per cent"),
    ("in", "0", {"unit": "PACK", "charge": "0.5"}, "Enter 0 to 100 per cent"),
    ("in", "0", {"unit": "PACK", "charge": "full"}, "Enter 0 to 100 per cent"),
    ("in", "0", {"unit": "9" * 30}, "choose one of the kit list"),
    ("in", "0", {"unit": "PACK", "old_charge": "10"}, "No pack was noted in octa"),
    ("misfire", "", {"cause": ""}, "Choose one; it cannot stay empty"),
    ("misfire", "", {"cause": "gremlins"}, "Select a valid choice"),
    ("gust", "", {"gust_m_s": "strong"}, "Enter a number"),
    ("gust", "", {"gust_m_s": "200"}, "enter 0 to 80"),
    ("sky", "", {"sky": "green"}, "choose one of the three"),
    ("near", "", {"words": " "}, "cannot stay empty|required|Enter"),
    ("note", "", {"words": "x" * 50_000}, "at most 500 characters"),
    ("note", "", {"words": "nul\0"}, "Null characters are not allowed"),
    ("began", "", {"at": "25:00"}, "Enter a time"),
)


def test_what_cannot_be_is_refused_at_its_field(office, planned, packs):
    shown = office.get(page_of(planned))
    for do, key, typed, fault in FAULTS:
        named = {name: packs[0].pk if value == "PACK" else value for name, value in typed.items()}
        answer = office.post(page_of(planned), form_of(shown, do, key) | named)
        assert answer.status_code == 422, (do, typed)
        assert re.search(fault, words(answer)), (do, typed)
    assert not TallyEvent.objects.exists()


def test_a_press_of_nothing_is_told_so(office, planned):
    keyed = {"uuid": str(uuid4())}
    for asked in (
        {}, keyed | {"do": "dance"}, keyed | {"do": "flashes", "key": "7"},
        keyed | {"do": "out", "key": "0-x"}, keyed | {"do": "frames", "key": "9" * 40},
        {"do": "flashes", "key": "0", "count": "3"}, {"do": "back", "event": "9" * 40} | keyed,
    ):  # fmt: skip
        answer = office.post(page_of(planned), asked)
        assert answer.status_code == 422
        assert "could not be read" in words(answer)


def test_the_page_of_turns_takes_back_nothing_but_turns(office, planned):
    event = make.EventFactory(planned_set=planned)
    asked = {"do": "back", "uuid": str(uuid4()), "event": str(event.pk)}
    answer = office.post(reverse("set-turns", args=[planned.pk]), asked)
    assert answer.status_code == 422
    assert TallyEvent.objects.count() == 1


def test_a_pack_that_left_the_kit_list_is_still_shown(office, planned, packs):
    press(office, planned, "in", "0", unit=packs[0].pk, charge="100")
    planned.workshop.kit.filter(unit=packs[0]).delete()
    assert "<strong>B1</strong> 100 % → in the head" in words(office.get(page_of(planned)))


def test_hostile_words_are_shown_as_words(office, planned):
    note = "<script>alert(1)</script> \N{WATER WAVE}"
    press(office, planned, "note", words=note)
    text = office.get(page_of(planned)).content.decode()
    assert "&lt;script&gt;alert(1)&lt;/script&gt; \N{WATER WAVE}" in text
    assert "<script>alert" not in text


def test_a_time_is_understood_on_the_clock_of_the_place(office, planned):
    zone = "Asia/Kathmandu"  # at +05:45 all year
    location = planned.location
    location.timezone_name = zone
    location.save()
    began = timezone.now() - timedelta(minutes=20)
    press(office, planned, "began", at=f"{in_zone(began, zone):%H:%M}")
    event = TallyEvent.objects.get()
    assert abs(event.at - began) < timedelta(minutes=1)


def test_before_the_day_nothing_can_be_noted(office, planned):
    for name in ("start_at", "end_at"):
        setattr(planned, name, getattr(planned, name) + timedelta(days=3))
    planned.save()
    shown = office.get(page_of(planned))
    assert "not before" in words(shown)
    assert b'value="flashes"' not in shown.content


def test_an_instructor_notes_own_sets_and_nobody_elses(instructor, planned):
    assert press(instructor, planned, "sky", sky="clear").status_code == 302
    assert TallyEvent.objects.get().kind == "sky seen"
    stranger = running()
    assert instructor.get(page_of(stranger)).status_code == 404


def test_a_light_with_a_hostile_name_keeps_its_presses(office, planned, light):
    light.name = '"><b>&{{x}}'
    light.save()
    press(office, planned, "flashes", "0", count="3", how="more")
    assert TallyEvent.objects.get().light_name == '"><b>&{{x}}'


def test_the_set_and_its_turns_lead_here(office, planned):
    for name, pk in (("set", planned.pk), ("set-turns", planned.pk), ("sets", planned.workshop_id)):
        assert page_of(planned) in office.get(reverse(name, args=[pk])).content.decode()


def test_more_notes_take_no_more_questions(office, planned, packs):
    def asked():
        with CaptureQueriesContext(connection) as few:
            office.get(page_of(planned))
        return len(few)

    unit, named = packs[0], {"planned_set": planned, "at": planned.start_at}
    make.EventFactory(kind="pack in", unit=unit, light_name="octa", charge_share=0.9, **named)
    before = asked()
    for number in range(6):
        make.EventFactory(notes=f"Note {number}", **named)
    make.EventFactory(kind="pack in", unit=packs[1], light_name="octa", **named)
    assert asked() == before


def test_what_is_noted_months_later_without_a_time_says_which_time_it_got(office, planned):
    assert "long over" not in words(office.get(page_of(planned)))
    for row in (planned, planned.workshop):
        row.start_at, row.end_at = (
            at.replace(year=at.year - 1, hour=hour, minute=40)
            for at, hour in ((row.start_at, 9), (row.start_at, 11))
        )
        row.save()
    assert "is kept at the time it was to end" in words(office.get(page_of(planned)))
    press(office, planned, "flashes", "0", count="7", how="more")
    told = "7 flashes, at 11:40, when the set was to end: no time was entered."
    assert told in words(office.get(page_of(planned)))
    press(office, planned, "flashes", "0", count="2", how="more", at="10:05")
    assert "Noted: octa: 2 flashes." in words(office.get(page_of(planned)))


def test_so_many_in_all_tells_what_was_new_and_what_it_makes(office, planned):
    press(office, planned, "flashes", "0", count="30", how="more")
    press(office, planned, "flashes", "0", count="70", how="all")
    told = "Noted: octa: 40 flashes more, 70 in all."  # 70 - 30
    assert told in words(office.get(page_of(planned)))


def test_a_gust_no_wind_has_is_refused_in_the_unit_it_was_typed_in(office, house, planned):
    house.units = "imperial"
    house.save()
    form = form_of(office.get(page_of(planned)), "gust")
    answer = office.post(page_of(planned), form | {"gust_m_s": "200"})
    # 80 m/s / 0.44704 m/s a mile an hour (NIST SP 811) = 178.955
    assert "Gust (mph): enter 0 to 178.955." in words(answer)


def test_what_was_taken_back_stays_to_be_read(office, planned):
    press(office, planned, "flashes", "0", count="700", how="more")
    shown = office.get(page_of(planned))
    assert "taken back and" not in words(shown)
    back = re.search(r'name="uuid" value="([^"]*)"><input type="hidden" name="event" value="(\d+)"',
                     shown.content.decode())  # fmt: skip
    office.post(page_of(planned), {"do": "back", "uuid": back[1], "event": back[2]})
    press(office, planned, "flashes", "0", count="70", how="more")
    told = words(office.get(page_of(planned)))
    assert "1 entry was taken back and counts no more" in told
    assert re.search(r"octa: 700 flashes: taken back at \d\d:\d\d", told)
    assert "<strong>70 flashes</strong>" in told

"""A tally sheet typed in: whole or not at all, twice is once, what is noted counts towards it."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from planning.models import Reading, TallyEvent
from planning.selectors.recipes import locked_recipe
from planning.selectors.tally import set_tallies
from tests import factories as make
from tests.pages.days import words
from tests.records.browser import filled
from workshops.models.base import in_zone

pytestmark = pytest.mark.django_db


@pytest.fixture
def bea(planned, abel):
    return make.BookingFactory(
        workshop=planned.workshop, person__name="Bea", booked_at=make.NOW + timedelta(minutes=1)
    )


def page_of(planned):
    return reverse("tally-paper", args=[planned.pk])


def clock(planned, minutes):
    """A time of the set as somebody writes it down."""
    at = planned.start_at + timedelta(minutes=minutes)
    return f"{in_zone(at, planned.location.timezone_name):%H:%M}"


def the_paper(planned, abel, bea, packs):
    """What a pencil wrote in the first 26 minutes of a set."""
    trigger = make.ReservationFactory(workshop=planned.workshop, unit__tag="T7").unit
    first, second = (unit.pk for unit in packs)
    return {
        "began_at": clock(planned, 1), "ended_at": clock(planned, 25),
        "base_at": clock(planned, 2), "base_f": "11", "base_tenths": "3", "base_shutter": "1/125",
        "base_iso": "100",
        "recipe_at": clock(planned, 3), "recipe_f": "11", "recipe_shutter": "1/125",
        "recipe_iso": "100", "gust_m_s": "9,5", "sky": "partly",
        f"turn_{abel.pk}_1_0": clock(planned, 8), f"turn_{bea.pk}_1_0": clock(planned, 15),
        f"frames_{abel.pk}": "18", f"best_{abel.pk}": "0123",
        f"misfires_{bea.pk}": "2", f"cause_{bea.pk}": "body", f"trigger_{bea.pk}": str(trigger.pk),
        "power_0": "1/4", "start_0": "1200", "end_0": "1271",
        "pack_0": str(first), "in_0": "100", "at_0_0": clock(planned, 14), "old_0_0": "10",
        "pack_0_0": str(second), "in_0_0": "4/4", "out_0": "3/4",
        "changed": "Octa nearer by 30 cm", "near": "Stand went over",
    }  # fmt: skip


def test_a_whole_set_is_typed_in_one_go_and_only_once(office, planned, abel, bea, packs):
    paper = filled(office.get(page_of(planned))) | the_paper(planned, abel, bea, packs)
    assert office.post(page_of(planned), paper).status_code == 302
    (one,) = set_tallies(planned.workshop)
    (head,) = one.heads
    assert one.missing == ()
    assert (one.ended_at - one.began_at) == timedelta(minutes=24)
    assert (head.flashes, head.power_source) == (71, "locked")  # 1271 - 1200
    assert head.full_power_flashes == pytest.approx(71 / 4)
    assert [(use.tag, use.used_share) for use in head.packs] == [("B1", 0.9), ("B2", 0.25)]
    assert [(one.turns, one.frames, one.misfires) for one in one.people] == [
        (1, 18, 0), (1, None, 2),
    ]  # fmt: skip
    assert {(bad.attendee, bad.trigger, bad.cause) for bad in one.misfires} == {
        ("Bea", "T7", "body")
    }
    assert [gust for _at, gust in one.gusts_m_s] == [9.5]
    assert [said for _at, said in one.notes] == ["best frame 0123", "Octa nearer by 30 cm"]
    reading = Reading.objects.get()
    assert (reading.tenths, reading.plane) == (3, "backdrop")
    assert locked_recipe(planned, planned.events.all()).powers == (("octa", 0.25),)

    count = TallyEvent.objects.count()
    again = office.post(page_of(planned), paper, follow=True)
    assert "noted already" in words(again)
    assert (TallyEvent.objects.count(), Reading.objects.count()) == (count, 1)
    # The paper typed in anew by somebody else: what counts in all is there, words and sky too.
    anew = filled(office.get(page_of(planned)))
    anew |= {name: value for name, value in paper.items() if name.split("_")[0] in (
        "frames", "misfires", "cause", "trigger", "start", "end", "gust", "sky", "changed", "near",
    )}  # fmt: skip
    assert office.post(page_of(planned), anew).status_code == 302
    (one,) = set_tallies(planned.workshop)
    assert (one.heads[0].flashes, len(one.misfires), len(one.gusts_m_s)) == (71, 2, 1)
    assert TallyEvent.objects.count() == count  # no count of nothing either


def test_one_fault_keeps_everything_out_and_stands_at_its_box(office, planned, abel, bea, packs):
    paper = filled(office.get(page_of(planned))) | the_paper(planned, abel, bea, packs)
    paper |= {"in_0": "50", "old_0_0": "90", "ended_at": clock(planned, -10)}
    answer = office.post(page_of(planned), paper)
    assert answer.status_code == 422
    form = answer.context["form"]
    assert set(form.errors) == {"ended_at", "old_0_0"}
    assert "It began at" in form.errors["ended_at"][0]
    assert "went in with 50" in form.errors["old_0_0"][0]
    assert not TallyEvent.objects.exists()
    assert not Reading.objects.exists()
    assert form["changed"].value() == "Octa nearer by 30 cm"  # nothing typed is lost


FAULTS = (
    ({"end_0": "5"}, "start_0", "at start"),
    ({"start_0": "9", "end_0": "5"}, "end_0", "no less than at the start"),
    ({"power_0": "1/4"}, "recipe_f", "enter f/, shutter and ISO"),
    ({"recipe_f": "11"}, "recipe_iso", "enter f/, shutter and ISO"),
    ({"base_f": "11"}, "base_shutter", "enter f/ and shutter"),
    ({"in_0": "90"}, "pack_0", "by its tag"),
    ({"at_0_0": "10:00"}, "pack_0_0", "by its tag"),
    ({"pack_0_0": "PACK"}, "at_0_0", "enter the time"),
    ({"out_0": "90"}, "out_0", "No pack is noted in octa"),
    ({"misfires_WHO": "2"}, "cause_WHO", "how often, and why"),
    ({"frames_WHO": "many"}, "frames_WHO", "whole number"),
    ({"sky": "green"}, "sky", "valid choice"),
    ({"near": "x" * 50_000}, "near", "at most 500"),
    ({"began_at": "noon"}, "began_at", "Enter a time"),
    ({"gust_m_s": "200"}, "gust_m_s", "enter 0 to 80"),
)


def test_every_fault_stands_at_its_box(office, planned, abel, packs):
    empty = filled(office.get(page_of(planned)))

    def named(text):
        return text.replace("WHO", str(abel.pk)).replace("PACK", str(packs[0].pk))

    for typed, field, fault in FAULTS:
        answer = office.post(
            page_of(planned), empty | {named(k): named(v) for k, v in typed.items()}
        )
        errors = answer.context["form"].errors if answer.context else {}
        assert fault in " ".join(errors.get(named(field), [])), (typed, errors)
    assert not TallyEvent.objects.exists()


def test_what_is_noted_stands_beside_and_has_no_box(office, planned, abel):
    named = {"planned_set": planned, "at": planned.start_at + timedelta(minutes=4)}
    make.EventFactory(kind="set began", **named)
    make.EventFactory(kind="turn given", booking=abel, **named)
    make.EventFactory(kind="frames", booking=abel, count=17, **named)
    shown = office.get(page_of(planned))
    assert "Noted already: 1 turn 17 frames" in words(shown)
    fields = filled(shown)
    assert f"turn_{abel.pk}_1_0" not in fields
    assert "began_at" not in fields
    fields[f"frames_{abel.pk}"] = "16"
    answer = office.post(page_of(planned), fields)
    assert "17 are noted already" in answer.context["form"].errors[f"frames_{abel.pk}"][0]


def test_causes_have_the_letters_of_the_printed_sheet(office, planned, abel):
    assert ">C empty cell in the trigger<" in words(office.get(page_of(planned)))


def test_an_empty_paper_notes_nothing(office, planned):
    assert office.post(page_of(planned), filled(office.get(page_of(planned)))).status_code == 302
    assert not TallyEvent.objects.exists()


def test_a_set_with_stations_and_rounds_has_a_box_for_every_turn(office, planned, abel):
    planned.stations, planned.rounds = "wall, slip", 2
    planned.save()
    names = [name for name in filled(office.get(page_of(planned))) if name.startswith("turn_")]
    assert names == [f"turn_{abel.pk}_{n}_{place}" for n in (1, 2) for place in (0, 1)]
    typed = {names[1]: clock(planned, 10), names[3]: clock(planned, 20)}
    office.post(page_of(planned), filled(office.get(page_of(planned))) | typed)
    turns = TallyEvent.objects.order_by("at").values_list("round", "station")
    assert list(turns) == [(1, "slip"), (2, "slip")]


def test_the_boxes_stand_in_the_order_of_the_printed_sheet(office, planned, abel, packs):
    text = words(office.get(page_of(planned)))
    order = re.findall(r'<(?:input|select|textarea)[^>]* name="([a-z_]+?)(?:_\d+)*"', text)
    order = [name for name in dict.fromkeys(order) if name not in ("csrfmiddlewaretoken", "key")]
    assert order == [
        "began_at", "ended_at", "base_at", "base_f", "base_tenths", "base_shutter", "base_iso",
        "recipe_at", "recipe_f", "recipe_shutter", "recipe_iso", "gust_m_s", "sky",
        "turn", "frames", "best", "misfires", "cause", "trigger",
        "power", "start", "end", "pack", "in", "at", "old", "out",
        "changed", "faults", "near", "missed",
    ]  # fmt: skip


def test_who_came_unbooked_is_given_a_seat_and_the_paper_goes_on_where_it_was(
    office, planned, abel, bea, packs
):
    make.SeatFactory(workshop=planned.workshop, number=77)
    typed = the_paper(planned, abel, bea, packs) | {"gust_m_s": "a lot", "in_0": "full"}
    shown = office.get(page_of(planned))
    led = office.post(page_of(planned), filled(shown) | typed | {"book": "1"})
    place = reverse("booking-new", args=[planned.workshop_id]) + f"?paper={planned.pk}"
    assert led.url == place
    form = office.get(place)
    assert "The workshop has begun" in words(form)
    seat = filled(form) | {"name": "Zoe Late", "phone": "+44 20 7946 0991"}
    assert seat["state"] == ["attended"]
    back = office.post(place, seat)
    assert back.url == page_of(planned)
    again = office.get(back.url)
    assert "none of it is noted yet" in words(again)
    kept = filled(again)
    plain = {name: one[0] if isinstance(one, list) else one for name, one in kept.items()}
    assert plain == plain | typed
    zoe = planned.workshop.bookings.get(person__name="Zoe Late")
    assert TallyEvent.objects.count() == 0

    kept |= {"gust_m_s": "9.5", "in_0": "100", f"frames_{zoe.pk}": "6"}
    assert office.post(page_of(planned), kept).status_code == 302
    assert planned.events.get(booking=zoe).count == 6
    assert "none of it is noted yet" not in words(office.get(page_of(planned)))

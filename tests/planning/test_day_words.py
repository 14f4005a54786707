"""What is said of a day's order, each sentence beside the day that causes it."""

from dataclasses import replace

import pytest

from planning.lesson.day import best_day
from planning.lesson.day_check import check_day
from planning.lesson.day_inputs import DayBreak, DayPlace, Span, WantedSun
from planning.plan.day_words import fault_words, reasons, relaxed_words, sun_words
from tests.lesson.test_day import at, day, short


def told(made) -> dict[int, list[str]]:
    return {
        key: [str(one) for one in lines] for key, lines in reasons(made, best_day(made)).items()
    }


SUN = WantedSun(205.0, 240.0)
WIDE = (Span(at("10:00"), at("10:20")),)


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        (SUN, "the sun stands 205 degrees to 240 degrees"),
        (WantedSun(low_deg=5.0, high_deg=25.0), "the sun stands 5 degrees to 25 degrees high"),
        (WantedSun(low_deg=45.0), "the sun stands 45 degrees or higher"),
        (WantedSun(high_deg=-1.0), "the sun stands no higher than -1 degrees"),
        (
            replace(SUN, low_deg=5.0),
            "the sun stands 205 degrees to 240 degrees, 5 degrees or higher",
        ),
    ],
)
def test_where_the_sun_is_wanted(wanted, words):
    assert str(sun_words(wanted)) == words


def test_a_set_in_its_light_says_from_when_and_all_of_it():
    lines = told(day(short(1, light=WIDE, wanted=SUN)))
    assert lines[1][0] == (
        "Pictures from 10:00, when the sun stands 205 degrees to 240 degrees: all 20 min in the "
        "light it wants."
    )
    assert lines[1][-1] == "50 min free before it."


def test_a_set_that_gives_up_light_names_the_set_it_gives_it_to():
    lines = told(day(short(1, light=WIDE, wanted=SUN), short(2, light=WIDE, wanted=SUN)))
    said = [line for one in lines.values() for line in one if line.startswith("Gives up")]
    assert len(said) == 1
    assert said[0] in {
        "Gives up 20 min of its light, or Set 1 would lose as much or more of theirs.",
        "Gives up 20 min of its light, or Set 2 would lose as much or more of theirs.",
    }


def test_what_a_set_is_without_in_any_case_is_no_gift_to_another():
    # A light of 15 minutes for pictures of 20: 5 are lost alone, 15 more beside another set.
    light = (Span(at("10:00"), at("10:15")),)
    lines = told(day(short(1, light=light, wanted=SUN), short(2, light=light, wanted=SUN)))
    said = {line for one in lines.values() for line in one if "its light" in line}
    alone = "Without 5 min of its light: with the day to itself it would have no more."
    assert alone in said
    assert said - {alone} <= {
        f"Gives up 15 min of its light, or Set {other} would lose as much or more of theirs; "
        "5 min it would be without in any case."
        for other in (1, 2)
    }
    assert len(said) == 2


def test_a_light_that_never_comes_is_said_so():
    lines = told(day(short(1, light=(), wanted=SUN)))
    assert lines[1][0].endswith("that does not happen in this day.")
    assert (
        lines[1][1] == "Without 20 min of its light: with the day to itself it would have no more."
    )


def test_pins_water_and_hours_are_reasons():
    wet = short(2, dry=(Span(at("06:00"), at("11:00")),), latest_at=at("12:00"))
    lines = told(day(short(1, "09:00", pinned=True), wet))
    assert lines[1] == ["Kept at 09:00, where it is pinned."]
    assert lines[2] == [
        "Before the water: struck by 10:20, past the low point by 10:20; clear by 11:00.",
        "Over at 10:20; it must be over by 12:00.",
    ]


def test_sets_that_ask_for_nothing_say_so():
    lines = told(day(short(1), short(2, "09:10"), short(3, "11:00", place=2)))
    assert lines[1] == ["As planned: nothing asks for another hour."]
    assert lines[2] == ["Next to Set 1, at the same place: no way between."]
    assert lines[3] == ["Last: nothing else asks for this hour."]


def test_every_kind_of_fault_has_its_sentence():
    walk = DayPlace(1, "Hill", walk_min=10)
    made = replace(
        day(
            short(1, "09:05"),
            short(2, "09:30", latest_at=at("10:00"), place=2),
            short(3, "12:30", dry=(Span(at("06:00"), at("12:00")),), place=2),
            intro_min=20,
            closing_min=30,
            breaks=(DayBreak("lunch", at("09:40"), at("09:45"), 30),),
        ),
        places=(walk, DayPlace(2, "Shore")),
    )
    starts = {one.key: one.start_at for one in made.sets}
    assert [str(fault_words(made, one)) for one in check_day(made, starts)] == [
        "Set 1 begins 25 min before the welcome and the walk in are over.",
        "After Set 3 the day ends 40 min late, with the walk out and the closing.",
        "Set 2 stands 10 min outside the hours it may have.",
        "Set 3 is 70 min in the hours when the way out is too near flooding: no day that goes.",
        "Set 2 begins 30 min too early: after Set 1 the way takes 15 min.",
        "No room for lunch: 25 min are missing.",
    ]


def test_lacking_seconds_are_told_as_a_whole_minute():
    made = day(short(1, "09:00"), replace(short(2, "09:40"), rig_min=10.5), end="10:20")
    faults = check_day(made, {one.key: one.start_at for one in made.sets})
    assert str(fault_words(made, faults[0])) == (
        "After Set 2 the day ends 1 min late, with the walk out and the closing."
    )


def test_what_would_have_to_give_is_a_sentence_for_each_kind():
    proposal = best_day(day(short(1), short(2), end="10:10", closing_min=10))
    assert [str(relaxed_words(one)) for one in proposal.relaxed] == [
        "It would fit if the day ended 20 min later.",
        "It would fit if the day began 20 min earlier.",
    ]

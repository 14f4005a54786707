"""An attendee's own part of a set's tally is theirs, whole, and nobody else's."""

from datetime import UTC, datetime, timedelta

import pytest

from planning.after.frames import IN_TURN, OUTSIDE, Placed, Setting, Shot
from planning.after.own import BY_FILES, BY_HAND, OwnMisfire, own_tally
from planning.after.results import Misfire, PersonUse, SetTally

AT = datetime(2026, 9, 17, 14, 30, tzinfo=UTC)
ABEL, BEA = 1, 2
RECIPE = Setting(2.0**-7, 2.0**3.5, 100.0)  # 1/125, f/11, ISO 100


def person(booking_id, turns=2, missed=0, frames=None) -> PersonUse:
    return PersonUse(booking_id, f"Person {booking_id}", turns, missed, frames, 0)


def misfire(booking_id, cause="channel", trigger="T-1") -> Misfire:
    return Misfire(AT, booking_id, "", trigger, "key", cause, "words of the instructor")


def a_set(*people, misfires=()) -> SetTally:
    return SetTally(7, "Wall", AT, AT + timedelta(hours=1), None, None, (), people, misfires)


def shot(booking_id, setting=RECIPE, where=IN_TURN, set_id=7) -> Placed:
    return Placed(Shot(1, AT, booking_id, setting), set_id, where)


def of_abel(tally, placed=(), recipe=RECIPE):
    return own_tally(tally, placed, ABEL, recipe)


def test_turns_are_the_own_ones_and_unknown_where_nobody_noted_any():
    assert of_abel(a_set(person(ABEL, 2, 1), person(BEA, 3))).turns == 2
    assert of_abel(a_set(person(ABEL, 2, 1), person(BEA, 3))).missed == 1
    assert of_abel(a_set(person(ABEL, 0), person(BEA, 3))).turns == 0
    assert of_abel(a_set(person(ABEL, 0), person(BEA, 0))).turns is None


def test_frames_are_read_from_the_own_files_before_any_count_by_hand():
    tally = a_set(person(ABEL, frames=40), person(BEA, frames=99))
    by_hand = of_abel(tally)
    assert (by_hand.frames, by_hand.frames_from, by_hand.at_recipe) == (40, BY_HAND, None)
    placed = [shot(ABEL), shot(ABEL, where=OUTSIDE), shot(BEA), shot(ABEL, set_id=8), shot(None)]
    by_files = of_abel(tally, placed)
    assert (by_files.frames, by_files.frames_from) == (1, BY_FILES)


def test_at_the_recipe_is_what_gives_the_flash_the_same_exposure_whatever_the_shutter():
    # ISO 1230: a guide number goes with the root of the speed: f/16 at ISO 200 is f/11 at ISO 100.
    settings = [
        RECIPE,
        Setting(2.0**-5, 2.0**3.5, 100.0),
        Setting(2.0**-7, 2.0**4.0, 200.0),
        Setting(2.0**-7, 2.0**3.0, 100.0),
    ]
    own = of_abel(a_set(person(ABEL)), [shot(ABEL, one) for one in settings])
    assert (own.at_recipe, own.frames) == (3, 4)
    assert own.shutters == ((2.0**-5, 1), (2.0**-7, 3))


def test_without_a_locked_recipe_or_frames_nothing_is_at_it():
    assert of_abel(a_set(person(ABEL)), [shot(ABEL)], None).at_recipe is None
    assert of_abel(a_set(person(ABEL)), [shot(ABEL, where=OUTSIDE)]).at_recipe is None


def test_misfires_are_the_own_ones_added_up_without_the_instructors_words():
    tally = a_set(
        person(ABEL), misfires=(misfire(ABEL), misfire(ABEL), misfire(BEA, "cell"), misfire(None))
    )
    assert of_abel(tally).misfires == (OwnMisfire("channel", "T-1", 2),)


@pytest.mark.parametrize(
    ("tally", "says"),
    [
        (a_set(person(ABEL, 0), person(BEA, 0)), False),
        (a_set(person(ABEL, 0, frames=0)), True),
        (a_set(person(ABEL, 0), misfires=(misfire(ABEL),)), True),
        (a_set(person(ABEL, 0), misfires=(misfire(BEA),)), False),
    ],
)
def test_a_set_of_which_nothing_own_is_known_says_nothing(tally, says):
    assert of_abel(tally).says_something is says

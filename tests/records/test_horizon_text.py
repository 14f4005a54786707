"""A horizon typed in any usual way comes out as rising pairs that the record takes."""

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given, settings
from hypothesis import strategies as st

from workshops.horizon_text import LONGEST, MOST_PAIRS, read, show
from workshops.models.location import validate_horizon
from workshops.typed import NotUnderstood

HILLS = [[0.0, 3.0], [90.0, 12.5], [200.0, 0.0]]


@pytest.mark.parametrize(
    "text",
    [
        "0 3\n90 12.5\n200 0",
        "0 3\r\n90: 12.5\r\n\r\n  200\t0  ",
        "0, 3\n90, 12,5\n200, 0",
        "0,3\n90,12.5\n200,0",
        "0 3; 90 12,5; 200 0;",
        "0 3, 90 12.5, 200 0",
        "0 3, 90 12,5, 200 0,",
        "0: 3, 90: 12.5, 200: 0",
        "0° 3°\n90° 12.5°\n200º: 0º",
        "0 = 3\n90 = 12.5\n200 = 0",
        "200 0\n90 12.5\n360 3",
        "N 3\nE 12.5\n200 -0",
        "north 3; e12,5; 200 deg 0 deg",
        "norte: 3\nEste: 12,5\n200: 0",
        "[[0, 3], [90, 12.5], [200, 0]]",
        "[[200, 0],\n [0, 3],\n [90, 12.5]]",
    ],
)
def test_every_usual_way_of_typing_pairs_is_read(text):
    assert read(text) == HILLS


@pytest.mark.parametrize("text", ["", "  \n ", ";", "[]"])
def test_nothing_typed_is_a_level_horizon(text):
    assert read(text) == []


@pytest.mark.parametrize(
    ("name", "azimuth_deg"),
    [
        # Sixteen points of the compass, 22.5 degrees each, clockwise from north.
        *[("N", 0), ("NNE", 22.5), ("ne", 45), ("SSW", 202.5), ("WNW", 292.5), ("NNW", 337.5)],
        # In Spanish the west is the oeste.
        *[("O", 270), ("NO", 315), ("SSO", 202.5)],
    ],
)
def test_directions_are_read_by_name(name, azimuth_deg):
    assert read(f"{name} 5") == [[azimuth_deg, 5.0]]


def test_a_valley_below_the_horizon_is_negative():
    assert read("180 -2,5\n190 \N{MINUS SIGN}10") == [[180.0, -2.5], [190.0, -10.0]]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("0 3\nhill\n90 2", "“hill” is no pair: enter azimuth and elevation"),
        ("90", "“90” is no pair"),
        ("0, 3, 90, 12.5", "“0, 3, 90, 12.5” is no pair"),
        ("90,12,5", "“90,12,5” is no pair"),
        ("90 12 5", "“90 12 5” is no pair"),
        ("nan 3", "“nan 3”: name the direction like N, NE or SSW"),
        ("90 1e999", "“90 1e999” is no pair"),
        ("XYZ 3", "“XYZ 3”: name the direction"),
        ("0 3\n370 1", "“370 1”: the azimuth runs from 0 to 360"),
        ("-5 3", "“-5 3”: the azimuth"),
        ("0 90", "“0 90”: the elevation stays from -10 to below 90"),
        ("0 3, 10 -10.5", "“10 -10.5”: the elevation"),
        ("90 1\nE 2", "“E 2”: this direction stands there twice"),
        ("0 1\n360 2", "“360 2”: this direction stands there twice"),
        ("[[0, 3], [90]]", "“[90]” is no pair: in a list write [[0, 3], [90, 12.5]]"),
        ("[[0, true]]", "in a list write"),
        ('[["N", 3]]', "in a list write"),
        ("[0, 3]", "“0” is no pair"),
        ("[[0, NaN]]", "“[0, NaN]”: the elevation"),
        ("[[Infinity, 3]]", "the azimuth"),
        (f"[[1{'0' * 400}, 3]]", "in a list write"),
        ("[[0, 3]", "in a list write"),
        ("[" * 4000, "in a list write"),
        ("x" * (LONGEST + 1), "too long for a horizon"),
    ],
)
def test_what_is_no_pair_is_refused_by_its_line(text, words):
    with pytest.raises(NotUnderstood) as caught:
        read(text)
    assert words in str(caught.value)


def test_too_many_pairs_are_refused():
    assert len(read("\n".join(f"{i} 1" for i in range(MOST_PAIRS)))) == MOST_PAIRS
    with pytest.raises(NotUnderstood, match="More than 200 pairs"):
        read("\n".join(f"{i} 1" for i in range(MOST_PAIRS + 1)))


def test_a_horizon_is_shown_one_pair_a_line():
    assert show(HILLS) == "0 3\n90 12.5\n200 0"
    assert show([]) == ""


profiles = st.lists(
    st.tuples(st.floats(0, 359.999), st.floats(-10, 89.999)), max_size=40, unique_by=lambda x: x[0]
)


@settings(derandomize=True, max_examples=200, deadline=None)
@given(profiles)
def test_what_is_shown_is_read_back_to_the_last_digit_and_the_record_takes_it(profile):
    pairs = sorted([azimuth + 0.0, elevation + 0.0] for azimuth, elevation in profile)
    text = show(pairs)
    if len(text) <= LONGEST:
        assert read(text) == pairs
        validate_horizon(read(text))


@settings(derandomize=True, max_examples=500, deadline=None)
@given(st.text(st.sampled_from("0123456789 ,.;:-+°\nNESWO[]e"), max_size=30))
def test_any_text_is_a_horizon_the_record_takes_or_refused_in_words(text):
    try:
        pairs = read(text)
    except NotUnderstood:
        return
    try:
        validate_horizon(pairs)
    except ValidationError as fault:
        pytest.fail(f"{text!r} became {pairs}: {fault}")

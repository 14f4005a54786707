"""Marks as typed, figures as kept. Exact members: the third-stop series, 2^(k/6) and 2^(-k/3) s;
1/180, 1/90, 1/45 and f/6.7 are carried by the half-stop series alone (common practice)."""

import pytest

from planning.physics import exposure
from workshops import marks


@pytest.mark.parametrize(
    ("typed", "exact_s"),
    [
        ("1/125", 1 / 128),
        ("1/160", 2 ** (-22 / 3)),
        ("1/180", 2**-7.5),
        ("1/90", 2**-6.5),
        ("1/45", 2**-5.5),
        ("0.8 s", 2 ** (-1 / 3)),
        ("0,8", 2 ** (-1 / 3)),
        ('30"', 32.0),
        ("1/8000", 1 / 8192),
        (1 / 60, 1 / 64),
    ],
)
def test_a_shutter_mark_becomes_its_exact_time(typed, exact_s):
    assert marks.shutter_s(typed) == pytest.approx(exact_s, rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "exact"),
    [("f/11", 2**3.5), ("11", 2**3.5), ("f/6.7", 2**2.75), ("F2.8", 2**1.5), (13, 2 ** (22 / 6))],
)
def test_an_aperture_mark_becomes_its_exact_f_number(typed, exact):
    assert marks.f_number(typed) == pytest.approx(exact, rel=1e-12)


SERIES = (  # what reads a mark, what the plan reads and shows it by
    (marks.SHUTTERS, marks.shutter_s, exposure.parse_shutter_mark, exposure.shutter_mark),
    (marks.APERTURES, marks.f_number, exposure.parse_f_mark, exposure.f_mark),
    (marks.ISOS, marks.iso, lambda mark: exposure.nearest_iso(float(mark)), exposure.iso_mark),
)
MEMBERS = [(row, exact, mark) for row in SERIES for exact, mark in row[0].members.items()]


@pytest.mark.parametrize(("row", "exact", "mark"), MEMBERS, ids=[one[2] for one in MEMBERS])
def test_records_and_plan_read_and_show_every_mark_alike(row, exact, mark):
    series, parse, parse_in_plan, show_in_plan = row
    assert parse(mark) == parse(exact) == parse_in_plan(mark) == exact
    assert series.mark(exact) == show_in_plan(exact) == mark
    # The figure written on it, typed without its sign, is the same mark.
    assert parse(marks.written(mark)) == exact


@pytest.mark.parametrize(
    ("series", "plans"),
    [
        (marks.SHUTTERS, [*exposure.SHUTTER_MARKS, *exposure.SHUTTER_HALF_MARKS]),
        (marks.APERTURES, [*exposure.F_MARKS, *exposure.F_HALF_MARKS]),
        (marks.ISOS, exposure.ISO_MARKS),
    ],
)
def test_the_plan_has_no_mark_within_the_ends_that_a_record_lacks(series, plans):
    low, high = series.ends
    within = {mark for mark in plans if low / 1.02 < marks.written(mark) < high * 1.02}
    kept = {mark.removeprefix("f/").removesuffix(" s") for mark in series.members.values()}
    assert within == kept


# Nearest thirds by hand: 2 log2(1.7) = 1.53 and log2(350) = 8.45, thirds at 1.67 and 8.33.
@pytest.mark.parametrize(
    ("parse", "typed", "mark"),
    [
        (marks.f_number, "f/1.7", "f/1.8"),
        (marks.f_number, "f/9.5", "f/9"),
        (marks.f_number, "f/6.8", "f/7.1"),  # near f/6.7, but not that mark
        (marks.f_number, "f/80", "f/81"),
        (marks.shutter_s, "1/350", "1/320"),
        (marks.shutter_s, "0.7 s", "0.6 s"),
        (marks.shutter_s, "1/13000", "1/12800"),
        (marks.shutter_s, "1/25000", "1/25600"),
        (marks.f_number, 2.0 ** (6.5 / 2), "f/10"),  # a tie takes the smaller opening
        (marks.shutter_s, 2.0**-0.5, "0.8 s"),  # a tie takes the slower shutter
        (marks.iso, 100 * 2.0 ** (0.5 / 3), "100"),  # a tie takes the lower speed
    ],
)
def test_what_is_on_no_dial_becomes_the_nearest_third(parse, typed, mark):
    assert parse(typed) == parse(mark)


@pytest.mark.parametrize(
    ("parse", "typed", "words"),
    [
        (marks.f_number, "f/102", "f/102 lies outside the marks f/0.7 to f/90"),
        (marks.shutter_s, "1/40000", "1/40000 lies outside the marks 1/32000 to 30 s"),
        (marks.shutter_s, "125", "125 lies outside"),  # not two minutes: 1/125 was meant
        (marks.iso, "12", "12 lies outside the marks 25 to 102400"),
    ],
)
def test_a_mark_beyond_the_ends_is_refused_by_name(parse, typed, words):
    with pytest.raises(ValueError, match=words):
        parse(typed)


@pytest.mark.parametrize("typed", ["f/0", "0", "-11", "eleven", "", "1/0", "nan", "500"])
def test_what_is_no_aperture_is_refused(typed):
    with pytest.raises(ValueError, match=r"not a number above 0|outside the marks"):
        marks.f_number(typed)

"""Marks as typed, figures as kept. Exact members: the third-stop series, 2^(k/6) and 2^(-k/3) s;
1/180, 1/90, 1/45 and f/6.7 are carried by the half-stop series alone (common practice)."""

import pytest

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


@pytest.mark.parametrize("table", [marks.SHUTTERS, marks.APERTURES, marks.ISOS])
def test_every_mark_shown_is_read_back_as_the_same_figure(table):
    parse = {
        id(marks.SHUTTERS): marks.shutter_s,
        id(marks.APERTURES): marks.f_number,
        id(marks.ISOS): marks.iso,
    }[id(table)]
    assert len(set(table.values())) == len(table)
    for exact, mark in table.items():
        assert parse(mark) == exact
        assert parse(exact) == exact
        assert marks.mark(exact, table) == mark


@pytest.mark.parametrize("typed", ["f/0", "0", "-11", "eleven", "", "1/0", "nan", "500"])
def test_what_is_no_aperture_is_refused(typed):
    with pytest.raises(ValueError, match=r"not a number above 0|outside the marks"):
        marks.f_number(typed)

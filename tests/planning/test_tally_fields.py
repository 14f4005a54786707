"""What is typed of a pack, a time and a gust, as it is understood."""

from datetime import UTC, datetime
from types import SimpleNamespace

import pytest
from django.core.exceptions import ValidationError

from planning.after.packs import Charge
from planning.forms.tally import GustForm
from planning.forms.tally_fields import ChargeField, ClockField
from planning.selectors.tally_choices import Choices
from workshops.models import House


def the_set(start, end, zone="Europe/London"):
    place = SimpleNamespace(timezone_name=zone)
    return SimpleNamespace(start_at=start, end_at=end, location=place)


def understood(typed, planned_set):
    field = ClockField()
    field.planned_set = planned_set
    return field.clean(typed)


@pytest.mark.parametrize(
    ("typed", "charge"),
    [
        ("", None),
        ("55", Charge(0.55)),
        (" 55 % ", Charge(0.55)),
        ("55,5", Charge(0.555)),
        ("0", Charge(0.0)),
        ("1", Charge(0.01)),
        ("100%", Charge(1.0)),
        ("3/4", Charge(0.75, lamps=4)),
        ("3 / 4", Charge(0.75, lamps=4)),
        ("3 of 4 lamps", Charge(0.75, lamps=4)),
        ("0/5", Charge(0.0, lamps=5)),
    ],
)
def test_a_charge_is_per_cent_or_lamps(typed, charge):
    assert ChargeField().clean(typed) == charge


@pytest.mark.parametrize(
    "typed", ["101", "-1", "0.5", "5/4", "1/1", "3/40", "full", "3/4/5", "1e2", "nan", "9" * 50]
)
def test_what_no_pack_shows_is_refused(typed):
    with pytest.raises(ValidationError):
        ChargeField().clean(typed)


# Clock changes of 2027 as the zones' own rules have them: London 28 March, 31 October; Hobart
# 4 April, 3 October.
@pytest.mark.parametrize(
    ("zone", "start", "end", "typed", "at"),
    [
        ("Europe/London", (5, 8, 13), (5, 8, 14), "14:31", (5, 8, 13, 31)),
        ("Australia/Hobart", (11, 12, 22), (11, 12, 23), "09:40", (11, 12, 22, 40)),
        # Over midnight: the night's beginning and its end.
        ("Europe/London", (5, 8, 22), (5, 9, 0), "23:30", (5, 8, 22, 30)),
        ("Europe/London", (5, 8, 22), (5, 9, 0), "00:40", (5, 8, 23, 40)),
    ],
)
def test_a_time_is_of_the_day_of_the_set_on_the_clock_of_its_place(zone, start, end, typed, at):
    ends = (datetime(2027, *one, tzinfo=UTC) for one in (start, end))
    assert understood(typed, the_set(*ends, zone=zone)) == datetime(2027, *at, tzinfo=UTC)


def test_a_time_the_clock_skips_or_shows_twice_is_refused_in_words():
    spring = the_set(datetime(2027, 3, 28, 0, tzinfo=UTC), datetime(2027, 3, 28, 3, tzinfo=UTC))
    with pytest.raises(ValidationError, match="does not exist"):
        understood("01:30", spring)
    autumn = the_set(datetime(2027, 10, 31, 0, tzinfo=UTC), datetime(2027, 10, 31, 3, tzinfo=UTC))
    with pytest.raises(ValidationError, match="comes twice"):
        understood("01:30", autumn)


@pytest.mark.parametrize(
    ("units", "typed", "gust_m_s"),
    [
        ("metric", "9,5", 9.5),
        ("imperial", "20", 8.9408),  # 20 times 0.44704, NIST SP 811
        ("metric", "20 mph", 8.9408),
    ],
)
def test_a_gust_is_in_the_unit_of_the_house(units, typed, gust_m_s):
    choices = Choices(the_set(None, None), {}, {}, [], [])
    form = GustForm({"gust_m_s": typed}, choices=choices, house=House(units=units))
    form.full_clean()
    assert form.cleaned_data["gust_m_s"] == pytest.approx(gust_m_s)
    assert ("mph" in form["gust_m_s"].label) == (units == "imperial")

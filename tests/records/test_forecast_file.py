"""Forecasts from a JSON file: what is kept, what is refused in words, and nothing half done."""

import json
from datetime import UTC, datetime
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from tests import factories as make
from workshops import forecast_json
from workshops.errors import Refused
from workshops.models import Forecast
from workshops.services.forecasts import bring_in_forecasts

pytestmark = [pytest.mark.django_db, pytest.mark.database]

HOURS = {"from": "2027-09-18T06:00", "to": "2027-09-18T14:00", "sky": "clear", "gust_m_s": 8}


@pytest.fixture
def place():
    return make.LocationFactory(name="Gull Head lookout")


def file_of(*hours, name="Gull Head lookout", **changes):
    data = {
        "one_stop_under_forecasts": 1,
        "source": "bulletin",
        "taken_at": "2027-09-17T18:00+01:00",
        "places": [{"location": name, "hours": list(hours) or [HOURS]}],
    }
    return json.dumps(data | changes).encode()


def refused(content: bytes) -> str:
    with pytest.raises(Refused) as caught:
        bring_in_forecasts(by=None, content=content)
    assert not Forecast.objects.exists()
    return " ".join(caught.value.messages)


def test_the_sample_that_is_shown_is_taken_as_it_stands(place):
    done = bring_in_forecasts(by=None, content=forecast_json.SAMPLE.encode())
    assert (done.added, done.known) == (1, 0)
    row = Forecast.objects.get()
    # ISO 8601 with its offset is an instant; without one it is on the clock of the place,
    # an hour ahead of UTC in British summer.
    assert row.taken_at == datetime(2027, 9, 18, 5, 0, tzinfo=UTC)
    assert row.valid_from == datetime(2027, 9, 18, 5, 0, tzinfo=UTC)
    assert (row.gust_m_s, row.rain_mm_h, row.thunder) == (8.0, 0.0, False)


def test_the_same_file_twice_adds_nothing_twice(place):
    bring_in_forecasts(by=None, content=file_of(HOURS, HOURS))
    again = bring_in_forecasts(by=None, content=file_of(HOURS))
    assert (again.added, again.known) == (0, 1)
    assert Forecast.objects.count() == 1


def test_a_byte_order_mark_and_a_name_in_other_letters_do_no_harm(place):
    content = b"\xef\xbb\xbf" + file_of(name="gull head LOOKOUT")
    assert bring_in_forecasts(by=None, content=content).added == 1


def test_one_bad_entry_keeps_all_of_them_out_and_every_one_is_named(place):
    words = refused(file_of(HOURS, HOURS | {"sky": "blue"}, HOURS | {"gust_m_s": "8"}))
    assert "place 1, hours 2" in words
    assert "place 1, hours 3" in words
    assert "hours 1:" not in words


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        (HOURS | {"to": "2027-09-18T05:00"}, "after"),
        (HOURS | {"from": "yesterday"}, "2027-09-18T06:00"),
        (HOURS | {"from": 1789}, "2027-09-18T06:00"),
        (HOURS | {"from": "2027-03-28T01:30"}, "twice or never"),
        (HOURS | {"gust_m_s": True}, "number"),
        (HOURS | {"gust_m_s": [8]}, "number"),
        (HOURS | {"gust_m_s": 500}, "0 to 120"),
        (HOURS | {"gust_m_s": 3, "wind_m_s": 5}, "no less than the mean"),
        (HOURS | {"thunder": "no"}, "true or false"),
        (HOURS | {"gust_kmh": 30}, "gust_m_s"),
        ("windy", "from, to and sky"),
    ],
)
def test_an_entry_that_is_none_is_told_what_it_must_be(place, hours, told):
    assert told in refused(file_of(hours))


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "no JSON"),
        (b"{", "line 1"),
        (b"\xff\xfe{", "UTF-8"),
        (b"[]", "one_stop_under_forecasts"),
        (b'{"one_stop_under_forecasts": 2}', "Version 2"),
        (b'{"one_stop_under_forecasts": true}', "Version"),
        (b'{"one_stop_under_forecasts": 1, "places": {}}', "places"),
        (b'{"one_stop_under_forecasts": 1, "one_stop_under_forecasts": 1}', "twice"),
        (b'{"one_stop_under_forecasts": 1, "x": NaN}', "NaN"),
        (b'{"one_stop_under_forecasts": 1, "x": -Infinity}', "Infinity"),
        (b'{"one_stop_under_forecasts": ' + b"9" * 5000 + b"}", "too large"),
        (b"[" * 100_000, "brackets"),
        (b'{"a":' * 100_000, "brackets"),
        (b" " * (forecast_json.MOST_BYTES + 1), "512 KB"),
    ],
)
def test_a_file_that_is_none_is_refused_in_words(place, content, told):
    assert told in refused(content)


def test_an_endless_number_in_an_entry_is_none(place):
    content = file_of().replace(b'"gust_m_s": 8', b'"gust_m_s": 1e999')
    assert "number" in refused(content)


def test_too_many_entries_are_split(place):
    many = [HOURS] * (forecast_json.MOST_ENTRIES + 1)
    assert "split" in refused(file_of(*many))


def test_a_place_nobody_knows_or_two_of_one_name_are_named(place):
    assert "Nowhere" in refused(file_of(name="Nowhere"))
    make.LocationFactory(name="gull head lookout")
    assert "two places" in refused(file_of())


def test_the_command_says_what_it_did_and_fails_with_words(place, tmp_path):
    file, out = tmp_path / "f.json", StringIO()
    file.write_bytes(file_of())
    call_command("forecasts_in", str(file), stdout=out)
    assert out.getvalue() == "Added 1, there already 0.\n"
    file.write_bytes(b"{")
    with pytest.raises(CommandError, match="no JSON"):
        call_command("forecasts_in", str(file))
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("forecasts_in", str(tmp_path / "none.json"))
    with pytest.raises(CommandError, match="Name a file"):
        call_command("forecasts_in")
    call_command("forecasts_in", sample=True, stdout=out)
    assert out.getvalue().endswith(forecast_json.SAMPLE)

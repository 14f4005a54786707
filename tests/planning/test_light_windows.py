"""``manage.py light_windows``: the dates of a place, and clear words for everything wrong."""

import json
import re
from datetime import datetime
from io import BytesIO, StringIO

import pytest
from django.core.management import CommandError, call_command
from pypdf import PdfReader

from planning.management.commands.light_windows import Command
from planning.physics.sun import Place, sun_position
from tests import factories as make

pytestmark = pytest.mark.django_db

MARCH = ("--from", "2027-03-01", "--to", "2027-03-31")
AFTERNOON = ("--arc", "200:250", "--elevation", "5:25")


@pytest.fixture(autouse=True)
def house():
    return make.HouseFactory()


@pytest.fixture
def cove():
    return make.LocationFactory(
        name="Cove", latitude_deg=50.1, longitude_deg=-5.5, timezone_name="Europe/London"
    )


def run(*words: object) -> str:
    out = StringIO()
    call_command("light_windows", *(str(word) for word in words), stdout=out, stderr=StringIO())
    return out.getvalue()


def refused(*words: object) -> str:
    with pytest.raises(CommandError) as refusal:
        run(*words)
    assert refusal.value.returncode == 2
    return str(refusal.value)


def test_the_sun_stands_where_it_was_wanted_at_both_ends_of_every_window(cove):
    answer = json.loads(run(cove.pk, *MARCH, *AFTERNOON, "--json"))
    place = Place(50.1, -5.5)
    assert answer["wanted"] == {
        "from_deg": 200, "to_deg": 250, "elevation_min_deg": 5, "elevation_max_deg": 25,
    }  # fmt: skip
    assert answer["dates_asked"] == 31
    ends = [
        datetime.fromisoformat(window[end])
        for day in answer["dates"]
        for window in day["windows"]
        for end in ("start_at", "end_at")
    ]
    assert len(ends) >= 40
    for at in ends:
        assert at.utcoffset() is not None
        sun = sun_position(place, at)
        assert 199.99 < sun.azimuth_deg < 250.01
        assert 4.99 < sun.elevation_deg < 25.01


def test_some_seconds_of_light_are_not_told_as_none(cove):
    # The sun goes round by a quarter of a degree a minute (360 in 24 hours) or, near noon, more.
    told = run(cove.pk, *MARCH, "--arc", "200:200.05", "--elevation", "5:60")
    lines = [line for line in told.splitlines() if line.startswith("  2027-03-")]
    assert len(lines) == 41
    assert all("  under 1 min  " in line for line in lines)


def test_minutes_add_up_and_the_best_dates_come_first(cove):
    answer = json.loads(run("Cove", *MARCH, *AFTERNOON, "--json"))
    for day in answer["dates"]:
        assert sum(one["light_min"] for one in day["windows"]) == pytest.approx(day["light_min"])
    most = max(answer["dates"], key=lambda day: day["light_min"])
    assert answer["best"][0] == most["date"]


def test_the_clock_of_the_place_counts_over_its_change(cove):
    # British Summer Time began on 28 March 2027 (tz database).
    answer = json.loads(run(cove.pk, *MARCH, "--json"))
    offsets = {
        day["date"]: datetime.fromisoformat(day["windows"][0]["start_at"]).utcoffset()
        for day in answer["dates"]
    }
    assert offsets["2027-03-27"].total_seconds() == 0
    assert offsets["2027-03-28"].total_seconds() == 3600


def test_a_span_over_the_change_of_clocks_names_both_times():
    # Europe/Lisbon, 31 October 2027: at 02:00 WEST, summer time, the clock goes back to 01:00 WET.
    faro = make.LocationFactory(
        latitude_deg=37.0, longitude_deg=-7.9, timezone_name="Europe/Lisbon"
    )
    day = ("--from", "2027-10-31", "--to", "2027-10-31")
    table = run(faro.pk, *day, "--elevation=-70:-60")
    told = re.search(r"(\d+) min  00:00\s(\w+)–(\d\d):(\d\d)\s(\w+), (\d\d):(\d\d)–24:00", table)
    assert (told[2], told[5]) == ("WEST", "WET")
    morning_min = 60 * int(told[3]) + int(told[4]) + 60  # the hour that comes twice
    evening_min = 24 * 60 - 60 * int(told[6]) - int(told[7])
    assert int(told[1]) == pytest.approx(morning_min + evening_min, abs=2)


def test_the_midnight_sun_ends_a_date_at_24_and_begins_the_next_at_0():
    fjord = make.LocationFactory(
        latitude_deg=78.2, longitude_deg=15.6, timezone_name="Arctic/Longyearbyen"
    )
    table = run(fjord.pk, "--from", "2027-06-21", "--to", "2027-06-21", "--arc", "340:20")
    assert re.search(r"00:00–\d\d:\d\d, \d\d:\d\d–24:00", table)


def test_the_table_says_where_when_and_how_long(cove):
    told = run("cov", *MARCH, *AFTERNOON)
    assert "Cove (Europe/London), 2027-03-01 to 2027-03-31" in told
    assert "cloud decides" in told
    assert "Best dates" in told
    assert "2027-03-01" in told
    assert "No horizon is entered here" in told


def test_least_leaves_short_days_out_and_the_horizon_hides(cove):
    cove.horizon = [[0, 15]]
    cove.save()
    behind = json.loads(run(cove.pk, *MARCH, *AFTERNOON, "--json"))
    # Early in March the sun is lower than 15 degrees when it comes to 250.
    assert behind["dates"][0]["hidden_min"] > 0
    longest = max(day["light_min"] for day in behind["dates"])
    assert (
        json.loads(run(cove.pk, *MARCH, *AFTERNOON, "--least", longest + 1, "--json"))["dates"]
        == []
    )


def test_a_year_from_today_all_round_is_asked_by_default(cove):
    answer = json.loads(run(cove.pk, "--json"))
    assert answer["dates_asked"] == 365
    assert len(answer["dates"]) == 365


def test_the_chart_is_written_as_one_leaf(cove, tmp_path):
    for paper, size in (("a4", (595, 842)), ("letter", (612, 792))):
        path = tmp_path / f"{paper}.pdf"
        run(cove.pk, *MARCH, *AFTERNOON, "--pdf", path, "--paper", paper)
        pages = PdfReader(BytesIO(path.read_bytes())).pages
        assert len(pages) == 1
        assert tuple(round(float(side)) for side in pages[0].mediabox[2:]) == size
        assert "Cove" in pages[0].extract_text()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["a4.pdf", "letter.pdf"]


def test_a_place_is_found_by_number_name_or_part_and_else_named(cove):
    other = make.LocationFactory(name="Cove woods")
    assert "Cove (" in run("COVE", *MARCH)  # the whole name before a part of another
    assert "Cove woods" in run("woods", *MARCH)
    assert "Cove woods" in run(other.pk, *MARCH)
    several = refused("ov", *MARCH)
    assert f"{cove.pk} Cove" in several
    assert f"{other.pk} Cove woods" in several
    assert "there is no 'dune'" in refused("dune", *MARCH)
    assert "there is no" in refused("", *MARCH)


def test_without_places_or_coordinates_that_is_said(cove):
    cove.latitude_deg = cove.longitude_deg = None
    cove.save()
    assert "Cove has no coordinates yet" in refused(cove.pk, *MARCH)
    cove.delete()
    assert "there are no locations yet" in refused("1", *MARCH)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--arc", "200"], "--arc must be two directions such as 200:250, not '200'"),
        (["--arc", "a:b"], "not 'a:b'"),
        (["--arc", "200:361"], "--arc must be from 0 to 360, not 361"),
        (["--arc=-10:20"], "--arc must be from 0 to 360, not -10"),
        (["--elevation", "25:5"], "--elevation must be a lower and a higher height, not '25:5'"),
        (["--elevation", "5:5"], "a lower and a higher height, not '5:5'"),
        (["--elevation", "nan:5"], "--elevation must be from -90 to 90"),
        (["--elevation", "5"], "--elevation must be two heights"),
        (["--from", "2027-02-30"], "--from must be a date"),
        (["--from", "2027-05-02", "--to", "2027-05-01"], "lies before --from"),
        (["--from", "2027-05-01", "--to", "2028-06-01"], "more than a year"),
        (["--from", "9999-12-31"], "--from must lie from 1901 to 2099"),
        (["--from", "0001-01-01"], "--from must lie from 1901 to 2099"),
        (["--from", "2099-12-01", "--to", "2100-01-02"], "--to must lie from 1901 to 2099"),
        (["--least", "some"], "--least must be minutes"),
        (["--least", "-5"], "--least must be from 0 to 1440"),
        (["--pdf", "/nowhere/at/all.pdf"], "--pdf: /nowhere/at/all.pdf cannot be written"),
    ],
)
def test_what_is_wrong_is_said_by_its_option(cove, words, told):
    assert told in refused(cove.pk, *words)


@pytest.mark.parametrize("typed", [["--elevation=-6:-4"], ["--elevation", "-6:-4"]])
def test_heights_below_level_are_typed_like_any_other(cove, typed, capsys):
    Command().run_from_argv(["manage.py", "light_windows", str(cove.pk), *MARCH, *typed, "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert len(answer["dates"]) == 31
    assert all(len(day["windows"]) == 2 for day in answer["dates"])  # dawn and dusk


@pytest.mark.parametrize(
    ("latitude_deg", "horizon", "words", "told"),
    [
        # Almanacs: from 4 December to 7 January no sun rises at 69 degrees north (69° 00′).
        (69.0, [], ["--from", "2027-12-10", "--to", "2027-12-31"], "it does not rise."),
        (-69.0, [], ["--from", "2027-06-10", "--to", "2027-06-30"], "it does not rise."),
        (50.1, [[0, 60]], MARCH, "the horizon entered hides the sun whenever it stands there."),
        (50.1, [], [*MARCH, *AFTERNOON, "--least", "900"], "stand there for so long."),
        (50.1, [], [*MARCH, "--elevation", "70:90"], "does the sun stand there.\n"),
    ],
)
def test_where_no_date_has_that_light_the_reason_is_said(latitude_deg, horizon, words, told):
    place = make.LocationFactory(latitude_deg=latitude_deg, longitude_deg=0.0, horizon=horizon)
    answer = run(place.pk, *words)
    assert told in answer
    assert "Best dates" not in answer
    assert "hides nothing" not in answer


def test_without_a_last_date_the_years_of_the_tables_end_the_season(cove):
    answer = json.loads(run(cove.pk, "--from", "2099-12-30", "--json"))
    assert (answer["from"], answer["to"]) == ("2099-12-30", "2099-12-31")

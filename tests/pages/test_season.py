"""The page of a season: what it says, what it refuses, what it leaves out, what it hands out."""

import csv
import io
import zipfile
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from xml.etree import ElementTree

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planning.season_tables import CODES
from tests import factories as make

pytestmark = pytest.mark.django_db

PAGE = "/season/"
OF_2025 = {"from": "2025-01-01", "to": "2025-12-31"}  # over whenever the tests run
BEGINS = datetime(2025, 5, 8, 8, 0, tzinfo=UTC)
SHEET = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def held(**told):
    times = {"start_at": BEGINS, "end_at": BEGINS + timedelta(hours=10)}
    return make.WorkshopFactory(**(times | {"status": "run"} | told))


@pytest.fixture
def day(house):
    """A workshop long over, with one of everything noted."""
    house.timezone_name = "Pacific/Auckland"
    house.save()
    workshop = held(title="Harbour wall", price=Decimal(200))
    start_at = BEGINS + timedelta(hours=5, minutes=10)
    planned = make.SetFactory(
        workshop=workshop, start_at=start_at, end_at=start_at + timedelta(minutes=75)
    )
    make.LightFactory(planned_set=planned, name="octa")
    person = make.BookingFactory(
        workshop=workshop, state="attended", person__name="=Ana Núñez",
        camera=make.CameraFactory(name="Silver body"),
    )  # fmt: skip
    make.FeedbackFactory(booking=person, taught=5, pace="fast")
    pack = make.UnitFactory(kind=make.BatteryFactory(), tag="B95-1")
    make.ReservationFactory(workshop=workshop, unit=pack)
    for minute, kind, told in (
        (0, "set began", {}),
        (1, "recipe locked", {"light_name": "octa", "power": 0.5, "f_number": 8.0,
                              "shutter_s": 2.0**-7, "iso": 100.0}),
        (2, "pack in", {"unit": pack, "light_name": "octa", "charge_share": 1.0}),
        (20, "turn given", {"booking": person, "round": 1}),
        (26, "turn given", {"booking": person, "round": 2}),
        (30, "frames", {"booking": person, "count": 31}),
        (31, "misfire", {"booking": person, "cause": "cell"}),
        (32, "wind seen", {"gust_m_s": 12.5}),
        (70, "flashes", {"light_name": "octa", "count": 120}),
        (71, "pack out", {"unit": pack, "light_name": "octa", "charge_share": 0.6}),
        (90, "set ended", {}),
    ):  # fmt: skip
        at = planned.start_at + timedelta(minutes=minute)
        make.EventFactory(planned_set=planned, kind=kind, at=at, **told)
    return workshop


def text_of(response) -> str:
    return " ".join(response.content.decode().replace("\xa0", " ").split())


def test_the_page_says_each_figure_and_what_it_rests_on(office, day):
    page = text_of(office.get(PAGE, OF_2025))
    assert "1 of 1, 1 workshop" in page
    assert '+15 min</strong> <span class="soft">from 1 figure' in page  # 90 minutes, planned 75
    assert '6.0 min</strong> <span class="soft">from 1 figure' in page  # 20 to 26
    assert page.count('31</strong> <span class="soft">from 1 figure') == 2
    assert "1 misfire was noted, beside 2 turns given." in page
    assert "empty cell in the trigger" in page
    assert "1 of 1 gusts noted was above the limit: by the rule every stand comes down." in page
    assert "set ended 58 min later" in page
    assert "14:42" in page  # on the clock of the place: 13:10 UTC is 14:10 in British summer
    assert "B95-1" in page
    assert "estimate" in page
    assert '5.0 <span class="soft">of 5' in page
    assert "too fast: 1" in page
    assert "200.00 EUR" in page


def test_every_chart_has_a_title_and_a_table_beside_it(office, day):
    page = office.get(PAGE, OF_2025).content.decode()
    charts = page.split("<figure")[1:]
    assert len(charts) == 5
    for chart in charts:
        assert "<title>" in chart
        assert "<table" in chart


def test_nothing_is_reckoned_that_nobody_noted(office, house):
    held()
    page = text_of(office.get(PAGE, OF_2025))
    assert "no workshop has it noted" in page
    assert "No misfire is noted on these dates." in page
    assert "No set has both its beginning and its end noted" in page
    assert "Nobody has answered" in page


def test_without_a_date_it_shows_last_year_and_this_one(office, house):
    now = datetime.now(UTC)
    then = now - timedelta(days=1200)
    make.WorkshopFactory(title="Long ago", start_at=then, end_at=then + timedelta(hours=10))
    make.WorkshopFactory(title="Of late", start_at=now - timedelta(days=10), end_at=now)
    page = text_of(office.get(PAGE))
    assert "Of late" in page
    assert "Long ago" not in page


def test_where_no_workshop_begins_the_page_leads_to_those_there_are(office, day):
    page = text_of(office.get(PAGE, {"from": "2031-01-01", "to": "2031-12-31"}))
    assert "No workshop begins from Jan. 1, 2031 to Dec. 31, 2031." in page
    assert f"{PAGE}?from=2025-05-08&to=2025-05-08" in page.replace("&amp;", "&")


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"from": "soon"}, "Enter a date, such as 2027-05-08."),
        ({"from": "2027-02-30"}, "Enter a date, such as 2027-05-08."),
        ({"to": "99999-01-01"}, "Enter a date, such as 2027-05-08."),
        ({"from": "0001-01-01"}, "Enter a year from 1990 to 2199."),
        ({"to": "9999-12-31"}, "Enter a year from 1990 to 2199."),
        ({"from": "2027-05-08", "to": "2027-05-07"}, "enter the first one or a later one."),
        ({"from": "2000-01-01", "to": "2100-01-01"}, "enter one within 10 years."),
        ({"from": "2027-01-01\x00' OR 1=1"}, "Enter a date, such as 2027-05-08."),
    ],
)
def test_absurd_dates_are_answered_in_words(office, day, asked, words):
    page = office.get(PAGE, asked)
    assert page.status_code == 422
    assert words in text_of(page)
    for name, code in (("season-xlsx", None), ("season-csv", "sets")):
        place = reverse(name, kwargs={"code": code} if code else None)
        led = office.get(place, asked)
        assert led.status_code == 302
        assert led["Location"].startswith(f"{PAGE}?")


@pytest.mark.parametrize(
    ("asked", "first", "last"),
    [
        ({"from": "2026-06-01"}, "2026-06-01", "2028-05-31"),
        ({"to": "2028-02-29"}, "2026-03-02", "2028-02-29"),
        ({"from": "2024-02-29"}, "2024-02-29", "2026-02-28"),
    ],
)
def test_one_date_alone_means_two_years(office, house, asked, first, last):
    page = office.get(PAGE, asked).content.decode()
    assert f'value="{first}"' in page
    assert f'value="{last}"' in page


def test_an_instructor_sees_no_money_and_nobody_else_s_workshops(day):
    other = held(title="Not yours")
    make.BookingFactory(workshop=other, person__name="Somebody else")
    role = make.RoleFactory(workshop=day, role="instructor")
    client = Client()
    client.force_login(make.UserFactory(
        email="ines@example.org", role="instructor", person=role.person,
        is_staff=False, is_superuser=False,
    ))  # fmt: skip
    page = text_of(client.get(PAGE, OF_2025))
    assert "Harbour wall" in page
    for kept in ("Not yours", "200.00 EUR", "Takings"):
        assert kept not in page
    assert "Takings" not in sheets(client.get(reverse("season-xlsx"), OF_2025))["Workshops"][0]
    for code in CODES:
        text = client.get(reverse("season-csv", args=[code]), OF_2025).content.decode()
        assert "Not yours" not in text
        assert "Somebody else" not in text


def test_a_workshop_called_off_is_listed_and_offers_no_seats(office, day):
    day.status, day.cancelled_reason = "cancelled", "Storm"
    day.save()
    page = text_of(office.get(PAGE, OF_2025))
    assert "<strong>called off</strong>" in page
    assert "0 of 0, 0 workshops" in page
    assert "No misfire is noted on these dates." in page


def test_the_page_asks_no_more_of_the_database_for_many_workshops(office, day):
    with CaptureQueriesContext(connection) as one:
        office.get(PAGE, OF_2025)
    for _number in range(12):
        make.BookingFactory(workshop=held(), state="absent")
    with CaptureQueriesContext(connection) as many:
        assert "Absent" in text_of(office.get(PAGE, OF_2025))
    assert len(many) <= len(one)


def test_a_house_in_feet_reads_gusts_in_miles_an_hour(office, house, day):
    house.units = "imperial"
    house.save()
    page = text_of(office.get(PAGE, OF_2025))
    assert "28 mph" in page  # 12.5 m/s x 2.23694 = 27.96
    assert "24 mph" in page  # 11 m/s = 24.6, a limit is never rounded up
    assert "Gusts in mph" in page


# ----- files


def csv_rows(client, code) -> list[list[str]]:
    response = client.get(reverse("season-csv", args=[code]), OF_2025)
    assert response["Content-Type"].startswith("text/csv")
    assert response.content.startswith(b"\xef\xbb\xbf")
    return list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"), newline="")))


def sheets(response) -> dict[str, list[list[str]]]:
    """Return the cells of each sheet of a workbook, by its name (ECMA-376: plain zip and XML)."""
    book = zipfile.ZipFile(io.BytesIO(response.content))
    names = [
        one.get("name")
        for one in ElementTree.fromstring(book.read("xl/workbook.xml")).iter(f"{SHEET}sheet")
    ]
    shared = []
    if "xl/sharedStrings.xml" in book.namelist():
        for one in ElementTree.fromstring(book.read("xl/sharedStrings.xml")).iter(f"{SHEET}si"):
            shared.append("".join(part.text or "" for part in one.iter(f"{SHEET}t")))
    found = {}
    for number, name in enumerate(names, start=1):
        tree = ElementTree.fromstring(book.read(f"xl/worksheets/sheet{number}.xml"))
        assert not list(tree.iter(f"{SHEET}f")), "a formula"
        found[name] = [[_cell(cell, shared) for cell in row] for row in tree.iter(f"{SHEET}row")]
    return found


def _cell(cell, shared: list[str]) -> str:
    inline = "".join(part.text or "" for part in cell.iter(f"{SHEET}t"))
    value = cell.find(f"{SHEET}v")
    if cell.get("t") == "s":
        return shared[int(value.text)]
    return inline or (value.text if value is not None else "")


def test_a_table_is_read_back_from_csv_as_it_is(office, day):
    header, row = csv_rows(office, "sets")
    told = dict(zip(header, row, strict=True))
    assert told["Planned for"] == "2025-05-08 14:10"
    assert float(told["Over plan (min)"]) == 15
    assert float(told["Turns given"]) == 2
    assert float(told["Frames of each attendee, the middle"]) == 31
    (header, row) = csv_rows(office, "batteries")
    told = dict(zip(header, row, strict=True))
    # 120 at half power, 0.4 of the pack.
    assert float(told["Full-power flashes a charge"]) == 150
    assert told["Counted or estimated"] == "from its watt-hours"


def test_a_name_that_a_spreadsheet_would_run_is_defused(office, day):
    _header, row = csv_rows(office, "attendees")
    assert row[1] == "'=Ana Núñez"
    assert "'=Ana Núñez" in sheets(office.get(reverse("season-xlsx"), OF_2025))["Attendees"][1]


def test_no_table_tells_more_of_a_person_than_the_name(office, day):
    person = day.bookings.get().person
    person.phone, person.dietary = "+44 20 7946 0123", "no nuts"
    person.save()
    for code in CODES:
        text = office.get(reverse("season-csv", args=[code]), OF_2025).content.decode()
        for kept in (person.email, "7946", "nuts"):
            assert kept not in text


def test_the_workbook_has_a_sheet_for_each_table_with_the_same_cells(office, day):
    found = sheets(office.get(reverse("season-xlsx"), OF_2025))
    assert list(found) == [
        "Workshops", "Sets", "Attendees", "Misfires", "Batteries", "Gusts", "Kit",
    ]  # fmt: skip
    for code, rows in zip(CODES, found.values(), strict=True):
        for here, there in zip(rows, csv_rows(office, code), strict=True):
            assert [_number(cell) for cell in here] == [_number(cell) for cell in there]


def _number(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell


def test_a_table_there_is_not_is_not_found(office, house):
    assert office.get("/season/everything.csv").status_code == 404

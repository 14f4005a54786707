"""Workshops as calendar entries, read back by libraries that did not write them.

Clock times against zoneinfo; the format against RFC 5545.
"""

from datetime import UTC, datetime, timedelta
from importlib import import_module
from io import StringIO
from uuid import UUID
from zoneinfo import ZoneInfo

import dateutil.tz
import icalendar
import pytest
import recurring_ical_events
from django.apps import apps

from tests import factories as make
from workshops import calendars
from workshops.models import Workshop
from workshops.services.records import save_record
from workshops.zone_rules import changes, zone_block

NOW = make.NOW
pytestmark = pytest.mark.django_db
# A zone, and the days before and after it changes its clock in 2027 (by zoneinfo, below).
ZONES = {
    "Europe/London": ("2027-03-27T09:00", "2027-03-29T17:00"),
    "America/New_York": ("2027-11-06T09:00", "2027-11-08T17:00"),
    "Australia/Lord_Howe": ("2027-04-03T09:00", "2027-04-05T17:00"),  # half an hour
    "America/Santiago": ("2027-09-04T09:00", "2027-09-06T17:00"),
    "Australia/Adelaide": ("2027-10-02T09:00", "2027-10-04T17:00"),
}


def ends(zone: str) -> list[datetime]:
    return [datetime.fromisoformat(at).replace(tzinfo=ZoneInfo(zone)) for at in ZONES[zone]]


def workshop(zone="Europe/London", **more):
    start, end = ends(zone)
    return make.WorkshopFactory(start_at=start, end_at=end, timezone_name=zone, **more)


def feed() -> bytes:
    return calendars.feed(calendars.with_places(Workshop.objects.all()), name="Slate & Tide")


def entry():
    (found,) = icalendar.Calendar.from_ical(feed()).walk("VEVENT")
    return found


@pytest.mark.parametrize("zone", ZONES)
def test_a_workshop_across_a_clock_change_keeps_its_instants(zone):
    made = workshop(zone)
    before, after = (at.utcoffset() for at in ends(zone))
    assert before != after  # it is across one
    (found,) = recurring_ical_events.of(icalendar.Calendar.from_ical(feed())).between(
        datetime(2027, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
    )
    assert found["DTSTART"].params["TZID"] == zone
    assert found.decoded("dtstart") == made.start_at
    assert found.decoded("dtend") == made.end_at


@pytest.mark.parametrize("zone", ZONES)
def test_the_zones_rules_in_the_file_alone_give_the_instants(zone):
    # Read by dateutil's own RFC 5545 reader, which knows no zone by name.
    year = datetime(2027, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
    block = zone_block(zone, *year).to_ical().decode()
    read, at = dateutil.tz.tzical(StringIO(block)).get(), year[0]
    while at < year[1]:
        local = at.astimezone(ZoneInfo(zone))
        assert local.replace(tzinfo=read).utcoffset() == local.utcoffset(), at
        at += timedelta(hours=1)


def test_clocks_change_when_the_law_says():
    # Directive 2000/84/EC, articles 2 and 3: 01:00 UTC on the last Sundays of March and October.
    year = datetime(2027, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
    assert list(changes(ZoneInfo("Europe/Paris"), *year)) == [
        datetime(2027, 3, 28, 1, tzinfo=UTC),
        datetime(2027, 10, 31, 1, tzinfo=UTC),
    ]
    assert list(changes(ZoneInfo("Asia/Tokyo"), *year)) == []


def test_every_edit_raises_the_sequence_and_keeps_the_name():
    made = workshop()
    place = make.LocationFactory()
    made.places.create(location=place)
    seen = [entry()]
    for title in ("Dusk", "Dusk, two heads", "Night"):  # all within a second
        made.title = title
        save_record(by=None, record=made)
        seen.append(entry())
    numbers = [one["SEQUENCE"] for one in seen]
    assert numbers == sorted(set(numbers))
    assert numbers[-1] < 2**31  # RFC 5545, 3.3.8
    assert len({one["UID"] for one in seen}) == 1
    assert str(seen[-1]["SUMMARY"]) == "Night"


def test_an_entry_is_named_by_a_bare_uuid_wherever_the_site_moves(settings):
    # RFC 7986, 5.3: UUID values recommended, nothing of a host in them.
    made = workshop()
    assert str(UUID(str(entry()["UID"]))) == entry()["UID"] == str(made.calendar_uid)
    settings.SITE_HOST = "moved.example"
    assert entry()["UID"] == str(made.calendar_uid)


def test_an_entry_that_went_out_under_its_host_keeps_that_name(settings):
    keep_hosts = import_module("workshops.migrations.0008_calendar_host").keep_hosts
    made = workshop()
    settings.SITE_HOST = "before.example"
    keep_hosts(apps, None)
    settings.SITE_HOST = "moved.example"
    assert entry()["UID"] == f"{made.calendar_uid}@before.example"
    assert workshop(title="Later").calendar_host == ""


@pytest.mark.parametrize(
    ("status", "shown"),
    [
        ("draft", "TENTATIVE"),
        ("open", "TENTATIVE"),
        ("confirmed", "CONFIRMED"),
        ("run", "CONFIRMED"),
        ("cancelled", "CANCELLED"),
    ],
)
def test_the_status_is_that_of_the_workshop(status, shown):
    workshop(status=status, cancelled_reason="Storm" if status == "cancelled" else "")
    assert entry()["STATUS"] == shown


def test_any_text_makes_lines_of_75_octets_that_read_back():
    title = "Ebb, flow; \\n “ночь” " + "夜" * 40 + "\x07\x0b\r\nBEGIN:VALARM"
    made = workshop(title=title)
    made.places.create(location=make.LocationFactory(name="Sea; wall, north", parking="A\nB"))
    written = feed()
    assert b"\n" not in written.replace(b"\r\n", b"")
    lines = written.split(b"\r\n")
    assert max(len(line) for line in lines) <= 75  # RFC 5545, 3.1
    assert all(line == line.translate(None, bytes(range(9))) for line in lines)
    found = entry()
    assert str(found["SUMMARY"]).startswith("Ebb, flow; \\n “ночь” 夜夜")
    assert str(found["LOCATION"]) == "Sea; wall, north"
    assert not icalendar.Calendar.from_ical(written).walk("VALARM")
    assert (found["GEO"].latitude, found["GEO"].longitude) == (50.61, -4.77)


def test_the_same_workshops_give_the_same_bytes():
    workshop()
    assert feed() == feed()
    assert feed().startswith(b"BEGIN:VCALENDAR\r\n")


def test_an_empty_calendar_can_be_read():
    assert icalendar.Calendar.from_ical(feed()).walk("VEVENT") == []


def test_the_file_in_a_mail_says_that_somebody_no_longer_comes():
    made = workshop(status="confirmed")
    text = calendars.invitation(made, now=NOW, cancelled=True)
    file = icalendar.Calendar.from_ical(text)
    assert file["METHOD"] == "PUBLISH"
    (found,) = file.walk("VEVENT")
    assert (found["STATUS"], found["UID"]) == ("CANCELLED", entry()["UID"])
    assert found.decoded("dtstamp") == NOW

"""Forecasts, tides and landmarks of a place: typed on its clock, in the units of the house."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, Forecast, House, Landmark, TidePoint

pytestmark = pytest.mark.django_db

FORECAST = {
    "valid_from": "2027-05-08T06:00",
    "valid_to": "2027-05-08T21:00",
    "source": "Harbour office",
    "sky": "clear",
}


@pytest.fixture
def office(client):
    make.HouseFactory()
    client.force_login(make.UserFactory(email="office@example.org"))
    return client


@pytest.fixture
def shore():
    return make.LocationFactory(name="Shore", water="tidal")


def words(page) -> str:
    text = page.content.decode().replace("&nbsp;", " ").replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(text.split())


def test_a_forecast_is_saved_on_the_clock_of_the_place_with_its_audit_entry(office):
    sydney = make.LocationFactory(
        latitude_deg=-33.87, longitude_deg=151.21, timezone_name="Australia/Sydney"
    )
    place = reverse("forecast-new", args=[sydney.pk])
    answer = office.post(place, filled(office.get(place)) | FORECAST | {"wind_m_s": "18 km/h"})
    assert answer.headers["Location"] == reverse("location", args=[sydney.pk])
    forecast = Forecast.objects.get()
    # Standard time of New South Wales, UTC+10, holds in May: IANA Time Zone Database, australasia.
    assert forecast.valid_from == datetime(2027, 5, 7, 20, 0, tzinfo=UTC)
    assert forecast.wind_m_s == pytest.approx(5.0)  # 18 / 3.6
    assert AuditEntry.objects.filter(action="created", record_type="workshops.forecast").exists()


def test_a_forecast_counts_as_read_now_unless_another_time_is_typed(office, shore):
    place = reverse("forecast-new", args=[shore.pk])
    office.post(place, filled(office.get(place)) | FORECAST)
    taken_at = Forecast.objects.get().taken_at
    assert timedelta(minutes=-1) <= timezone.now() - taken_at <= timedelta(minutes=5)


def test_wind_and_warmth_are_typed_and_shown_in_the_units_of_the_house(office, shore):
    House.objects.update(units="imperial")
    place = reverse("forecast-new", args=[shore.pk])
    ahead = f"{timezone.now() + timedelta(days=2):%Y-%m-%dT%H:%M}"
    figures = {"valid_to": ahead, "valid_from": "2026-01-01T06:00"}
    figures |= {"wind_m_s": "10", "gust_m_s": "20", "temperature_c": "50"}
    page = words(office.post(place, filled(office.get(place)) | FORECAST | figures, follow=True))
    forecast = Forecast.objects.get()
    # A mile an hour is 0.44704 m/s, 50 degrees Fahrenheit are 10 Celsius: NIST SP 811, appendix B.
    assert forecast.wind_m_s == pytest.approx(4.4704)
    assert forecast.temperature_c == pytest.approx(10.0)
    assert "10 mph, 20 mph" in page
    assert "50 °F" in page


def test_a_gust_below_the_mean_wind_is_refused_with_everything_kept(office, shore):
    place = reverse("forecast-new", args=[shore.pk])
    typed = FORECAST | {"wind_m_s": "9", "gust_m_s": "4", "uv_index": "6"}
    answer = office.post(place, filled(office.get(place)) | typed)
    assert answer.status_code == 422
    assert "Gust: enter no less than the mean wind, or leave it empty." in words(answer)
    assert filled(answer)["uv_index"] == "6"
    assert not Forecast.objects.exists()


def test_snapshots_are_kept_and_the_newest_stands_first(office, shore):
    now = timezone.now()
    for hours, source in ((6, "First bulletin"), (2, "Second bulletin")):
        make.ForecastFactory(
            location=shore,
            source=source,
            valid_from=now,
            valid_to=now + timedelta(days=1),
            taken_at=now - timedelta(hours=hours),
        )
    page = words(office.get(reverse("location", args=[shore.pk])))
    assert page.index("Second bulletin") < page.index("First bulletin")


def test_what_is_past_stands_behind_a_link_and_is_kept(office, shore):
    make.ForecastFactory(
        location=shore,
        source="Last year",
        valid_from=datetime(2020, 5, 8, 6, tzinfo=UTC),
        valid_to=datetime(2020, 5, 8, 21, tzinfo=UTC),
    )
    make.TidePointFactory(
        location=shore, at=datetime(2020, 5, 8, 6, tzinfo=UTC), source="Old table"
    )
    place = reverse("location", args=[shore.pk])
    page = words(office.get(place))
    assert "Last year" not in page
    assert "Old table" not in page
    assert "Show 1 earlier forecast" in page
    assert "Show 1 earlier row" in page
    page = words(office.get(place + "?all"))
    assert "Last year" in page
    assert "Old table" in page


def test_thunder_is_said_in_words(office, shore):
    now = timezone.now()
    make.ForecastFactory(
        location=shore, valid_from=now, valid_to=now + timedelta(days=1), thunder=True
    )
    page = words(office.get(reverse("location", args=[shore.pk])))
    assert "thunder possible: everything comes down" in page


@pytest.mark.parametrize(
    "name", ["valid_from", "valid_to", "taken_at", "source", "sky", "wind_m_s", "uv_index"]
)
@pytest.mark.parametrize("text", [*ABSURD, "0001-01-01T00:00", "9999-12-31T23:59"])
def test_absurd_text_in_a_forecast_is_kept_or_refused_in_words(office, shore, name, text):
    place = reverse("forecast-new", args=[shore.pk])
    answer = office.post(place, filled(office.get(place)) | FORECAST | {name: text})
    assert answer.status_code in (302, 422)
    assert "<script>alert" not in answer.content.decode()
    if answer.status_code == 302:
        page = office.get(answer.headers["Location"] + "?all")
        assert page.status_code == 200
        assert "<script>alert" not in page.content.decode()


def test_a_stale_forecast_and_a_stale_landmark_are_refused(office, shore):
    forecast = make.ForecastFactory(location=shore)
    mark = make.LandmarkFactory(location=shore)
    for place, theirs, mine in (
        (reverse("forecast-edit", args=[forecast.pk]), {"source": "A"}, {"source": "B"}),
        (reverse("landmark-edit", args=[mark.pk]), {"name": "A"}, {"name": "B"}),
    ):
        form = filled(office.get(place))
        assert office.post(place, form | theirs).status_code == 302
        assert office.post(place, form | mine).status_code == 409


def test_tides_are_entered_together_on_the_clock_of_the_place(office, shore):
    place = reverse("tide-new", args=[shore.pk])
    rows = "2027-05-08 17:40 6.4 high\n\n2027-05-08 11:20, 0,9 m low\n2027-05-08 23:50 1.1"
    office.post(place, {"rows": rows, "source": "Harbour table"})
    told = [(tide.at, tide.height_m, tide.turn) for tide in TidePoint.objects.order_by("at")]
    # British summer time is UTC+1: IANA Time Zone Database, europe.
    assert told == [
        (datetime(2027, 5, 8, 10, 20, tzinfo=UTC), 0.9, "low"),
        (datetime(2027, 5, 8, 16, 40, tzinfo=UTC), 6.4, "high"),
        (datetime(2027, 5, 8, 22, 50, tzinfo=UTC), 1.1, "low"),
    ]
    assert {tide.source for tide in TidePoint.objects.all()} == {"Harbour table"}
    assert AuditEntry.objects.filter(record_type="workshops.tidepoint").count() == 3


def test_a_tide_typed_again_is_corrected(office, shore):
    make.TidePointFactory(location=shore)  # 2027-05-08 17:40 UTC
    place = reverse("tide-new", args=[shore.pk])
    office.post(place, {"rows": "2027-05-08 18:40 6.9 high"})
    assert [tide.height_m for tide in TidePoint.objects.all()] == [6.9]


def test_a_house_in_feet_types_and_reads_tides_in_feet(office, shore):
    House.objects.update(units="imperial")
    place = reverse("tide-new", args=[shore.pk])
    assert "height (ft)" in words(office.get(place))
    office.post(place, {"rows": "2099-05-08 17:40 20 high\n2099-05-08 23:50 0.3 m low"})
    high, low = TidePoint.objects.order_by("at")
    assert high.height_m == pytest.approx(6.096)  # 20 x 0.3048, NIST SP 811
    assert low.height_m == 0.3
    assert "20 ft" in words(office.get(reverse("location", args=[shore.pk])))


@pytest.mark.parametrize(
    "line",
    [
        "2027-05-08 25:40 6.4 high", "2027-02-30 17:40 6.4 high", "08.05.2027 17:40 6.4",
        "2027-05-08 17:40 six high", "2027-05-08 17:40 6.4 slack", "2027-05-08 17:40 64 high",
        "0001-05-08 17:40 6.4 high", "2027-05-08 11:20 0.5 low",
    ],
)  # fmt: skip
def test_a_tide_table_is_taken_whole_or_not_at_all_and_the_refusal_names_the_line(
    office, shore, line
):
    place = reverse("tide-new", args=[shore.pk])
    rows = f"2027-05-08 11:20 0.9 low\n{line}"
    answer = office.post(place, {"rows": rows, "source": "Harbour table"})
    assert answer.status_code == 422
    assert line in answer.context["form"].errors["rows"][0]
    assert filled(answer) | {"csrfmiddlewaretoken": ""} == {
        "csrfmiddlewaretoken": "",
        "rows": rows,
        "source": "Harbour table",
    }
    assert not TidePoint.objects.exists()


def test_an_hour_that_the_clocks_skip_is_refused(office, shore):
    # Clocks in the United Kingdom go from 01:00 to 02:00 on the last Sunday of March.
    answer = office.post(
        reverse("tide-new", args=[shore.pk]), {"rows": "2027-03-28 01:30 6.4 high"}
    )
    assert answer.status_code == 422
    assert not TidePoint.objects.exists()


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_in_tides_and_landmarks_is_kept_or_refused_in_words(office, shore, text):
    forms = {
        "tide-new": {"rows": "2027-05-08 17:40 6.4 high", "source": ""},
        "landmark-new": {"name": "Mast", "bearing_deg": "61", "distance_m": ""},
    }
    for name, fields in forms.items():
        place = reverse(name, args=[shore.pk])
        for field in fields:
            answer = office.post(place, fields | {field: text})
            assert answer.status_code in (302, 422), field
            assert "<script>alert" not in answer.content.decode()
            page = office.get(reverse("location", args=[shore.pk]) + "?all")
            assert "<script>alert" not in page.content.decode()


def test_a_landmark_is_added_changed_and_deleted(office, shore):
    place = reverse("landmark-new", args=[shore.pk])
    office.post(place, filled(office.get(place)) | {"name": "Mast", "bearing_deg": "61,5"})
    mark = Landmark.objects.get()
    page = words(office.get(reverse("location", args=[shore.pk])))
    assert "61.5° true" in page
    edit = reverse("landmark-edit", args=[mark.pk])
    office.post(edit, filled(office.get(edit)) | {"name": "Old mast"})
    assert Landmark.objects.get().name == "Old mast"
    office.post(reverse("landmark-delete", args=[mark.pk]))
    assert not Landmark.objects.exists()
    actions = AuditEntry.objects.filter(record_type="workshops.landmark").order_by("pk")
    assert [one.action for one in actions] == ["created", "changed", "deleted"]


def test_forecasts_and_tides_are_deleted_on_post_alone(office, shore):
    for what, record in (
        ("forecast", make.ForecastFactory(location=shore)),
        ("tide", make.TidePointFactory(location=shore)),
    ):
        place = reverse(f"{what}-delete", args=[record.pk])
        office.get(place)
        assert type(record).objects.exists()
        answer = office.post(place)
        assert answer.headers["Location"] == reverse("location", args=[shore.pk])
        assert not type(record).objects.exists()

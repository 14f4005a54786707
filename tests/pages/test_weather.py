"""The weather decision of a day, forecasts side by side, the file of forecasts, the charge plan."""

import io
from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from pypdf import PdfReader

from planning.eve import charging_needs, weather_needs
from tests import factories as make
from tests.pages.days import COMING, coming, words
from workshops import forecast_json
from workshops.letters import letter
from workshops.models import Battery, Charger, Forecast, Message, WeatherCall, WorkshopPlace
from workshops.models.base import in_zone
from workshops.services.records import save_record
from workshops.services.reservations import reserve

pytestmark = pytest.mark.django_db


@pytest.fixture
def day(office):
    workshop = coming()
    place = make.LocationFactory(name="Gull Head", wind_exposure_factor=1.3)
    place.fallback = make.LocationFactory(name="Boathouse")
    place.save()
    WorkshopPlace.objects.create(workshop=workshop, location=place, position=1)
    lead = make.PersonFactory(name="Ines Varga")
    make.RoleFactory(workshop=workshop, person=lead, role="lead")
    return workshop


def agreed(workshop, **more):
    given = {"decide_at": workshop.start_at - timedelta(hours=15)} | more
    return save_record(by=None, record=WeatherCall(workshop=workshop, **given))


def forecast(workshop, place="Gull Head", hours=14, **more):
    figures = {"sky": "clear", "gust_m_s": 5.0, "wind_m_s": 3.0, "rain_mm_h": 0.0}
    figures |= {"temperature_c": 18.0, "humidity_percent": 60.0, "source": "bulletin"} | more
    return Forecast.objects.create(
        location=make.models.Location.objects.get(name=place),
        valid_from=workshop.start_at,
        valid_to=workshop.end_at,
        taken_at=workshop.start_at - timedelta(hours=hours),
        **figures,
    )


def page_of(workshop):
    return reverse("workshop-weather", args=[workshop.pk])


def test_with_nothing_agreed_it_says_so_and_leads_there(office, day):
    page = office.get(page_of(day))
    assert "Nothing is agreed" in words(page)
    assert reverse("weather-agreed", args=[day.pk]) in page.content.decode()


def test_what_is_agreed_is_typed_on_the_clock_of_the_place(office, day):
    lead = make.models.Person.objects.get(name="Ines Varga")
    data = {"decide_at": "2099-05-07T18:00", "decided_by": lead.pk, "rain_limit_mm_h": "0.5"}
    answer = office.post(reverse("weather-agreed", args=[day.pk]), data, follow=True)
    assert "Ines Varga" in words(answer)
    call = WeatherCall.objects.get()
    local = in_zone(call.decide_at, day.timezone_name)
    assert (local.hour, call.outcome) == (18, "open")


def test_the_place_its_fallback_and_the_figure_that_decides_are_shown(office, day):
    # 9 * 1.3 = 11.7 m/s, over the house's 11.
    forecast(day, gust_m_s=9.0)
    forecast(day, place="Boathouse")
    page = words(office.get(page_of(day)))
    assert 'Gull Head</a>: <strong class="look">no-go</strong>' in page
    assert "gust 11.7 m/s at the place, limit 11 m/s" in page
    assert "Boathouse</a>: <strong>go</strong>" in page
    assert "A figure warns, it permits nothing." in page


def test_an_agreed_limit_never_passes_the_houses(office, day):
    agreed(day, gust_limit_m_s=30.0)
    forecast(day, gust_m_s=9.0)
    page = words(office.get(page_of(day)))
    assert 'Gull Head</a>: <strong class="look">no-go</strong>' in page


def test_the_decision_is_kept_with_its_reason_and_time(office, day):
    call = agreed(day, rain_on=date(2099, 5, 15))
    for outcome, reason, told in (
        ("moved", "", "Say why"),
        ("moved", "Gale from noon", "moved to the rain date"),
    ):
        data = {"outcome": outcome, "outcome_reason": reason}
        assert told in words(office.post(page_of(day), data, follow=True))
    call.refresh_from_db()
    assert (call.outcome, call.outcome_reason) == ("moved", "Gale from noon")
    assert call.outcome_at is not None
    page = words(office.get(page_of(day)))
    assert "Nobody is told by this page" in page
    office.post(page_of(day), {"outcome": "open", "outcome_reason": ""})
    call.refresh_from_db()
    assert (call.outcome_at, call.outcome_reason) == (None, "")


def test_a_move_without_a_rain_date_is_refused(office, day):
    agreed(day)
    answer = office.post(page_of(day), {"outcome": "moved", "outcome_reason": "Gale"})
    assert answer.status_code == 422
    assert "No rain date is agreed" in words(answer)
    assert WeatherCall.objects.get().outcome == "open"


def test_a_decision_over_a_newer_one_is_shown_first(office, day):
    call = agreed(day)
    data = {"outcome": "goes", "outcome_reason": "", "seen": "2099-01-01T00:00:00+00:00"}
    assert office.post(page_of(day), data).status_code == 409
    call.refresh_from_db()
    assert call.outcome == "open"


def test_the_joining_note_says_who_decides_by_when(day):
    person = make.PersonFactory()
    agreed(day, decided_by=make.models.Person.objects.get(name="Ines Varga"))
    told = {"booking": None, "timetable": []}
    body = letter(Message.Purpose.JOINING, person=person, workshop=day, **told).body
    assert "is decided by Ines Varga, by" in body


class TestToDo:
    def test_it_is_due_on_its_day_and_overdue_after(self, office, day):
        house = make.HouseFactory()
        call = agreed(day)
        day.refresh_from_db()
        at = call.decide_at
        assert weather_needs(day, at - timedelta(days=2), house) == []
        due = weather_needs(day, at - timedelta(hours=1), house)[0]
        assert "due today" in due.words
        assert due.place == page_of(day)
        assert "overdue" in weather_needs(day, at + timedelta(hours=20), house)[0].words
        call.outcome, call.outcome_at = "goes", at
        call.save()
        day.refresh_from_db()
        assert weather_needs(day, at + timedelta(hours=1), house) == []

    def test_nothing_agreed_is_told_when_a_forecast_says_something(self, office, day):
        house = make.HouseFactory()
        assert weather_needs(day, COMING - timedelta(days=20), house) == []
        assert "Nobody has said" in weather_needs(day, COMING - timedelta(days=3), house)[0].words

    def test_packs_are_charged_the_day_before_and_only_then(self, office, day):
        house = make.HouseFactory()
        _packs(day)
        before = COMING - timedelta(days=1)
        assert "begin by" in charging_needs(day, before, house)[0].words
        assert charging_needs(day, before - timedelta(days=1), house) == []


def _packs(workshop):
    pack = Battery.objects.create(name="Pack 95", capacity_wh=95.0, charge_min=100.0)
    charger = Charger.objects.create(name="Charger 95", battery_kind=pack)
    units = [make.UnitFactory(kind=pack.kitkind_ptr, tag=f"B{n}") for n in (1, 2)]
    units.append(make.UnitFactory(kind=charger.kitkind_ptr, tag="CH1"))
    reserve(by=None, workshop=workshop, units=units)


class TestCharging:
    def test_the_page_says_when_to_begin_and_what_goes_where(self, office, day):
        _packs(day)
        page = words(office.get(reverse("workshop-charging", args=[day.pk])))
        # Two packs of 110 minutes, the long end, one after the other, full by ten: twenty past six.
        assert "Begin by 18:20" in page
        assert "CH1, 1" in page
        assert "Never charged unattended" in page

    def test_without_a_charger_it_says_so_with_numbers(self, office, day):
        pack = Battery.objects.create(name="Pack 95", capacity_wh=95.0)
        unit = make.UnitFactory(kind=pack.kitkind_ptr, tag="B1")
        reserve(by=None, workshop=day, units=[unit])
        page = words(office.get(reverse("workshop-charging", args=[day.pk])))
        assert "1 pack and no charger" in page

    def test_the_sheet_is_one_page(self, office, day):
        _packs(day)
        answer = office.get(reverse("charging-sheet", args=[day.pk]))
        pages = PdfReader(io.BytesIO(answer.content)).pages
        assert len(pages) == 1
        assert "Begin by 18:20" in " ".join(pages[0].extract_text().split())


class TestForecasts:
    def test_side_by_side_the_newest_stands_last_and_says_what_changed(self, office, day):
        forecast(day, hours=40, gust_m_s=9.0, sky="overcast")
        forecast(day, hours=10, gust_m_s=5.0, thunder=True)
        place = make.models.Location.objects.get(name="Gull Head")
        page = words(office.get(reverse("forecast-changes", args=[place.pk])))
        for told in ("gust less: 9", "sky overcast, now clear", "thunder now possible", "counts"):
            assert told in page
        assert Forecast.objects.count() == 2

    def test_it_says_what_the_newest_does_to_the_sets_then(self, office, day):
        place = make.models.Location.objects.get(name="Gull Head")
        start = day.start_at + timedelta(hours=1)
        one = make.SetFactory(
            workshop=day, location=place, start_at=start, end_at=start + timedelta(hours=1)
        )
        make.LightFactory(planned_set=one, bag_kg=10.0)
        forecast(day, hours=40, gust_m_s=3.0)
        forecast(day, hours=10, gust_m_s=9.0)
        page = words(office.get(reverse("forecast-changes", args=[place.pk])))
        assert "now strike" in page
        assert "stops against the forecast before" in page

    def test_a_file_is_brought_in_whole_or_not_at_all(self, office, day):
        make.LocationFactory(name="Gull Head lookout")
        page = reverse("forecasts-in")
        good = SimpleUploadedFile("f.json", forecast_json.SAMPLE.encode())
        assert "1 forecasts added" in words(office.post(page, {"file": good}, follow=True))
        bad = SimpleUploadedFile("f.json", b"{")
        answer = office.post(page, {"file": bad})
        assert answer.status_code == 422
        assert "no JSON" in words(answer)
        assert Forecast.objects.count() == 1
        assert Forecast.objects.get().taken_at == datetime(2027, 9, 18, 5, 0, tzinfo=UTC)

"""Sheets asked for from a page: at once, being printed, busy, or in words why not."""

import io

import pytest
from django.urls import reverse
from pypdf import PdfReader

from planning.sheets import worker
from planning.views import sheets as view
from tests import factories as make
from tests.sheets.test_print_sheets import day_of_two, nowhere

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop(settings, tmp_path):
    settings.PRINTED_DIR = tmp_path
    return day_of_two()


@pytest.fixture
def office(client):
    client.force_login(make.UserFactory())
    return client


@pytest.fixture
def address(workshop) -> str:
    return reverse("workshop-sheets", args=[workshop.pk])


def test_a_long_print_says_how_far_it_has_come_and_ends_in_the_file(office, address, monkeypatch):
    monkeypatch.setattr(view, "AT_A_TIME_S", 0)  # one set at a time
    page = office.get(address, {"paper": "letter"})
    assert page.status_code == 200
    assert page["Content-Type"].startswith("text/html")
    html = page.content.decode()
    assert "1 of 2 set sheets are printed" in html
    assert '<meta http-equiv="refresh" content="0; url=?paper=letter&amp;done=1">' in html
    answer = office.get(address, {"paper": "letter", "done": "1"})
    assert answer["Content-Type"] == "application/pdf"
    sheet = PdfReader(io.BytesIO(answer.content))
    assert len(sheet.pages) == 4
    assert float(sheet.pages[0].mediabox.width) == pytest.approx(612, abs=0.5)  # ANSI Y14.1


def test_where_nothing_is_kept_the_page_does_not_go_round_for_ever(
    office, address, settings, monkeypatch
):
    settings.PRINTED_DIR = None
    monkeypatch.setattr(view, "AT_A_TIME_S", 0)
    assert "1 of 2 set sheets" in office.get(address).content.decode()
    assert office.get(address, {"done": "1"})["Content-Type"] == "application/pdf"
    monkeypatch.setattr(view, "PAGE_S", 0)
    monkeypatch.setattr(view, "time_limit", lambda _seconds: worker.time_limit(60))
    page = office.get(address, {"done": "1"}, follow=True).content.decode()
    assert "Printing all sheets takes too long: print them one by one." in page


def test_a_set_that_cannot_be_printed_does_not_keep_the_others(
    office, workshop, address, monkeypatch
):
    monkeypatch.setattr(view, "AT_A_TIME_S", view.PAGE_S)
    nowhere(workshop)
    assert len(PdfReader(io.BytesIO(office.get(address).content)).pages) == 2
    said = office.get(reverse("sets", args=[workshop.pk])).content.decode()
    assert "has no coordinates" in said


@pytest.mark.parametrize("name", ["set-sheet", "workshop-sheets"])
def test_a_busy_printer_says_when_to_come_again(office, workshop, monkeypatch, name):
    monkeypatch.setattr(worker, "POOL", worker.Pool())
    monkeypatch.setattr(worker, "WAIT_S", 0)
    key = workshop.sets.first().pk if name == "set-sheet" else workshop.pk
    address = reverse(name, args=[key]) + "?paper=letter"
    with worker.POOL._one() as press:
        page = office.get(address)
        press.end()
    assert page.status_code == 503  # RFC 9110, 15.6.4
    assert page["Retry-After"] == "15"  # RFC 9110, 10.2.3, in seconds
    html = page.content.decode()
    assert "Other sheets are being printed just now" in html
    assert f'href="{address}"' in html


def test_printing_that_fails_is_told_on_the_page_it_came_from(office, workshop, monkeypatch):
    monkeypatch.setattr(worker, "MOST_HTML_BYTES", 1000)
    planned = workshop.sets.first()
    page = office.get(reverse("set-sheet", args=[planned.pk]), follow=True)
    assert page.redirect_chain == [(reverse("set", args=[planned.pk]), 302)]
    assert "The texts are too long to print" in page.content.decode()

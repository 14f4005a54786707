"""The pages on which kit is handed out: a unit's own, a workshop's, and the list of workshops."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.pages.days import coming, seated, words
from tests.records.browser import filled
from workshops.models import AuditEntry, Checkout

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop(house):
    return coming()


@pytest.fixture
def unit(workshop):
    return make.ReservationFactory(workshop=workshop, unit__tag="TRIG-03").unit


@pytest.fixture
def ana(workshop, unit):
    return seated(workshop, person__name="Ana", trigger_unit=unit).person


def helper_of(workshop) -> Client:
    person = make.RoleFactory(workshop=workshop, role="helper", person__name="Hal").person
    client = Client()
    client.force_login(
        make.UserFactory(role="helper", person=person, is_staff=False, is_superuser=False)
    )
    return client


@pytest.fixture
def helper(workshop):
    return helper_of(workshop)


def page_of(unit):
    return reverse("unit-page", args=[unit.pk])


def press(client, place, do, **typed):
    return client.post(place, filled(client.get(place)) | {"do": do} | typed, follow=True)


def test_one_press_signs_out_to_whom_the_booking_names_and_one_takes_it_back(helper, unit, ana):
    shown = helper.get(page_of(unit))
    assert filled(shown)["person"] == str(ana.pk)
    assert "booked with this unit" in words(shown)
    assert "Ana has TRIG-03 now." in words(press(helper, page_of(unit), "out"))
    assert "has it since" in words(helper.get(page_of(unit)))
    assert "TRIG-03 is back." in words(press(helper, page_of(unit), "back"))
    kept = AuditEntry.objects.filter(record_type="workshops.checkout")
    assert list(kept.order_by("pk").values_list("action", flat=True)) == ["created", "changed"]
    assert kept.filter(who__isnull=True).count() == 0


def test_a_double_click_is_harmless_and_says_so(helper, unit, ana):
    sent = filled(helper.get(page_of(unit))) | {"do": "out"}
    helper.post(page_of(unit), sent)
    again = helper.post(page_of(unit), sent, follow=True)
    assert again.status_code == 200
    assert "TRIG-03 is out already: Ana has it since" in words(again)
    back = filled(helper.get(page_of(unit))) | {"do": "back"}
    helper.post(page_of(unit), back)
    again = helper.post(page_of(unit), back)
    assert "TRIG-03 is back already" in words(again)
    assert Checkout.objects.count() == 1


def test_a_fault_keeps_the_words_and_leaves_the_free_list(helper, unit, ana, workshop):
    press(helper, page_of(unit), "out")
    refused = press(helper, page_of(unit), "back", **{"back-fault": "on", "back-condition": "wet"})
    assert refused.status_code == 422
    assert "say it in a few words" in words(refused)
    assert filled(refused)["back-condition"] == "wet"
    press(helper, page_of(unit), "back", **{"back-note": "misfires"})
    unit.refresh_from_db()
    assert unit.state == "fault"
    page = words(helper.get(reverse("workshop-checkouts", args=[workshop.pk])))
    assert "misfires" in page
    assert "Everything is back" in page
    # A helper mends nothing; the office does.
    assert helper.post(page_of(unit), {"do": "mend"}).status_code == 403
    office = Client()
    office.force_login(make.UserFactory())
    assert "TRIG-03 is ready again" in words(press(office, page_of(unit), "mend"))


def test_at_the_briefing_several_go_to_one_person_and_are_counted_back(helper, unit, ana, workshop):
    second = make.ReservationFactory(workshop=workshop, unit__tag="BAT-01").unit
    place = reverse("workshop-checkouts", args=[workshop.pk])
    sent = {"person": ana.pk, "units": [unit.pk, second.pk], "condition": "good"}
    page = words(press(helper, place, "out", **sent))
    assert "2 units are still out" in page
    assert "with Ana since" in page
    again = helper.post(place, sent | {"do": "out"}, follow=True)
    assert again.status_code == 200
    assert "is out already: Ana has it since" in words(again)
    out = [row.pk for row in Checkout.objects.all()]
    assert "Everything is back." in words(press(helper, place, "back", checkouts=out))
    assert "That is back already." in words(press(helper, place, "back", checkouts=out))


def test_the_day_itself_says_what_is_out(client, unit, ana, workshop):
    make.CheckoutFactory(workshop=workshop, unit=unit, person=ana)
    client.force_login(make.UserFactory())
    page = words(client.get(reverse("workshop", args=[workshop.pk])))
    assert "Still out" in page
    assert "with Ana since" in page
    assert "TRIG-03" in words(client.get(reverse("handed-out")))


def test_kit_of_other_workshops_tells_a_helper_nothing(unit, ana, workshop):
    make.CheckoutFactory(workshop=workshop, unit=unit, person=ana)
    elsewhere = helper_of(coming())
    page = words(elsewhere.get(page_of(unit)))
    assert "It is out at another workshop." in page
    assert "Ana" not in page
    for do in ("out", "back", "over", "fault", "mend"):
        assert elsewhere.post(page_of(unit), {"do": do, "person": ana.pk}).status_code == 403
    assert elsewhere.get(reverse("workshop-checkouts", args=[workshop.pk])).status_code == 404
    assert words(elsewhere.get(reverse("handed-out"))).count("TRIG-03") == 0


def test_a_unit_on_several_lists_of_other_days_asks_which(helper, unit, ana, workshop):
    days = timedelta(days=30)
    other = coming(start_at=workshop.start_at + days, end_at=workshop.end_at + days)
    make.RoleFactory(workshop=other, role="helper", person=workshop.roles.get().person)
    make.ReservationFactory(workshop=other, unit=unit)
    page = words(helper.get(page_of(unit)))
    assert "Choose one" in page
    assert f"?workshop={other.pk}" in page
    chosen = helper.get(page_of(unit), {"workshop": workshop.pk})
    assert filled(chosen)["person"] == str(ana.pk)
    assert "not promised to this workshop today" in words(chosen)


def test_a_helpers_navigation_leads_to_what_opens(helper, workshop):
    start = words(helper.get(reverse("start")))
    assert reverse("handed-out") in start
    for hidden in ("workshops", "people", "kit", "locations", "house", "points", "season"):
        assert f'href="{reverse(hidden)}"' not in start
    page = words(helper.get(reverse("workshop-checkouts", args=[workshop.pk])))
    assert f'href="{reverse("workshop", args=[workshop.pk])}"' not in page


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_is_kept_or_refused_in_words(helper, unit, ana, workshop, text):
    place, day = page_of(unit), reverse("workshop-checkouts", args=[workshop.pk])
    for name in ("person", "condition", "workshop", "units"):
        for where in (place, day):
            sent = {"do": "out", "person": "", "condition": "", name: text}
            assert helper.post(where, sent).status_code in (302, 422), name
    assert helper.post(day, {"do": "back", "checkouts": text}).status_code == 422
    assert helper.get(place, {"workshop": text}).status_code == 200
    helper.post(place, {"do": "out", "person": ana.pk})
    for name in ("back-note", "back-condition", "checkout", "over-person", "fault-note"):
        for do in ("back", "over", "fault"):
            assert helper.post(place, {"do": do, name: text}).status_code in (302, 422), name
    for where in (place, day):
        assert "<script>alert" not in helper.get(where).content.decode()


def test_the_list_to_sign_is_a_pdf_of_the_houses_paper(helper, unit, ana, workshop):
    answer = helper.get(reverse("sign-out-sheet", args=[workshop.pk]))
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")

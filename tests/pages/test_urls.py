"""Who may open what, and that looking changes nothing: every route, every kind of account."""

from datetime import UTC, datetime, timedelta

import pytest
from django.apps import apps
from django.test import Client
from django.urls import reverse

from planning.models import CountsFrom, LeftOut, PlannedSet
from tests import factories as make
from tests.pages.routes import (
    HELPS,
    HELPS_ALL,
    LEADS,
    LINKED,
    NO_PAGE,
    OPEN,
    OWN,
    POST_ONLY,
    TEACHES,
    TEACHES_ALL,
    addresses,
    record_of,
    routes,
)
from tests.records.browser import filled
from workshops.models import AuditEntry, House, Location, Person, Workshop
from workshops.models.base import Record
from workshops.services.subscriptions import new_calendar_link

pytestmark = pytest.mark.django_db

OVER, LASTED = datetime(2025, 5, 8, 8, tzinfo=UTC), timedelta(hours=10)
# Routes that lead on: the log-in page whoever is logged in already, the icon to its file.
LEADS_ON = {"log-in": "/", "favicon": "/static/site/icon.png"}


@pytest.fixture
def day():
    """One record of everything an address may speak of."""
    make.HouseFactory()
    light = make.LightFactory()
    planned, place = light.planned_set, light.planned_set.location
    make.ReadingFactory(planned_set=planned)
    make.FlashReadingFactory(planned_set=planned, light_name=light.name)
    LeftOut.objects.create(figure="minutes-per-turn", witness="set:1", reason="Rain")
    CountsFrom.objects.create(figure="minutes-per-turn", from_at=OVER, reason="New crew")
    make.PictureFactory(planned_set=planned)
    booking = make.BookingFactory(workshop=planned.workshop, state="attended")
    make.FrameFactory(lot__workshop=planned.workshop)
    make.MessageFactory(booking=booking)
    make.PaymentFactory(booking=booking)
    make.InvoiceFactory(booking=booking)
    make.DayCostFactory(workshop=planned.workshop)
    make.TermsFactory()
    make.LabelSheetFactory()
    # The first person there is: whose page stands for everybody's of the workshop.
    make.RoleFactory(workshop=planned.workshop, person=Person.objects.earliest("pk"))
    make.UnitFactory(kind=light.strobe.kitkind_ptr)
    make.GuideNumberReadingFactory(strobe=light.strobe)
    make.LandmarkFactory(location=place)
    make.TravelTimeFactory(location=place)
    make.BreakFactory(workshop=planned.workshop)
    make.ForecastFactory(location=place)
    make.TidePointFactory(location=place)
    new_calendar_link(user=make.UserFactory(email="first@example.org"), now=make.NOW)
    make.ImportFileFactory()
    # Over, whenever the tests run: a certificate is given afterwards.
    Workshop.objects.filter(pk=planned.workshop_id).update(start_at=OVER, end_at=OVER + LASTED)
    assert {one.name for one in addresses()} == set(routes())
    return PlannedSet.objects.get(pk=planned.pk)


def logged_in(user, **choices) -> Client:
    client = Client(**choices)
    client.force_login(user)
    return client


@pytest.fixture
def office():
    return logged_in(make.UserFactory(email="office@example.org"))


@pytest.fixture
def guest():
    """An account that was given no right at all."""
    return logged_in(
        make.UserFactory(email="g@example.org", role="outsider", is_staff=False, is_superuser=False)
    )


@pytest.fixture
def instructor(day):
    return named(day.workshop, "instructor", "lead", "ines@example.org")


@pytest.fixture
def instructor_elsewhere(day):
    return named(make.WorkshopFactory(), "instructor", "lead", "ivo@example.org")


@pytest.fixture
def helper(day):
    return named(day.workshop, "helper", "helper", "hal@example.org")


@pytest.fixture
def helper_elsewhere(day):
    return named(make.WorkshopFactory(), "helper", "helper", "hugh@example.org")


@pytest.fixture
def clerk(day):
    """Of the office, and no administrator."""
    return logged_in(
        make.UserFactory(email="clerk@example.org", is_staff=False, is_superuser=False)
    )


def named(workshop, role: str, part: str, email: str) -> Client:
    """Return the log-in of an account of that role whose person has that part in a workshop."""
    person = make.PersonFactory()
    make.RoleFactory(workshop=workshop, person=person, role=part)
    return logged_in(
        make.UserFactory(email=email, role=role, person=person, is_staff=False, is_superuser=False)
    )


def everything() -> dict[str, list]:
    """Return every record there is, field by field, and how far the audit goes."""
    return {
        model._meta.label: list(model._base_manager.order_by("pk").values())
        for model in apps.get_models()
        if issubclass(model, Record) or model is AuditEntry
    }


def test_a_stranger_sees_the_log_in_and_nothing_else(day):
    before, client = everything(), Client()
    for one in addresses():
        if one.name in LINKED:
            assert client.get(one.path).status_code == 404, one
            assert client.post(one.path).status_code in (404, 405), one
            continue
        if one.name in OPEN:
            expected = 302 if one.name == "favicon" else 200
            assert client.get(one.path).status_code == expected, one
            continue
        for answer in (client.get(one.path), client.post(one.path)):
            # Logging out is harmless to a stranger, and leads to the same page.
            assert answer.status_code in ((302, 405) if one.name == "log-out" else (302,)), one
            if answer.status_code == 302:
                assert answer.headers["Location"].startswith(reverse("log-in")), one
    assert everything() == before


def test_an_account_without_a_role_sees_its_own_pages_only(day, guest):
    before = everything()
    for one in addresses():
        if one.name in POST_ONLY:
            continue
        expected = 200 if one.name in OPEN | OWN else 404 if one.name in LINKED else 403
        if one.name not in LEADS_ON:
            assert guest.get(one.path).status_code == expected, one
    for one in addresses():
        if one.name not in OPEN | OWN | LINKED:
            assert guest.post(one.path).status_code == 403, one
    assert everything() == before


# Of whom an address answers what: found, forbidden, or not there for this account.
OPENS, NOT_ALLOWED, FORBIDDEN, NOT_FOUND = 200, 405, 403, 404


def expected(account: str, name: str) -> int:
    """Return what an account is answered at an address of that name, asked with GET."""
    opens = NOT_ALLOWED if name in POST_ONLY else OPENS
    if name in OPEN | OWN:
        return opens
    if name in LINKED:
        return NOT_FOUND
    if name in LEADS:
        return opens if account == "instructor" else FORBIDDEN
    if account in ("office", "clerk"):
        return opens
    bounded, shared = {
        "instructor": (TEACHES | HELPS, TEACHES_ALL | HELPS_ALL),
        "helper": (HELPS, HELPS_ALL),
    }.get(account.partition("_")[0], (set(), set()))
    if name in shared:
        return opens
    if name not in bounded:
        return FORBIDDEN
    return NOT_FOUND if account.endswith("elsewhere") else opens


ACCOUNTS = (
    "office", "clerk", "instructor", "instructor_elsewhere", "helper", "helper_elsewhere", "guest",
)  # fmt: skip


@pytest.mark.parametrize("account", ACCOUNTS)
def test_every_account_opens_what_its_role_opens_and_nothing_else(day, account, request):
    places = addresses()  # of the day, before the account brings a workshop of its own
    client = request.getfixturevalue(account)
    for one in places:
        if one.name in LEADS_ON:
            continue
        answer, wanted = client.get(one.path), expected(account, one.name)
        if one.name in POST_ONLY:
            # Whether the method or the right is asked first makes no difference to anybody.
            assert answer.status_code in (NOT_ALLOWED, wanted), one
            continue
        assert answer.status_code == wanted, one
        if wanted == OPENS:
            is_page = answer.headers["Content-Type"] == "text/html; charset=utf-8"
            assert is_page == (one.name not in NO_PAGE), one


@pytest.mark.parametrize("account", ACCOUNTS[3:])
def test_whoever_may_not_open_a_page_changes_nothing_by_sending_its_form(day, account, request):
    places = addresses()
    client = request.getfixturevalue(account)
    before = everything()
    for one in places:
        wanted = expected(account, one.name)
        if one.name in OPEN | OWN or wanted == OPENS:
            continue
        answer = client.post(one.path)
        if one.name in LINKED:
            assert answer.status_code in (NOT_FOUND, NOT_ALLOWED), one
        elif wanted in (FORBIDDEN, NOT_FOUND):
            assert answer.status_code == wanted, one
    shared = TEACHES_ALL if account.startswith("instructor") else set()
    for one in places:
        if one.name in POST_ONLY and one.name not in OPEN | OWN | shared:
            assert client.post(one.path).status_code in (FORBIDDEN, NOT_FOUND), one
    assert everything() == before


def test_looking_changes_nothing(day, office):
    before = everything()
    for one in addresses():
        office.get(one.path)
    assert everything() == before


def test_nothing_is_done_for_another_site(day):
    before = everything()
    user = make.UserFactory(email="office@example.org")
    strict = logged_in(user, enforce_csrf_checks=True)
    for one in addresses():
        answer = strict.post(one.path, {"title": "Elsewhere", "name": "Elsewhere"})
        assert answer.status_code in ((403, 405) if one.name in NO_PAGE else (403,)), one
        if answer.status_code == 403:
            assert "Nothing was saved" in answer.content.decode(), one
    assert everything() == before


def test_numbers_nobody_has_are_not_found(day, office):
    for name, words in routes().items():
        if words != {"pk"}:
            continue
        for pk in (999_999, 2**63, 10**30):
            page = reverse(name, kwargs={"pk": pk})
            for answer in (office.get(page), office.post(page)):
                allowed = (404, 405) if name in POST_ONLY | NO_PAGE else (404,)
                assert answer.status_code in allowed, (name, pk)


def edited_record(name: str):
    """Return the page that edits one record, and what two people type there."""
    return {
        "person": ("person-edit", Person, "name"),
        "location": ("location-edit", Location, "name"),
        "set": ("set", PlannedSet, "title"),
        "workshop": ("workshop-edit", Workshop, "title"),
        "house": ("house", House, "name"),
    }[name]


@pytest.mark.parametrize("name", ["person", "location", "set", "workshop", "house"])
def test_the_second_of_two_edits_sees_both_and_may_save_knowingly(day, office, clerk, name):
    route, model, field = edited_record(name)
    record = model.objects.order_by("pk").first()
    page = reverse(route, kwargs={"pk": record.pk} if routes()[route] else {})
    slow, quick = filled(office.get(page)), filled(clerk.get(page))

    assert clerk.post(page, quick | {field: "The quick one"}).status_code == 302
    refused = office.post(page, slow | {field: "The slow one"})
    assert refused.status_code == 409
    shown = refused.content.decode()
    assert "The quick one" in shown
    assert "The slow one" in shown
    assert "was changed while you were editing it" in shown
    record.refresh_from_db()
    assert getattr(record, field) == "The quick one"

    assert office.post(page, filled(refused)).status_code == 302
    record.refresh_from_db()
    assert getattr(record, field) == "The slow one"
    changes = AuditEntry.objects.filter(record_type=model._meta.label_lower, record_id=record.pk)
    assert changes.filter(action="changed").count() == 2


def test_every_address_of_one_record_names_its_model():
    for name, words in routes().items():
        if words == {"pk"}:
            assert record_of(name)

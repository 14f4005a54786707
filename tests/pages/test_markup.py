"""Every page, form in error, fragment and fault page is valid HTML, by the Nu HTML Checker."""

import re
import subprocess

import pytest
from django.test import Client, RequestFactory
from django.urls import reverse
from django.views.defaults import server_error

from planning.models import PlannedSet
from tests import factories as make
from tests.checkers import checker
from tests.conftest import need
from tests.pages import full_house
from tests.pages.routes import OPEN, OWN, pages
from tests.records.browser import filled
from workshops.models import Workshop

pytestmark = pytest.mark.django_db

ABSURD = ("<script>alert(1)</script> & \"quoted\" 'twice'", "abc" + "x" * 4997, "-1e999")
FRAGMENT = (
    '<!DOCTYPE html><html lang="en"><head><title>Part</title></head>'
    "<body><h1>Part</h1>{}</body></html>"
)
# A form that is sent to its own page; one that only does something names another.
OWN_FORM = re.compile(r'<form method="post"(?![^>]* action=)')
KEPT = ("csrfmiddlewaretoken", "next")


@pytest.fixture
def vnu():
    """How the checker is called; asked for first, because filling a house takes its time."""
    return [need("java"), "-jar", checker("vnu.jar")]


@pytest.fixture
def office(tmp_path):
    client = Client()
    client.force_login(full_house.build(tmp_path))
    return client


def absurd(page) -> dict:
    """Return the page's form with every field that a person fills in filled absurdly."""
    return {
        name: value if name in KEPT or name.endswith(("seen", "_FORMS", "-id")) else text
        for number, (name, value) in enumerate(filled(page).items())
        for text in [ABSURD[number % len(ABSURD)]]
    }


def parts(office) -> dict[str, str]:
    """Return the fragments that scripts put into a page, from good and from absurd forms."""
    planned, workshop = PlannedSet.objects.order_by("pk").first(), Workshop.objects.first()
    asked = [
        (reverse("set", args=[planned.pk]), reverse("set-plan", args=[planned.pk])),
        (reverse("set-new", args=[workshop.pk]), reverse("set-new-plan", args=[workshop.pk])),
        (reverse("location-edit", args=[planned.location_id]), reverse("horizon-preview")),
    ]
    found = {}
    for page, part in asked:
        shown = office.get(page)
        for kind, form in (("typed", filled(shown)), ("absurd", absurd(shown))):
            answer = office.post(part, form)
            assert answer.status_code == 200, (part, kind)
            found[f"{part} {kind}"] = FRAGMENT.format(answer.content.decode())
    return found


def fault_pages(office) -> dict[str, str]:
    guest = Client()
    guest.force_login(make.UserFactory(role="outsider", is_staff=False, is_superuser=False))
    strict = Client(enforce_csrf_checks=True)
    answers = {
        400: office.get("/", headers={"host": "nobody.example.org"}),
        403: guest.get(reverse("people")),
        404: office.get("/nothing-here/"),
        500: server_error(RequestFactory().get("/")),
        "csrf": strict.post(reverse("log-in")),
    }
    assert [answer.status_code for answer in answers.values()] == [400, 403, 404, 500, 403]
    return {f"fault {name}": answer.content.decode() for name, answer in answers.items()}


def everything_shown(office) -> dict[str, str]:
    """Return the HTML of the whole site by where it was found."""
    found = {}
    for one in pages():
        shown = office.get(one.path)
        if shown.status_code == 302:
            continue
        found[one.path] = shown.content.decode()
        if one.name.endswith("-delete") or not OWN_FORM.search(found[one.path]):
            continue
        answer = office.post(one.path, absurd(shown))
        if answer.status_code != 302:
            # Django's own pages of passwords answer 200 to a form in error.
            assert answer.status_code == (200 if one.name in OPEN | OWN else 422), one
            found[f"{one.path} absurd"] = answer.content.decode()
            assert "<script>alert" not in answer.content.decode(), one
    stranger = Client()
    for name in ("log-in", "password-reset", "password-reset-sent"):
        shown = stranger.get(reverse(name))
        found[f"{name} of a stranger"] = shown.content.decode()
        refused = stranger.post(reverse(name), absurd(shown)).content.decode()
        found |= {f"{name} absurd": refused} if refused else {}
    return found | parts(office) | fault_pages(office)


def test_every_page_is_valid_html(vnu, office, tmp_path):
    names = {}
    for number, (name, html) in enumerate(everything_shown(office).items()):
        file = tmp_path / f"{number}.html"
        file.write_text(html, encoding="utf-8")
        names[file.name] = name
    command = [*vnu, "--stdout", "--format", "gnu", *(tmp_path / name for name in names)]
    told = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300)
    assert not told.stderr, told.stderr
    faults = []
    for line in told.stdout.splitlines():
        file, _, words = line.partition('.html":')
        faults.append(f"{names[file.rpartition('/')[2] + '.html']}: {words}")
    assert len(names) > 100
    assert not faults, "\n".join(faults)

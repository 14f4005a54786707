"""Every page there is, in a browser: accessible, within its policy, no wider than its window."""

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.browser.looks import DESK, faults, listen
from tests.checkers import checker
from tests.pages.routes import EACH, addresses, pages, routes
from workshops.models import Booking, Location, SignedLink, User
from workshops.services.feedback import make_feedback_link
from workshops.services.handout_links import make_handout_link
from workshops.services.links import token

# Every text, figure, time and choice of the page's own form gets what nobody should enter. Dates
# are turned into text first, because a browser without such a field sends what was typed.
FORM = "main form[method=post]:not([action])"  # sent to its own page
ABSURD_FORM = """() => {
  const form = document.querySelector("main form[method=post]:not([action])");
  for (const field of form.elements) {
    if (field.type === "hidden" || !field.name) continue;
    if (field.tagName === "SELECT") field.add(new Option("gone", "<gone>", true, true));
    else if (field.tagName === "TEXTAREA") field.value = "<script>alert(1)</script>".repeat(200);
    else if (!["checkbox", "radio", "submit"].includes(field.type)) {
      field.value = "";
      field.type = "text";
      field.value = "abc" + "x".repeat(997);
    }
  }
  form.submit();
}"""


@pytest.fixture(scope="module")
def axe():
    return checker("axe.min.js").read_text(encoding="utf-8")


@pytest.fixture
def page(open_as):
    return open_as(viewport={"width": DESK, "height": 900})


def walked(page, axe, paths):
    """Return the faults of all those pages, each with its address."""
    heard, found = listen(page, axe), []
    for path in paths:
        heard.clear()
        answer = page.goto(path)
        told = [] if answer.status == 200 else [f"status {answer.status}"]
        found += [f"{path} {one}" for one in told + faults(page) + heard]
    return found


def test_every_page_of_an_empty_site(empty_site, page, axe):
    found = walked(page, axe, [one.path for one in pages()])
    assert not found, "\n".join(found)


def test_every_page_of_a_house_under_way(full_site, page, axe):
    shown = pages()
    missing = set(routes()) - {one.name for one in addresses()}
    assert not missing, "no record to show these with: add one to tests/pages/full_house.py"
    found = walked(page, axe, [one.path for one in shown])
    assert not found, "\n".join(found)


def test_every_form_filled_with_absurd_text(full_site, page, axe):
    heard, found = listen(page, axe), []
    forms = {(one.name if one.name in EACH else one.path): one.path for one in pages()}
    for path in forms.values():
        page.goto(path)
        if not page.locator(f"{FORM} :is(input:not([type=hidden]), select, textarea)").count():
            continue
        heard.clear()
        with page.expect_navigation():
            page.evaluate(ABSURD_FORM)
        found += [f"{path} {one}" for one in faults(page) + heard]
    assert not found, "\n".join(found)


def test_a_season_that_was_asked_for(full_site, page, axe):
    place = Location.objects.filter(latitude_deg__isnull=False).earliest("pk")
    address = reverse("location-light", args=[place.pk])
    year, month = "?first=2027-01-01&low_deg=5&high_deg=25", "?first=2027-03-20&last=2027-04-10"
    assert walked(page, axe, [address + year, address + month]) == []
    heard = listen(page, axe)
    assert page.goto(f"{address}?last=2020-01-01&low_deg=low").status == 422
    assert faults(page) + heard == []


def test_what_is_not_there(full_site, page, axe):
    heard = listen(page, axe)
    assert page.goto("/sets/999999/").status == 404
    assert faults(page) + heard == []


def test_pages_of_somebody_not_logged_in(full_site, open_as, axe):
    page = open_as(None, viewport={"width": DESK, "height": 900})
    found = walked(page, axe, ["/log-in/", "/password/", "/password/sent/", "/password/MQ/used/"])
    assert found == []


def test_what_an_account_without_rights_is_shown(full_site, open_as, axe):
    make.UserFactory(email="guest@example.org", role="outsider", is_staff=False, is_superuser=False)
    page = open_as("guest@example.org", viewport={"width": DESK, "height": 900})
    heard = listen(page, axe)
    assert page.goto("/people/").status == 403
    assert faults(page) + heard == []
    assert walked(page, axe, ["/", "/account/", "/account/password/"]) == []


def test_the_questionnaire_by_its_link_alone(full_site, open_as, axe):
    link = SignedLink.objects.get(purpose="questionnaire")
    page = open_as(None, viewport={"width": DESK, "height": 900})
    heard = listen(page, axe)
    page.goto(reverse("questionnaire-open", args=[token(link)]))
    assert page.url.endswith("/questionnaire/")
    assert faults(page) + heard == []
    page.get_by_label("Your goal in one sentence").fill("A dark sky")
    with page.expect_navigation():
        page.get_by_role("button", name="Another camera").click()
    assert page.get_by_label("Your goal in one sentence").input_value() == "A dark sky"
    page.get_by_label("Whom we call").fill("Bo")
    page.locator("[name=emergency_phone]").fill("none")
    page.get_by_label("I need to sit or rest").fill("every hour")
    # Enter in a text sends the answers, never presses the button between them.
    page.get_by_label("Your goal in one sentence").press("Enter")
    page.get_by_role("alert").wait_for()
    assert faults(page) + heard == []
    page.locator("[name=emergency_phone]").fill("0123 45678")
    page.get_by_role("button", name="Send my answers").click()
    page.wait_for_url("**/questionnaire/thanks/")
    assert faults(page) + heard == []
    lead = User.objects.get(person__roles__role="lead", person__roles__workshop=link.workshop)
    page = open_as(lead.email, viewport={"width": DESK, "height": 900})
    assert walked(page, axe, [reverse("medical-answers", args=[link.workshop_id])]) == []
    assert "every hour" in page.content()


def test_a_day_that_is_closed_and_the_questions_after_it(full_site, open_as, page, axe):
    booking = Booking.objects.get(state="attended", workshop__status="closed")
    gone = booking.workshop_id
    paths = [f"/workshops/{gone}/{part}/" for part in ("close", "feedback", "handouts")]
    assert walked(page, axe, paths) == []
    now = timezone.now()
    theirs = open_as(None, viewport={"width": DESK, "height": 900})
    heard = listen(theirs, axe)
    link = make_feedback_link(by=None, booking=booking, now=now)
    theirs.goto(reverse("feedback-open", args=[token(link)]))
    assert theirs.url.endswith("/feedback/")
    assert faults(theirs) + heard == []
    for answer in theirs.get_by_label("no answer", exact=True).all():
        answer.check()
    theirs.get_by_label("What did you learn").fill("")
    with theirs.expect_navigation():
        theirs.get_by_role("button", name="Send my answers").click()
    assert "Answer at least one of the five" in theirs.content()
    assert faults(theirs) + heard[1:] == []  # the console tells of the 422
    theirs.get_by_label("too fast").check()
    with theirs.expect_navigation():
        theirs.get_by_role("button", name="Send my answers").click()
    heard.clear()
    assert theirs.url.endswith("/feedback/thanks/")
    assert faults(theirs) + heard == []
    opens = make_handout_link(by=None, booking=booking, now=now)
    theirs.goto(reverse("handout-open", args=[token(opens)]))
    assert "Certificate of attendance" in theirs.content()
    assert faults(theirs) + heard == []

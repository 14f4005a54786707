"""The questionnaire by signed link: for whoever has it, saved at once, nobody else shown."""

import logging
from datetime import timedelta

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, MedicalAnswers, Message, SignedLink
from workshops.models.base import Record
from workshops.services import links
from workshops.services.questionnaire import new_questionnaire_link

pytestmark = pytest.mark.django_db

FORM = "/questionnaire/"


@pytest.fixture
def booking(house):
    soon = timezone.now() + timedelta(days=30)
    workshop = make.WorkshopFactory(start_at=soon, end_at=soon + timedelta(hours=9))
    person = make.PersonFactory(name="Ada Quill", emergency_name="Bo", emergency_phone="0123 4567")
    return make.BookingFactory(workshop=workshop, person=person)


@pytest.fixture
def link(booking):
    return link_of(booking)


def link_of(row) -> SignedLink:
    return new_questionnaire_link(
        by=None, person=row.person, workshop=row.workshop, now=timezone.now()
    )


def path(link: SignedLink) -> str:
    return reverse("questionnaire-open", args=[links.token(link)])


def opened(client, link: SignedLink):
    """Follow a link as a browser does and return the form."""
    return client.get(path(link), follow=True)


def everything() -> dict[str, list]:
    return {
        model._meta.label: list(model._base_manager.order_by("pk").values())
        for model in apps.get_models()
        if issubclass(model, Record) or model is AuditEntry
    }


def test_fetching_the_link_leads_to_a_clean_address_and_changes_nothing(client, link):
    # RFC 9110, 9.2.1: GET and HEAD are safe; whoever fetches has asked for no change.
    before = everything()
    for scanner in (Client().get, Client().head, client.get):
        answer = scanner(path(link))
        assert (answer.status_code, answer.headers["Location"]) == (302, FORM)
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert answer.headers["Cache-Control"] == "no-store"
        assert answer.headers["X-Robots-Tag"] == "noindex"
    assert client.get(FORM).status_code == 200
    assert everything() == before
    assert client.post(path(link)).status_code == 405


def test_the_session_holds_nothing_but_the_key_of_the_link(client, link):
    opened(client, link)
    assert dict(client.session) == {"questionnaire": link.pk.hex}
    assert Session.objects.get().expire_date <= timezone.now() + timedelta(hours=12)


def test_the_office_stays_logged_in_beside_the_form(office, link):
    assert opened(office, link).status_code == 200
    assert office.get("/workshops/").status_code == 200


@pytest.mark.parametrize("spoilt", ["forged", "short", "other purpose"])
def test_a_link_that_was_never_made_is_not_found(client, link, spoilt):
    signed = {
        "forged": links.token(link)[:-1] + "-",
        "short": links.token(link)[:20],
        "other purpose": links._signer("offer").sign(link.pk.hex),
    }[spoilt]
    answer = client.get(reverse("questionnaire-open", args=[signed]))
    assert answer.status_code == 404
    assert (
        "Ask the office" in answer.content.decode() or "ask the office" in answer.content.decode()
    )


@pytest.mark.parametrize("why", ["run out", "revoked", "cancelled", "called off"])
def test_a_link_that_opens_no_more_is_gone_at_once_and_saves_nothing(client, booking, link, why):
    page = opened(client, link)
    now = timezone.now()
    if why == "run out":
        SignedLink.objects.update(expires_at=now)
    elif why == "revoked":
        links.revoke_link(by=None, link=link, now=now)
    elif why == "cancelled":
        booking.state, booking.seat, booking.cancelled_at = "cancelled", None, now
        booking.save()
    else:
        booking.workshop.status, booking.workshop.cancelled_reason = "cancelled", "storm"
        booking.workshop.save()
    before = everything()
    for answer in (
        client.get(path(link)),
        client.get(FORM),
        client.post(FORM, filled(page) | {"phone": "0999 99999"}),
        client.get("/questionnaire/thanks/"),
    ):
        assert answer.status_code == 410
        assert "does not open any more" in answer.content.decode()
    assert everything() == before


def test_without_a_link_there_is_nothing(client, house):
    assert client.get(FORM).status_code == 404


def test_the_signed_word_stays_out_of_the_log(client, link, caplog):
    from workshops.log_lines import Line
    from workshops.server import shown_path

    SignedLink.objects.update(expires_at=timezone.now())
    with caplog.at_level(logging.DEBUG):
        assert client.get(path(link)).status_code == 410
    told = [Line("{message}", style="{").format(one) for one in caplog.records]
    assert any("/questionnaire/..." in line for line in told)
    assert not any(link.pk.hex in line for line in told)
    assert shown_path(path(link)) == "/questionnaire/.../"
    assert shown_path(path(link).replace("~", "%7E")) == "/questionnaire/.../"


def camera(number="new0", **more) -> dict[str, str]:
    typed = {
        "name": "Body of glass", "firmware": "1.2", "sync_s": "1/250", "shoe": "other",
        "centre_contact": "no", "pc_socket": "yes", "shutter": "mechanical", "sensor": "aps-c",
        "fastest_shutter_s": "", "lowest_iso": "",
    }  # fmt: skip
    return {f"camera-{number}-{name}": value for name, value in (typed | more).items()}


def test_a_whole_form_is_saved_with_cameras_and_says_how_it_came(client, booking, link):
    typed = filled(opened(client, link)) | camera()
    typed |= {
        "phone": "07700 900123", "experience": "Manual, no flash yet", "goal": "A dark sky",
        "photo_consent": "no", "equipment": "85 mm, ND 77 mm", "own_trigger": "none",
        "dietary": "no nuts", "access_needs": "left-handed",
    }  # fmt: skip
    answer = client.post(FORM, typed)
    assert (answer.status_code, answer.headers["Location"]) == (302, "/questionnaire/thanks/")
    assert "your answers are saved" in client.get("/questionnaire/thanks/").content.decode()

    person = booking.person
    person.refresh_from_db()
    assert (person.phone, person.goal, person.photo_consent) == ("07700 900123", "A dark sky", "no")
    body = person.cameras.get()
    assert (body.name, body.firmware, body.shoe) == ("Body of glass", "1.2", "other")
    assert (body.centre_contact, body.pc_socket, body.sync_known) == (False, True, True)
    assert (body.sensor_width_mm, body.sensor_height_mm) == (23.5, 15.6)
    assert body._meta.get_field("sync_s").show(body.sync_s) == "1/250"
    # What its owner does not know is taken as usual.
    assert body._meta.get_field("fastest_shutter_s").show(body.fastest_shutter_s) == "1/4000"
    assert body.lowest_iso == 100
    booking.refresh_from_db()
    assert booking.camera == body
    link.refresh_from_db()
    assert link.answered_at
    said = AuditEntry.objects.filter(who=None, who_text="questionnaire link")
    assert {"workshops.person", "workshops.camerabody"} <= set(
        said.values_list("record_type", flat=True)
    )


def test_the_button_pressed_twice_enters_one_camera(client, booking, link):
    typed = filled(opened(client, link)) | camera()
    assert [client.post(FORM, typed).status_code for _press in range(2)] == [302, 302]
    assert booking.person.cameras.count() == 1


def test_another_camera_keeps_everything_typed_unchecked_and_unsaved(client, booking, link):
    typed = filled(opened(client, link)) | camera(sync_s="1/25o")
    typed |= {"goal": "typed half", "medical-rest": "after an hour", "another": "1"}
    page = client.post(FORM, typed)
    again = filled(page)
    assert page.status_code == 200
    assert again["camera-new0-sync_s"] == "1/25o"
    assert (again["goal"], again["medical-rest"]) == ("typed half", "after an hour")
    assert again["camera-new1-name"] == ""
    assert "needs a look" not in page.content.decode()
    assert booking.person.cameras.count() == 0

    again |= camera("new0") | camera("new1", name="Second body", sync_s="", sync_unknown="on")
    assert client.post(FORM, again).status_code == 302
    second = booking.person.cameras.get(name="Second body")
    assert (second.sync_known, second._meta.get_field("sync_s").show(second.sync_s)) == (
        False,
        "1/125",
    )


def test_what_was_given_before_stands_in_the_form_and_a_camera_can_go(client, booking, link):
    kept = make.CameraFactory(owner=booking.person, name="Old body", centre_contact=False)
    gone = make.CameraFactory(owner=booking.person, name="Sold body")
    stranger = make.CameraFactory(name="Not theirs")
    page = opened(client, link)
    assert "Not theirs" not in page.content.decode()
    typed = filled(page)
    assert typed[f"camera-{kept.pk}-name"] == "Old body"
    assert typed[f"camera-{kept.pk}-centre_contact"] == ["no"]
    typed |= {f"camera-{gone.pk}-gone": "on", f"camera-{kept.pk}-firmware": "9"}
    # A number that is somebody else's makes a camera of one's own, never changes theirs.
    assert client.post(FORM, typed | camera(str(stranger.pk), name="Claimed")).status_code == 302
    assert set(booking.person.cameras.values_list("name", "firmware")) == {
        ("Old body", "9"),
        ("Claimed", "1.2"),
    }
    stranger.refresh_from_db()
    assert stranger.name == "Not theirs"


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (camera(sync_s=""), "tick that you cannot find it"),
        (camera(sync_s="fast"), "Flash sync speed"),
        (camera(sensor="other"), "Enter width and height"),
        (camera(name=""), "Make and model"),
        ({"emergency_phone": "none"}, "Enter a phone number"),
        ({"emergency_name": ""}, "Whom we call"),
        ({"under_age": "on"}, "Enter the adult who comes along"),
        ({"birth_date": "2024-02-03"}, "Enter the adult who comes along"),
        ({"birth_date": "0008-05-03"}, "Birth date: enter a day from 1900 to today"),
        ({"birth_date": "2199-05-03"}, "Birth date: enter a day from 1900 to today"),
        ({"medical-rest": "x" * 1001}, "1000"),
    ],
)
def test_a_fault_is_told_in_words_and_nothing_is_saved_nor_lost(client, booking, link, typed, told):
    typed = filled(opened(client, link)) | {"goal": "kept in the page"} | typed
    before = everything()
    page = client.post(FORM, typed)
    assert page.status_code == 422
    assert told in page.content.decode()
    assert filled(page)["goal"] == "kept in the page"
    link.refresh_from_db()
    assert link.used_at
    assert link.answered_at is None
    after = everything()
    del before["workshops.SignedLink"], after["workshops.SignedLink"]
    assert after == before


@pytest.mark.parametrize("text", ABSURD)
def test_absurd_text_is_kept_or_refused_in_words(client, link, text):
    page = opened(client, link)
    typed = filled(page) | camera()
    for name in typed:
        if name not in ("csrfmiddlewaretoken", "of"):
            typed = typed | {name: text}
    typed["medical-rest"] = text
    assert client.post(FORM, typed).status_code in (302, 422)


def test_two_links_in_one_browser_do_not_mix(client, booking, link):
    mine = filled(opened(client, link)) | {"goal": "mine"}
    other = make.BookingFactory(workshop=booking.workshop, seat__number=9)
    opened(client, link_of(other))
    before = everything()
    answer = client.post(FORM, mine)
    assert answer.status_code == 409
    assert "Nothing was saved" in answer.content.decode()
    assert everything() == before


def test_the_form_shows_nothing_of_anybody_else(client, booking, link):
    make.BookingFactory(workshop=booking.workshop, person__name="Zebulon Other", seat__number=9)
    make.RoleFactory(workshop=booking.workshop, person__name="Lead Person", role="lead")
    shown = opened(client, link).content.decode()
    assert "Zebulon" not in shown
    assert "Lead Person" not in shown


def test_what_the_office_changed_meanwhile_is_not_overwritten_unawares(client, booking, link):
    typed = filled(opened(client, link)) | {"goal": "mine"}
    booking.person.dietary = "vegan"
    booking.person.save()
    page = client.post(FORM, typed)
    assert page.status_code == 409
    assert "changed by the office" in page.content.decode()
    assert client.post(FORM, filled(page)).status_code == 302


def test_swimming_is_asked_where_there_is_water_in_the_language_of_the_person(client, booking):
    assert b'name="swims"' not in opened(client, link_of(booking)).content
    place = make.LocationFactory(water="still")
    booking.workshop.places.create(location=place, position=1)
    booking.person.language = "es"
    booking.person.save()
    page = opened(client, link_of(booking))
    assert b'name="swims"' in page.content
    assert page.headers["Content-Language"] == "es"


def test_the_form_keeps_its_origin_so_that_browsers_can_send_it(client, link):
    # Fetch standard: with no-referrer a form is sent with "Origin: null", which no site accepts.
    page = opened(client, link)
    assert page.headers["Referrer-Policy"] == "same-origin"
    assert page.headers["Cache-Control"] == "no-store"
    strict = Client(enforce_csrf_checks=True)
    typed = filled(opened(strict, link))
    assert strict.post(FORM, typed, HTTP_ORIGIN="null").status_code == 403
    assert strict.post(FORM, typed, HTTP_ORIGIN="http://testserver").status_code == 302


def test_the_office_makes_sends_moves_and_revokes_a_link(office, booking):
    page = reverse("booking-questionnaire", args=[booking.pk])
    overview = reverse("workshop-questionnaires", args=[booking.workshop_id])
    assert "not sent" in office.get(overview).content.decode()
    assert office.post(page, {"new": "1"}).status_code == 302
    first = SignedLink.objects.get()
    assert links.address(first) in office.get(page).content.decode()
    assert first.expires_at == booking.workshop.end_at

    assert office.post(page, {"send": "1"}).status_code == 302
    mail = Message.objects.get(purpose="questionnaire")
    assert (mail.to_address, mail.person) == (booking.person.email, booking.person)
    assert office.post(page, {"send": "1"}).status_code == 302
    assert Message.objects.count() == 1

    late = filled(office.get(page)) | {"until": "1", "expires_at": "2001-01-01T10:00"}
    refused = office.post(page, late)
    assert refused.status_code == 422
    told = refused.content.decode()
    assert "Runs out: enter a time to come, or revoke the link." in told
    assert 'value="2001-01-01T10:00"' in told
    assert links.address(first) in told
    assert "link has run out" not in told
    beyond = office.post(page, late | {"expires_at": "2199-01-01T10:00"}).content.decode()
    assert "Runs out: enter a time within 14 days of the end." in beyond
    day = f"{booking.workshop.start_at:%Y-%m-%d}T05:00"
    assert office.post(page, late | {"expires_at": day}).status_code == 302

    assert office.post(page, {"new": "1"}).status_code == 302
    first.refresh_from_db()
    assert first.revoked_at
    assert office.post(page, {"revoke": "1"}).status_code == 302
    assert not any(one.is_open(timezone.now()) for one in SignedLink.objects.all())
    assert "link revoked" in office.get(overview).content.decode()


def test_all_who_have_not_answered_are_written_to_once(office, booking, client):
    silent = make.BookingFactory(workshop=booking.workshop, person__email="", seat__number=2)
    make.RoleFactory(workshop=booking.workshop, role="model")
    make.RoleFactory(workshop=booking.workshop, role="lead")
    page = reverse("workshop-questionnaires", args=[booking.workshop_id])
    answer = office.post(page, follow=True).content.decode()
    assert "2 mails are written." in answer
    assert silent.person.name in answer
    assert "2 had theirs before" in office.post(page, follow=True).content.decode()
    assert Message.objects.count() == 2


def test_a_link_far_ahead_runs_out_after_sixty_days(house):
    far = timezone.now() + timedelta(days=200)
    workshop = make.WorkshopFactory(start_at=far, end_at=far + timedelta(hours=8))
    link = link_of(make.BookingFactory(workshop=workshop))
    assert link.expires_at - link.made_at == timedelta(days=60)


def test_the_list_asks_the_same_number_of_queries_for_any_number_of_people(
    office, booking, django_assert_max_num_queries
):
    for number in range(2, 8):
        link_of(make.BookingFactory(workshop=booking.workshop, seat__number=number))
    page = reverse("workshop-questionnaires", args=[booking.workshop_id])
    with django_assert_max_num_queries(12):
        assert office.get(page).status_code == 200
    assert MedicalAnswers.objects.count() == 0

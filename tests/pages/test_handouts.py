"""Handouts go out by signed links that end, one for each who took part."""

import io
import math
import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

from planning.handouts import handouts
from planning.services.recipes import lock_recipe
from planning.sheets.handout import lesson_sides
from planning.sheets.options import PrintOptions
from planning.sheets.pdf import printed
from tests import factories as make
from workshops.errors import Refused
from workshops.models import House, Message, SignedLink
from workshops.services.handout_links import make_handout_link, revoke_handout_links, send_handouts
from workshops.services.links import token

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop():
    """A day that was last week, with one set; the factories' day is to come."""
    make.HouseFactory()
    light = make.LightFactory()
    one = light.planned_set.workshop
    last_week = timezone.now() - timedelta(days=7)
    one.start_at, one.end_at = last_week, last_week + timedelta(hours=8)
    one.save()
    return one


@pytest.fixture
def booking(workshop):
    return make.BookingFactory(workshop=workshop, person=make.PersonFactory(name="Abel Finch"))


def place(link) -> str:
    return f"/handout/{token(link)}/"


def text(content: bytes) -> str:
    pages = PdfReader(io.BytesIO(content)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def test_the_link_leads_to_the_own_handout_and_no_other(workshop, booking):
    other = make.BookingFactory(workshop=workshop, person=make.PersonFactory(name="Bea Lund"))
    link = make_handout_link(by=None, booking=booking, now=timezone.now())
    visitor = Client()
    answer = visitor.get(place(link))
    assert answer.status_code == 302
    assert "~" not in answer["Location"]
    answer = visitor.get(answer["Location"])
    assert "Abel Finch" in answer.content.decode()
    pdf = visitor.get("/handout/handout.pdf")
    assert pdf["Content-Type"] == "application/pdf"
    assert pdf["Cache-Control"] == "no-store"
    told = text(pdf.content)
    assert "Abel Finch" in told
    assert other.person.name not in told


def test_the_handout_has_the_own_tally_and_nobody_elses(workshop, booking):
    planned = workshop.sets.get()
    other = make.BookingFactory(workshop=workshop, person=make.PersonFactory(name="Bea Lund"))
    noted = {"planned_set": planned}
    for minute in (30, 40):
        at = planned.start_at + timedelta(minutes=minute)
        make.EventFactory(kind="turn given", booking=booking, at=at, **noted)
    make.EventFactory(kind="frames", booking=booking, count=37, **noted)
    make.EventFactory(kind="frames", booking=other, count=91, **noted)
    make.EventFactory(kind="misfire", booking=booking, cause="recycle", notes="x1", **noted)
    make.EventFactory(kind="misfire", booking=other, cause="cell", notes="x2", **noted)
    own = text(handout_of(booking))
    for words in ("What you did", "37", "Fired before the head was ready", "Wait for the ready"):
        assert words in own
    for words in ("91", "empty cell", "Bea Lund", "x1"):
        assert words not in own
    assert "91" in text(handout_of(other))


def test_what_a_lamp_reads_and_a_smaller_flash_needs_go_by_what_was_locked(workshop, booking):
    planned_set = workshop.sets.get()
    light = planned_set.lights.get()
    before = handouts(workshop).day.taught[0]
    locked = {"f_number": 8.0, "shutter_s": 2.0**-7, "iso": 400.0, "powers": {light.name: 1 / 16}}
    lock_recipe(by=None, planned_set=planned_set, key=uuid4(), at=planned_set.start_at, **locked)
    ready = handouts(workshop)
    (after,) = ready.day.taught
    row = before.plan.lights[0]
    # Two stops of ISO up and so many of power down from what was planned: both as the square root.
    change = math.sqrt(4 * (1 / 16) / row.set_power)
    reads = after.shot.recipe.key_alone_f_number
    assert reads == pytest.approx(before.shot.recipe.key_alone_f_number * change, rel=1e-9)
    # The same light asks as much of a small flash however it was made: power by distance and ISO.
    bare, _soft = ready.mine[booking.pk].sets[0].flash
    assert bare.full_power_m == pytest.approx(42 * math.sqrt(400 / 100) / reads)  # ISO 1230
    sheet = text(lesson(ready.day))
    assert "Drawings, patches and sums are the plan's." in sheet
    assert nearest_mark(reads) in sheet[sheet.index("alone reads") :]


def lesson(day) -> bytes:
    return printed(lesson_sides(day, PrintOptions(house="")), "/Simplex")


def nearest_mark(f_number: float) -> str:
    """Return the mark of a third-stop series nearest to it, as ISO 517 lists them."""
    marks = "1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 16 18"
    return f"f/{marks.split()[round(6 * math.log2(f_number))]}"


def test_frames_of_the_own_files_are_told_at_the_recipe_with_their_shutters(workshop, booking):
    planned = workshop.sets.get()
    locked = {"f_number": 2.0**4, "shutter_s": 2.0**-7, "iso": 100.0}
    make.EventFactory(planned_set=planned, kind="recipe locked", **locked)
    at = planned.start_at + timedelta(minutes=40)
    make.EventFactory(planned_set=planned, kind="turn given", booking=booking, at=at)
    lot = make.FrameLotFactory(workshop=workshop)
    of = {"lot": lot, "booking": booking, "offset_min": 60}
    # The camera's clock stands on the place's: an hour ahead of UTC, and says so.
    taken_at = at - timedelta(minutes=2) + timedelta(minutes=60)
    for shutter_s in (2.0**-7, 2.0**-7, 2.0**-5):
        make.FrameFactory(clock_at=taken_at, shutter_s=shutter_s, **of)
    make.FrameFactory(clock_at=taken_at, f_number=2.0**3, **of)
    told = text(handout_of(booking))
    assert "3 of 4" in told
    assert "1/30 (1), 1/125 (3)" in told


def handout_of(booking) -> bytes:
    visitor = Client()
    visitor.get(place(make_handout_link(by=None, booking=booking, now=timezone.now())))
    answer = visitor.get("/handout/handout.pdf")
    assert answer["Content-Type"] == "application/pdf"
    return answer.content


def test_a_handout_says_what_the_house_lets_be_done_with_the_pictures(booking):
    asked = "Ask before you publish"
    assert asked in text(handout_of(booking))
    House.objects.update(picture_terms="Own portfolio, never for sale.\n")
    told = text(handout_of(booking))
    assert "Own portfolio, never for sale." in told
    assert asked not in told


def test_the_certificate_is_behind_the_same_link_once_the_day_is_over(workshop, booking):
    link = make_handout_link(by=None, booking=booking, now=timezone.now())
    visitor = Client()
    assert visitor.get("/handout/certificate.pdf").status_code == 404
    visitor.get(place(link))
    assert "Certificate" not in visitor.get("/handout/").content.decode()
    assert visitor.get("/handout/certificate.pdf").status_code == 503
    booking.state = "attended"
    booking.save()
    assert "Certificate" in visitor.get("/handout/").content.decode()
    answer = visitor.get("/handout/certificate.pdf?paper=letter")
    assert answer["Cache-Control"] == "no-store"
    assert "Abel Finch" in text(answer.content)


def test_a_link_that_was_ended_opens_nothing(booking):
    link = make_handout_link(by=None, booking=booking, now=timezone.now())
    visitor = Client()
    visitor.get(place(link))
    assert revoke_handout_links(by=None, booking=booking, now=timezone.now()) == 1
    assert visitor.get("/handout/").status_code == 410
    assert visitor.get("/handout/handout.pdf").status_code == 410
    assert visitor.get(place(link)).status_code == 404


def test_a_link_that_has_run_out_opens_nothing(booking):
    long_ago = timezone.now() - timedelta(days=91)
    link = make_handout_link(by=None, booking=booking, now=long_ago)
    assert Client().get(place(link)).status_code == 404
    assert make_handout_link(by=None, booking=booking, now=timezone.now()) != link


def test_everybody_is_written_to_once(workshop, booking):
    make.BookingFactory(workshop=workshop, person=make.PersonFactory(email=""))
    now = timezone.now()
    first = send_handouts(by=None, workshop=workshop, now=now)
    again = send_handouts(by=None, workshop=workshop, now=now)
    assert (first.now, again.now, again.before) == (1, 0, 1)
    assert len(first.without_address) == 1
    mail = Message.objects.get(purpose="handout")
    assert "{link}" in mail.body
    assert mail.link.purpose == SignedLink.Purpose.HANDOUT


def test_nobody_is_written_to_before_the_day(workshop, booking):
    with pytest.raises(Refused, match="has not begun"):
        send_handouts(by=None, workshop=workshop, now=workshop.start_at - timedelta(minutes=1))


def test_who_was_absent_gets_none(booking):
    booking.state = "absent"
    booking.save()
    with pytest.raises(Refused, match="did not take part"):
        make_handout_link(by=None, booking=booking, now=timezone.now())


def test_the_office_sends_them_from_the_page(client, workshop, booking):
    client.force_login(make.UserFactory())
    page = client.get(f"/workshops/{workshop.pk}/handouts/").content.decode()
    assert "Abel Finch" in page
    answer = client.post(f"/workshops/{workshop.pk}/handouts/", {"send": ""}, follow=True)
    assert "1 mail is written" in answer.content.decode()
    answer = client.post(f"/workshops/{workshop.pk}/handouts/", {"end": "999999"}, follow=True)
    assert "Choose somebody of this workshop" in answer.content.decode()

"""A house under way: the demo's records, and what the demo has none of."""

import io
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from uuid import uuid4

from PIL import Image

from planning import demo
from planning.after.packs import Charge
from planning.bringing import bring
from planning.frames_in import read_jpeg
from planning.models import FlashReading, PlannedSet
from planning.selectors.learnt import figure_of
from planning.services.clocks import set_clock
from planning.services.closing import close_workshop
from planning.services.flash_readings import record_flash_reading
from planning.services.learning import begin_anew, leave_out
from planning.services.packs import put_pack_in, take_pack_out
from planning.services.pictures import add_picture
from planning.services.recipes import lock_recipe
from planning.services.sets import record_reading
from planning.services.tally import note_began, note_ended, note_flashes, note_gust, note_misfire
from planning.services.turns import note_turn
from tests.jpegs import ascii, frame
from workshops.models import Booking, DayCost, Location, Person, SignedLink, User, Workshop
from workshops.selectors.feedback import feedback_link
from workshops.services import bookings, invoices, payments
from workshops.services.cancelling import cancel_booking
from workshops.services.feedback import save_feedback
from workshops.services.imports import keep_file
from workshops.services.links import make_link
from workshops.services.records import save_record
from workshops.services.rounds import send_round
from workshops.services.subscriptions import new_calendar_link
from workshops.services.workshops import open_workshop

BOOKED = datetime(2099, 4, 1, 9, 0, tzinfo=UTC)
BEFORE, GONE = datetime(2025, 3, 1, tzinfo=UTC), datetime(2025, 5, 10, 8, tzinfo=UTC)
COMING = datetime(2099, 5, 8, 8, 0, tzinfo=UTC)  # still to come whenever the tests run


def build(folder: Path) -> User:
    """Enter it all and return the office's account; log-ins.txt stands in the folder."""
    demo.build(log_ins=folder / "log-ins.txt", report=lambda part: None)
    office = User.objects.get(email="office@example.org")
    planned = PlannedSet.objects.order_by("pk").first()
    figures = {"at": planned.start_at, "kind": "incident", "plane": "backdrop"}
    figures |= {"f_mark": 2.0**3.5, "shutter_s": 2.0**-7}
    record_reading(by=office, planned_set=planned, **figures)
    record_reading(by=office, location=planned.location, sky="clear", **figures)
    _own_figures(office, planned)
    _picture(office, planned)
    _turns_noted(office, planned)
    _set_noted(office, planned)
    _frames(office, planned)
    _day_to_come(office)
    _day_gone(office)
    _link_to_a_form(office)
    _list_brought_in(office)
    return office


def _own_figures(office: User, planned: PlannedSet) -> None:
    """A flash reading, one more that is left out, and a figure begun anew."""
    light = planned.lights.first()
    for minutes in (5, 15):
        reading = FlashReading(
            planned_set=planned,
            light_name=light.name,
            at=planned.start_at + timedelta(minutes=minutes),
            how=FlashReading.How.ALONE,
            power=0.25,
            distance_m=light.distance_m,
            f_mark=2.0**3.5,
            shutter_s=2.0**-7,
        )
        kept = record_flash_reading(by=office, reading=reading)
    key = f"guide-number:{light.strobe_id}:{light.modifier_id or 0}"
    found = figure_of(key)
    leave_out(by=office, figure=found, witness=f"flash-reading:{kept.pk}", reason="Wrong power")
    begin_anew(by=office, figure=found, from_at=BEFORE, reason="New tube")


def _picture(office: User, planned: PlannedSet) -> None:
    out = io.BytesIO()
    Image.new("RGB", (240, 240), "grey").save(out, "JPEG")
    words = {"words": "The coat against the wall", "credit": "Ines Varga"}
    add_picture(by=office, planned_set=planned, content=out.getvalue(), **words)


def _frames(office: User, planned: PlannedSet) -> None:
    """Some of an attendee, one that is nobody's yet, and a file that is no JPEG."""
    workshop = planned.workshop
    booking = workshop.bookings.live().first()
    names = ("IMG_0001.JPG", "IMG_0002.JPG")
    theirs = [read_jpeg(name, frame()) for name in names] + [read_jpeg("notes.txt", b"text")]
    told = {"by": office, "workshop": workshop, "now": BOOKED}
    bring(booking=booking, name="card one", files=theirs, **told)
    other = read_jpeg("IMG_0003.JPG", frame(BodySerialNumber=ascii("42")))
    bring(booking=None, name="", files=[other], **told)
    body = workshop.frames.filter(booking=booking).first().body
    set_clock(by=office, workshop=workshop, body=body, add_s=-3600.0, way="hand")
    _some_flashed(workshop, planned)


def _some_flashed(workshop: Workshop, planned: PlannedSet) -> None:
    """Frames in a turn and outside it, faster than the sync and slower, one put by hand."""
    one = workshop.frames.filter(clock_at__isnull=False).earliest("pk")
    for number in range(8):
        one.pk, one.digest, one._state.adding = None, f"{number:064x}", True
        one.file_name = f"IMG_01{number:02}.JPG"
        one.clock_at = planned.start_at + timedelta(hours=1, minutes=25 + number)
        one.shutter_s = 2.0 ** -(5 + number / 2)
        one.settled = number == 0
        one.planned_set = planned if one.settled else None
        one.save()


def _turns_noted(office: User, planned: PlannedSet) -> None:
    """One turn given, one called in vain."""
    for kind, booking in zip(
        ("turn given", "turn missed"), planned.workshop.bookings.live(), strict=False
    ):
        at = planned.start_at + timedelta(minutes=31)
        note_turn(
            by=office,
            planned_set=planned,
            booking=booking,
            kind=kind,
            uuid=uuid4(),
            now=at,
            planned_at=at,
        )


def _set_noted(office: User, planned: PlannedSet) -> None:
    """Its times, a misfire, a gust over the limit, and one head's flashes out of one pack."""
    light = planned.lights.select_related("strobe").order_by("position").first()
    pack = planned.workshop.kit.filter(unit__kind__category="battery").earliest("pk").unit
    told = {"f_number": 8.0, "shutter_s": 2.0**-7, "iso": 100.0, "powers": {light.name: 0.25}}
    at = planned.start_at + timedelta(minutes=12)
    lock_recipe(by=office, planned_set=planned, key=uuid4(), at=at, **told)
    for minute, note, told in (
        (0, note_began, {}),
        (10, put_pack_in, {"light_name": light.name, "unit": pack, "charge": Charge(share=1.0)}),
        (35, note_misfire, {"cause": "contact", "light_name": light.name}),
        (40, note_gust, {"gust_m_s": 12.5}),
        (70, note_flashes, {"light_name": light.name, "count": 160}),
        (71, take_pack_out, {"unit": pack, "light_name": light.name, "charge": Charge(share=0.7)}),
        (84, note_ended, {}),
    ):
        now = planned.start_at + timedelta(minutes=minute)
        note(by=office, planned_set=planned, uuid=uuid4(), now=now, **told)


def _day_gone(office: User) -> None:
    """A workshop that is over and closed: one attendee was there, and says how it was."""
    workshop = open_workshop(
        by=office,
        title="Spring light, two heads",
        start_at=GONE,
        end_at=GONE.replace(hour=17),
        timezone_name="Europe/London",
        seats=2,
        status="confirmed",
        places=Location.objects.order_by("pk")[:1],
        roles=[{"person": Person.objects.get(name="Ines Varga"), "role": "lead"}],
    )
    about = {"by": office, "now": workshop.end_at}
    booking = bookings.book_person(
        by=office, workshop=workshop, person=Person.objects.get(name="Bea Lund"), now=BEFORE
    )
    bookings.set_state(booking=booking, state="attended", **about)
    close_workshop(workshop=workshop, reasons={}, **about)
    link = feedback_link(booking, workshop.end_at)
    answers = {"taught": 4, "turns": "few", "pace": "right", "safe": 5, "words": "More wind."}
    save_feedback(link=link, answers=answers, now=workshop.end_at)


def _list_brought_in(office: User) -> None:
    """A list with a new person, a known one, a bad date and a namesake."""
    known = Person.objects.order_by("pk").first()
    rows = f"Name;E-mail;DOB;Pets\nSuárez;s@example.org;31/02/2008;\n{known};;25/12/1999;1\n"
    keep_file(by=office, kind="people", name="a.csv", content=rows.encode(), now=BOOKED)


def _day_to_come(office: User) -> None:
    """A workshop nobody has planned yet, with a seat held, one confirmed and one given back."""
    workshop = open_workshop(
        by=office,
        title="Autumn light, one head",
        start_at=COMING,
        end_at=COMING.replace(hour=17),
        timezone_name="Europe/London",
        seats=6,
        price=Decimal(180),
        places=Location.objects.order_by("pk")[:2],
        roles=[{"person": Person.objects.get(name="Ines Varga"), "role": "lead"}],
    )
    made = [
        bookings.book_person(by=office, workshop=workshop, person=person, now=BOOKED)
        for person in Person.objects.order_by("pk")[:3]
    ]
    bookings.confirm_booking(by=office, booking=made[1], now=BOOKED)
    cancel_booking(by=office, booking=made[2], now=BOOKED)
    _money_of_the_day(office, workshop)
    new_calendar_link(user=office, now=BOOKED)
    send_round(by=office, workshop=workshop, purpose="joining", now=BOOKED)


def _money_of_the_day(office: User, workshop: Workshop) -> None:
    """A deposit of whoever is confirmed, their invoice, and what the model costs."""
    paid = workshop.bookings.get(state="confirmed")
    payments.record_payment(by=office, booking=paid, kind="deposit", amount=Decimal(90), now=BOOKED)
    invoices.issue_invoice(
        by=office,
        booking=paid,
        amount=Decimal(180),
        addressee=paid.person.name,
        description=workshop.title,
        now=BOOKED,
    )
    save_record(by=office, record=DayCost(workshop=workshop, name="Model", amount=Decimal(300)))


def _link_to_a_form(office: User) -> None:
    """The questionnaire of the first booking there is, its link open whenever the tests run."""
    booking = Booking.objects.order_by("pk").first()
    make_link(
        by=office,
        purpose=SignedLink.Purpose.QUESTIONNAIRE,
        now=BOOKED,
        expires_at=COMING,
        person=booking.person,
        workshop=booking.workshop,
    )

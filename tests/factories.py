"""Records with fixed values: one workshop day of invented people at a real coast.

Every factory makes a valid record; a test names only what it is about.
"""

import io
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import factory
from PIL import Image

from planning.models import (
    CameraClock,
    CountsFrom,
    FlashReading,
    Frame,
    FrameLot,
    LeftOut,
    PlannedLight,
    PlannedSet,
    Reading,
    SetPicture,
    TallyEvent,
)
from workshops import models

NOW = datetime(2027, 4, 1, 9, 0, tzinfo=UTC)
SET_START = datetime(2027, 5, 8, 13, 10, tzinfo=UTC)  # 14:10 at the place
MARGIN = timedelta(hours=24)  # the house default on both sides
SET_END = datetime(2027, 5, 8, 14, 25, tzinfo=UTC)


class Record(factory.django.DjangoModelFactory):
    class Meta:
        abstract = True
        skip_postgeneration_save = True


def number_from(first: int) -> None:
    """Number the next records of every kind from ``first`` on.

    Each process counts by itself: left to run on, what is called "Attendee 9" and "Attendee 10",
    and so stands the other way round in a list by name, would hang on the tests that ran before.
    """
    for one in Record.__subclasses__():
        one.reset_sequence(first)
    # Of one workshop alone; both have a highest number.
    SetFactory.reset_sequence(11)
    SeatFactory.reset_sequence(0)


class UserFactory(Record):
    email = factory.Sequence("office{}@example.org".format)
    name = "Office"
    role = "office"
    is_staff = True
    is_superuser = True
    password = "!"  # no password opens this account; tests force the log-in

    class Meta:
        model = models.User


class HouseFactory(Record):
    name = "Slate & Tide"

    class Meta:
        model = models.House
        django_get_or_create = ("id",)

    id = 1


class TermsFactory(Record):
    name = factory.Sequence("Terms {}".format)

    class Meta:
        model = models.Terms


class PersonFactory(Record):
    name = factory.Sequence("Attendee {}".format)
    email = factory.Sequence("attendee{}@example.org".format)

    class Meta:
        model = models.Person


class CameraFactory(Record):
    owner = factory.SubFactory(PersonFactory)
    name = "Full-frame body"
    sync_s = 2.0**-7.3333333333333333
    fastest_shutter_s = 2.0**-13
    lowest_iso = 100.0

    class Meta:
        model = models.CameraBody


class LocationFactory(Record):
    name = factory.Sequence("Quarry {}".format)
    latitude_deg = 50.61
    longitude_deg = -4.77
    timezone_name = "Europe/London"

    class Meta:
        model = models.Location


class LandmarkFactory(Record):
    location = factory.SubFactory(LocationFactory)
    name = "Chimney"
    bearing_deg = 118.0

    class Meta:
        model = models.Landmark


class TravelTimeFactory(Record):
    location = factory.SubFactory(LocationFactory)
    to = factory.SubFactory(LocationFactory)
    minutes = 15.0

    class Meta:
        model = models.TravelTime


class TidePointFactory(Record):
    location = factory.SubFactory(LocationFactory, water="tidal")
    at = datetime(2027, 5, 8, 17, 40, tzinfo=UTC)
    height_m = 6.4
    turn = "high"

    class Meta:
        model = models.TidePoint


class ForecastFactory(Record):
    location = factory.SubFactory(LocationFactory)
    valid_from = datetime(2027, 5, 8, 6, 0, tzinfo=UTC)
    valid_to = datetime(2027, 5, 8, 21, 0, tzinfo=UTC)
    taken_at = datetime(2027, 5, 7, 18, 0, tzinfo=UTC)
    source = "Harbour office"
    sky = "clear"
    temperature_c = 13.0
    wind_m_s = 5.0
    gust_m_s = 8.0
    wind_from_deg = 250.0

    class Meta:
        model = models.Forecast


class WorkshopFactory(Record):
    title = factory.Sequence("One light at the coast {}".format)
    start_at = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)
    end_at = datetime(2027, 5, 8, 18, 0, tzinfo=UTC)
    timezone_name = "Europe/London"
    status = "open"
    radio_channel = "7"

    class Meta:
        model = models.Workshop


class SeatFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    number = factory.Sequence(lambda n: n + 1)

    class Meta:
        model = models.Seat


class BreakFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    title = "Lunch"
    earliest_at = datetime(2027, 5, 8, 11, 30, tzinfo=UTC)
    latest_at = datetime(2027, 5, 8, 12, 30, tzinfo=UTC)

    class Meta:
        model = models.WorkshopBreak


class RoleFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    person = factory.SubFactory(PersonFactory)
    role = "model"

    class Meta:
        model = models.WorkshopRole


class BookingFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    person = factory.SubFactory(PersonFactory)
    seat = factory.SubFactory(SeatFactory, workshop=factory.SelfAttribute("..workshop"))
    booked_at = NOW

    class Meta:
        model = models.Booking


class PaymentFactory(Record):
    booking = factory.SubFactory(BookingFactory)
    kind = "deposit"
    amount = Decimal("120.00")
    paid_on = datetime(2027, 4, 1, tzinfo=UTC).date()
    number = factory.Sequence("R2027-{:04}".format)

    class Meta:
        model = models.Payment


class InvoiceFactory(Record):
    booking = factory.SubFactory(BookingFactory)
    number = factory.Sequence("2027-{:04}".format)
    issued_on = datetime(2027, 4, 1, tzinfo=UTC).date()
    issuer = "Slate & Tide"
    addressee = "Attendee"
    description = "One light at the coast"
    currency = "EUR"
    amount = Decimal("240.00")

    class Meta:
        model = models.Invoice


class DayCostFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    name = "Model"
    amount = Decimal("300.00")

    class Meta:
        model = models.DayCost


class BatteryFactory(Record):
    name = factory.Sequence("Pack {}".format)
    mass_kg = 0.9
    capacity_wh = 43.0

    class Meta:
        model = models.Battery


class StrobeFactory(Record):
    name = factory.Sequence("Head 200 {}".format)
    mass_kg = 1.6
    energy_ws = 200.0
    battery_kind = factory.SubFactory(BatteryFactory)

    class Meta:
        model = models.Strobe


class ModifierFactory(Record):
    name = factory.Sequence("Octa 90 {}".format)
    mass_kg = 1.1
    width_m = 0.9
    stops = -2.0

    class Meta:
        model = models.Modifier


class StandFactory(Record):
    name = factory.Sequence("Stand {}".format)
    mass_kg = 2.5
    leg_radius_m = 0.5
    top_height_m = 2.8

    class Meta:
        model = models.Stand


class TriggerFactory(Record):
    name = factory.Sequence("Simple trigger {}".format)

    class Meta:
        model = models.Trigger


class NdFilterFactory(Record):
    name = factory.Sequence("ND {}".format)
    stops = 3.0

    class Meta:
        model = models.NdFilter


class MeterFactory(Record):
    name = factory.Sequence("Meter {}".format)

    class Meta:
        model = models.Meter


class GelFactory(Record):
    name = factory.Sequence("Half warm {}".format)
    loss_stops = 0.5
    shift_mired = 81.0

    class Meta:
        model = models.Gel


class UnitFactory(Record):
    kind = factory.SubFactory(TriggerFactory)
    tag = factory.Sequence("Z{}".format)  # never one that a test names itself

    class Meta:
        model = models.KitUnit


class ReservationFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    unit = factory.SubFactory(UnitFactory)
    start_at = factory.LazyAttribute(lambda own: own.workshop.start_at - MARGIN)
    end_at = factory.LazyAttribute(lambda own: own.workshop.end_at + MARGIN)

    class Meta:
        model = models.Reservation


class CheckoutFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    unit = factory.SubFactory(UnitFactory, state="out")
    person = factory.SubFactory(PersonFactory)
    out_at = datetime(2027, 5, 8, 8, 12, tzinfo=UTC)

    class Meta:
        model = models.Checkout


class LabelSheetFactory(Record):
    name = factory.Sequence("A4, 3 by 7, {}".format)
    paper = "a4"
    columns = 3
    rows = 7
    label_width_mm = 63.5
    label_height_mm = 38.1
    left_mm = 7.2
    top_mm = 15.1
    column_step_mm = 66.0
    row_step_mm = 38.1

    class Meta:
        model = models.LabelSheet


class GuideNumberReadingFactory(Record):
    strobe = factory.SubFactory(StrobeFactory)
    modifier = factory.SubFactory(ModifierFactory)
    read_on = datetime(2027, 3, 1, tzinfo=UTC).date()
    distance_m = 2.0
    f_mark = 2.0**4.5  # f/22

    class Meta:
        model = models.GuideNumberReading


class ImportFileFactory(Record):
    kind = "people"
    name = "attendees.csv"
    content = "Name;E-mail\r\nAna Núñez;ana@example.org\r\n".encode()
    by = factory.SubFactory(UserFactory)
    made_at = NOW

    class Meta:
        model = models.ImportFile


class SetFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    location = factory.SubFactory(LocationFactory)
    position = factory.Sequence(lambda n: n)  # from 11 in every test: tests name 1 to 10
    title = "Slate wall"
    start_at = SET_START
    end_at = SET_END
    camera = factory.SubFactory(CameraFactory)
    camera_facing_deg = 205.0
    backdrop = "slate wall"

    class Meta:
        model = PlannedSet


class LightFactory(Record):
    planned_set = factory.SubFactory(SetFactory)
    name = factory.Sequence("octa {}".format)
    strobe = factory.SubFactory(StrobeFactory)
    modifier = factory.SubFactory(ModifierFactory)
    stand = factory.SubFactory(StandFactory)
    distance_m = 2.0
    angle_deg = -45.0
    lamp_height_m = 2.3
    bag_kg = 10.0

    class Meta:
        model = PlannedLight


def _grey(width_px: int, height_px: int) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width_px, height_px), "grey").save(out, "JPEG")
    return out.getvalue()


class PictureFactory(Record):
    planned_set = factory.SubFactory(SetFactory)
    content = factory.LazyFunction(lambda: _grey(240, 240))
    width_px, height_px = 240, 240
    words = "The coat against the wall"
    credit = "Ines Varga"

    class Meta:
        model = SetPicture


class ReadingFactory(Record):
    planned_set = factory.SubFactory(SetFactory)
    at = SET_START
    kind = "incident"
    plane = "backdrop"
    f_mark = 2.0**3.5  # f/11
    shutter_s = 2.0**-7  # 1/125

    class Meta:
        model = Reading


class EventFactory(Record):
    planned_set = factory.SubFactory(SetFactory)
    kind = "note"
    at = SET_START
    notes = factory.LazyAttribute(
        lambda event: "Sand in the tripod" if event.kind in ("note", "near miss") else ""
    )

    class Meta:
        model = TallyEvent

    @factory.post_generation
    def as_it_happened(event, create, _extracted, **_more):
        """Noted at once: an event entered long after its set counts as copied from paper."""
        if create:
            event.changed_at = event.at
            TallyEvent.objects.filter(pk=event.pk).update(changed_at=event.at)


class FlashReadingFactory(Record):
    planned_set = factory.SubFactory(SetFactory)
    light_name = "octa"
    at = SET_START
    how = "alone"
    power = 0.25
    distance_m = 2.0
    f_mark = 2.0**3.5  # f/11
    shutter_s = 2.0**-7  # 1/125

    class Meta:
        model = FlashReading


class FrameLotFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    name = "frames.zip"
    made_at = NOW

    class Meta:
        model = FrameLot


class FrameFactory(Record):
    lot = factory.SubFactory(FrameLotFactory)
    workshop = factory.SelfAttribute("lot.workshop")
    digest = factory.Sequence("{:064x}".format)
    file_name = factory.Sequence("frame{}.jpg".format)
    body = "Full-frame body 1"
    clock_at = SET_START
    shutter_s = 2.0**-7  # 1/125
    f_number = 2.0**4  # f/16
    iso = 100.0
    flash_bits = 0

    class Meta:
        model = Frame


class CameraClockFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    body = "Full-frame body 1"
    add_s = 0.0
    way = "hand"

    class Meta:
        model = CameraClock


class LeftOutFactory(Record):
    figure = "turn minutes"
    witness = factory.Sequence("set:{}".format)
    reason = "Rain held everybody up"

    class Meta:
        model = LeftOut


class CountsFromFactory(Record):
    figure = factory.Sequence("figure {}".format)
    from_at = NOW
    reason = "New fabric"

    class Meta:
        model = CountsFrom


class ClosingFactory(Record):
    workshop = factory.SubFactory(WorkshopFactory)
    closed_at = NOW

    class Meta:
        model = models.Closing


class LetByFactory(Record):
    closing = factory.SubFactory(ClosingFactory)
    what = factory.Sequence("Set {}: not tallied".format)
    reason = "The paper got wet"

    class Meta:
        model = models.LetBy


class FeedbackFactory(Record):
    booking = factory.SubFactory(BookingFactory)
    given_at = NOW
    taught = 4

    class Meta:
        model = models.Feedback


class MessageFactory(Record):
    purpose = "reminder"
    key = factory.Sequence("reminder:{}".format)
    booking = factory.SubFactory(BookingFactory)
    workshop = factory.SelfAttribute("booking.workshop")
    person = factory.SelfAttribute("booking.person")
    to_address = factory.SelfAttribute("person.email")
    subject = "Reminder: One light at the coast"
    body = "Seven days to go."
    made_at = NOW

    class Meta:
        model = models.Message

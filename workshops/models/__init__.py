"""The records, one module per area."""

from workshops.models.answers import MedicalAnswers
from workshops.models.audit import AuditEntry
from workshops.models.booking import LIVE, Booking
from workshops.models.closing import Closing, Feedback, LetBy
from workshops.models.forecast import Forecast, Sky, TidePoint
from workshops.models.house import House, Terms, TermsRow
from workshops.models.kit import KitKind, KitUnit
from workshops.models.kit_light import Modifier, Strobe
from workshops.models.kit_reading import GuideNumberReading
from workshops.models.kit_support import (
    Ballast,
    Battery,
    Charger,
    Gel,
    Meter,
    NdFilter,
    Stand,
    Trigger,
)
from workshops.models.link import SignedLink
from workshops.models.location import Landmark, Location, TravelTime
from workshops.models.message import Message
from workshops.models.money import DayCost, Invoice, NumberSeries, Payment
from workshops.models.person import CameraBody, Person
from workshops.models.rehearsal import Rehearsal
from workshops.models.reservation import Checkout, LabelSheet, Reservation
from workshops.models.upload import ImportFile
from workshops.models.user import User
from workshops.models.weather_call import WeatherCall
from workshops.models.workshop import Seat, Workshop, WorkshopBreak, WorkshopPlace, WorkshopRole

__all__ = [
    "LIVE",
    "AuditEntry",
    "Ballast",
    "Battery",
    "Booking",
    "CameraBody",
    "Charger",
    "Checkout",
    "Closing",
    "DayCost",
    "Feedback",
    "Forecast",
    "Gel",
    "GuideNumberReading",
    "House",
    "ImportFile",
    "Invoice",
    "KitKind",
    "KitUnit",
    "LabelSheet",
    "Landmark",
    "LetBy",
    "Location",
    "MedicalAnswers",
    "Message",
    "Meter",
    "Modifier",
    "NdFilter",
    "NumberSeries",
    "Payment",
    "Person",
    "Rehearsal",
    "Reservation",
    "Seat",
    "SignedLink",
    "Sky",
    "Stand",
    "Strobe",
    "Terms",
    "TermsRow",
    "TidePoint",
    "TravelTime",
    "Trigger",
    "User",
    "WeatherCall",
    "Workshop",
    "WorkshopBreak",
    "WorkshopPlace",
    "WorkshopRole",
]

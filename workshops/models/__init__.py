"""The records, one module per area."""

from workshops.models.audit import AuditEntry
from workshops.models.booking import LIVE, Booking
from workshops.models.forecast import Forecast, Sky, TidePoint
from workshops.models.house import House, Terms, TermsRow
from workshops.models.kit import KitKind, KitUnit, WorkshopKit
from workshops.models.kit_light import Modifier, Strobe
from workshops.models.kit_reading import GuideNumberReading
from workshops.models.kit_support import Ballast, Battery, Gel, Meter, NdFilter, Stand, Trigger
from workshops.models.location import Landmark, Location
from workshops.models.person import CameraBody, Person
from workshops.models.user import User
from workshops.models.workshop import Seat, Workshop, WorkshopPlace, WorkshopRole

__all__ = [
    "LIVE",
    "AuditEntry",
    "Ballast",
    "Battery",
    "Booking",
    "CameraBody",
    "Forecast",
    "Gel",
    "GuideNumberReading",
    "House",
    "KitKind",
    "KitUnit",
    "Landmark",
    "Location",
    "Meter",
    "Modifier",
    "NdFilter",
    "Person",
    "Seat",
    "Sky",
    "Stand",
    "Strobe",
    "Terms",
    "TermsRow",
    "TidePoint",
    "Trigger",
    "User",
    "Workshop",
    "WorkshopKit",
    "WorkshopPlace",
    "WorkshopRole",
]

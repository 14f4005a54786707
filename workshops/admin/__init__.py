"""The back room: every record searchable, every change audited."""

from workshops.admin import (
    audit,
    bookings,
    closing,
    house,
    kit,
    locations,
    people,
    users,
    workshops,
)

__all__ = [
    "audit",
    "bookings",
    "closing",
    "house",
    "kit",
    "locations",
    "people",
    "users",
    "workshops",
]

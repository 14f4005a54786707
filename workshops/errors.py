"""Reasons a service declines, in words fit to show."""

from django.core.exceptions import ValidationError


class Refused(ValidationError):
    """What was asked cannot be done; nothing has changed."""

    def __str__(self) -> str:
        return " ".join(self.messages)


class NotFound(Refused):
    """The record asked for does not exist."""


class WorkshopFull(Refused):
    """No seat is free."""


class AlreadyBooked(Refused):
    """The person already holds a live booking of this workshop."""


class NotBookable(Refused):
    """The workshop takes no bookings, or lacks what a booking of this person needs."""


class AlreadyOut(Refused):
    """Somebody has the unit, perhaps by the same button pressed a moment ago."""


class Stale(Refused):
    """Somebody else changed the record since it was read."""

"""Reasons a service declines, in words fit to show."""

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError


class Refused(ValidationError):
    """What was asked cannot be done; nothing has changed."""

    def __str__(self) -> str:
        """Return every sentence; one that does not name its field gets the name in front."""
        if not hasattr(self, "error_dict"):
            return " ".join(self.messages)
        return " ".join(
            sentence if ":" in sentence or field == NON_FIELD_ERRORS else f"{field}: {sentence}"
            for field, sentences in self.message_dict.items()
            for sentence in sentences
        )


class NotFound(Refused):
    """The record asked for does not exist."""


class WorkshopFull(Refused):
    """No seat is free."""


class AlreadyBooked(Refused):
    """The person already holds a live booking of this workshop."""


class NotBookable(Refused):
    """The workshop takes no bookings, or lacks what a booking of this person needs."""

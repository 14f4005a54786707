"""Questions about feedback: who was asked, who answered, what the answers come to."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from workshops.lists.writing import Cell
from workshops.models import Booking, Feedback, SignedLink, Workshop
from workshops.models.base import in_zone

SCALE = (1, 2, 3, 4, 5)


@dataclass(frozen=True)
class Asked:
    """Somebody who was there: the link that is open, if any, and what was answered."""

    booking: Booking
    link: SignedLink | None
    told: Feedback | None


@dataclass(frozen=True)
class Question:
    """One question with each answer it knows, and how many gave it."""

    words: str
    counts: tuple[tuple[str, int], ...]

    @property
    def answered(self) -> int:
        return sum(count for _answer, count in self.counts)


def attended(workshop: Workshop) -> list[Booking]:
    """Return the bookings of those who were there, by name."""
    rows = workshop.bookings.filter(state=Booking.State.ATTENDED)
    return list(rows.select_related("person", "workshop").order_by("person__name", "pk"))


def feedback_link(booking: Booking, now: datetime) -> SignedLink | None:
    """Return the link to a booking's questions that is open, the newest; None without one."""
    rows = booking.links.filter(purpose=SignedLink.Purpose.FEEDBACK).order_by("-made_at", "-pk")
    return next((link for link in rows if link.is_open(now)), None)


def asked_for_feedback(workshop: Workshop, now: datetime) -> list[Asked]:
    """Return everybody who was there, or who answered, by name, with link and answers."""
    told = {one.booking_id: one for one in Feedback.objects.filter(booking__workshop=workshop)}
    links: dict[int, SignedLink] = {}
    rows = SignedLink.objects.filter(
        purpose=SignedLink.Purpose.FEEDBACK, booking__workshop=workshop
    )
    for link in rows.order_by("made_at", "pk"):
        if link.is_open(now):
            links[link.booking_id] = link
    bookings = workshop.bookings.select_related("person", "workshop").order_by("person__name", "pk")
    return [
        Asked(one, links.get(one.pk), told.get(one.pk))
        for one in bookings
        if one.state == Booking.State.ATTENDED or one.pk in told
    ]


def put_together(answers: Iterable[Feedback]) -> list[Question]:
    """Return the four questions with fixed answers, each with how many gave which."""
    rows = list(answers)

    def label(name: str) -> str:
        return str(Feedback._meta.get_field(name).verbose_name)

    def of_scale(name: str) -> Question:
        counts = Counter(getattr(one, name) for one in rows)
        return Question(label(name), tuple((str(mark), counts[mark]) for mark in SCALE))

    def of_choices(name: str, choices) -> Question:
        counts = Counter(getattr(one, name) for one in rows)
        return Question(label(name), tuple((str(one.label), counts[one]) for one in choices))

    return [
        of_scale("taught"),
        of_choices("turns", Feedback.Turns),
        of_choices("pace", Feedback.Pace),
        of_scale("safe"),
    ]


def feedback_table(asked: Sequence[Asked], workshop: Workshop) -> tuple[list[str], list]:
    """Return the headings and a row for each who answered, as lists are taken out."""
    fields = ("taught", "turns", "pace", "safe", "words")
    labels = [str(Feedback._meta.get_field(name).verbose_name) for name in fields]
    header = [_("Name"), _("Given"), *labels]
    rows: list[list[Cell]] = []
    for one in asked:
        if told := one.told:
            given = in_zone(told.given_at, workshop.timezone_name)
            rows.append(
                [
                    one.booking.person.name,
                    f"{given:%Y-%m-%d %H:%M}",
                    told.taught,
                    told.get_turns_display(),
                    told.get_pace_display(),
                    told.safe,
                    told.words,
                ]
            )
    return header, rows

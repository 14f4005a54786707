"""A set's tally and its forms -> what the page shows that notes it."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from planning.after.results import HeadUse, PackUse, PersonUse, SetTally
from planning.figures import Figures
from planning.forms.tally import FORMS, PressForm
from planning.models import PlannedSet, TallyEvent
from planning.selectors.lesson import called_by, noted_from, standing
from planning.selectors.tally import KINDS
from planning.selectors.tally_choices import Choices, not_read
from planning.services.events import is_late
from planning.tally_words import event_words
from workshops.models import House


@dataclass(frozen=True)
class Out:
    """A pack that is in a head, or came out unread, and the press that says what it shows."""

    use: PackUse
    form: PressForm


@dataclass(frozen=True)
class Head:
    """One light: what it did so far, and its presses."""

    use: HeadUse
    inside: PackUse | None
    flashes: PressForm
    pack_in: PressForm
    outs: tuple[Out, ...]


@dataclass(frozen=True)
class Person:
    use: PersonUse
    frames: PressForm


@dataclass(frozen=True)
class Note:
    """Something noted, as it can be taken back."""

    event: TallyEvent
    words: str


@dataclass(frozen=True)
class TakenBack:
    """Something noted that counts no more, and the entry that undid it."""

    event: TallyEvent
    counter: TallyEvent
    words: str


@dataclass(frozen=True)
class Tallying:
    """The page at one instant."""

    tally: SetTally
    is_early: bool  # before the day: nothing can be noted yet
    is_late: bool  # copied from paper: times have to be typed
    forms: dict[str, PressForm]  # those that stand once on the page, by what they do
    heads: tuple[Head, ...]
    people: tuple[Person, ...]
    noted: tuple[Note, ...]  # the newest first
    taken_back: tuple[TakenBack, ...]  # in the order they were taken back


def tallying(
    choices: Choices,
    tally: SetTally,
    *,
    house: House,
    say: Figures,
    now: datetime,
    pressed: PressForm | None = None,
) -> Tallying:
    """Return what the page shows; ``pressed`` is the form that was refused, in its place."""
    planned_set = choices.planned_set
    late = is_late(planned_set, now)
    page = _Page(choices, house, pressed, late=late)
    names = called_by(planned_set.workshop)
    uses = {head.light: head for head in tally.heads}
    return Tallying(
        tally=tally,
        is_early=now < noted_from(planned_set),
        is_late=late,
        forms={
            do: page.form(do) for do in ("began", "ended", "misfire", "gust", "sky", "near", "note")
        },
        heads=tuple(
            page.head(str(number), uses[light]) for number, light in enumerate(choices.lights)
        ),
        people=tuple(
            Person(use, page.form("frames", str(use.booking_id)))
            for use in tally.people
            if any(booking.pk == use.booking_id for booking in choices.bookings)
        ),
        noted=tuple(
            Note(event, event_words(event, say, names))
            for event in reversed(standing(planned_set.events.all(), *KINDS))
        ),
        taken_back=_taken_back(planned_set, say, names),
    )


def _taken_back(planned_set: PlannedSet, say: Figures, names: dict) -> tuple[TakenBack, ...]:
    events = {event.pk: event for event in planned_set.events.all()}
    counters = sorted(
        (event for event in events.values() if event.takes_back_id is not None),
        key=lambda event: event.pk,
    )
    pairs = ((events[counter.takes_back_id], counter) for counter in counters)
    return tuple(
        TakenBack(event, counter, event_words(event, say, names)) for event, counter in pairs
    )


def press_form(choices: Choices, house: House, data) -> PressForm:
    """Return the form that was pressed. Raises ValidationError for none of the page's."""
    form = FORMS.get(data.get("do", ""))
    if form is None:
        raise not_read()
    return form(data, choices=choices, house=house, key=data.get("key", ""))


class _Page:
    """The forms of the page, the refused one among them."""

    def __init__(self, choices: Choices, house: House, pressed: PressForm | None, *, late: bool):
        self.choices, self.house, self.pressed, self.late = choices, house, pressed, late

    def form(self, do: str, key: str = "", **more) -> PressForm:
        if self.pressed is not None and (self.pressed.do, self.pressed.key) == (do, key):
            form = self.pressed
        else:
            form = FORMS[do](choices=self.choices, house=self.house, key=key, **more)
        if self.late and do in ("began", "ended"):
            form.fields["at"].help_text = _("On the clock of the place, as it was written down.")
        elif self.late:
            words = _("On the clock of the place. Empty: when the set was to end.")
            form.fields["at"].help_text = words
        return form

    def head(self, key: str, use: HeadUse) -> Head:
        here = {unit.pk for unit in self.choices.packs}
        unread = [
            pack
            for pack in use.packs
            if pack.unit_id in here and (pack.out_at is None or pack.out_share is None)
        ]
        inside = next((pack for pack in use.packs if pack.out_at is None), None)
        return Head(
            use=use,
            inside=inside,
            flashes=self.form("flashes", key),
            pack_in=self.form("in", key, has_pack=inside is not None),
            outs=tuple(Out(pack, self.form("out", f"{key}-{pack.unit_id}")) for pack in unread),
        )

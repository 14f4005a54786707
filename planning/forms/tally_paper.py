"""A whole tally sheet typed in: its boxes in their order on the paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import uuid4

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.after.results import SetTally
from planning.forms.readings import TENTHS
from planning.forms.tally import MOST
from planning.forms.tally_fields import ChargeField, ClockField, GustField, PickField
from planning.models import Reading, TallyEvent
from planning.selectors.lesson import station_names
from planning.selectors.tally_choices import Choices
from planning.sheets.tally import SWAP_BOXES, cause_letter
from planning.tally_words import sky_words
from workshops import marks
from workshops.forms.figures import CountField
from workshops.models import House, Sky
from workshops.models.fields import PowerField, TypedNumber

MOST_ON_A_COUNTER = 9_999_999
WORDS = (
    ("changed", gettext_lazy("Changed from the plan")),
    ("faults", gettext_lazy("Faults, losses")),
    ("near", gettext_lazy("Near misses")),
    ("missed", gettext_lazy("Who missed a turn, and gets it when")),
)


@dataclass(frozen=True)
class Row:
    """One row of the paper: whose it is, and its boxes line by line."""

    name: str
    key: str
    groups: tuple[tuple[str, ...], ...]  # names of fields


class PaperForm(forms.Form):
    """One press notes all of it or nothing; ``key`` makes a second press the same paper."""

    key = forms.UUIDField(widget=forms.HiddenInput)
    began_at = ClockField(label=gettext_lazy("Began at"))
    ended_at = ClockField(label=gettext_lazy("Ended at"))
    base_at = ClockField(label=gettext_lazy("Base metered at"))
    base_tenths = forms.TypedChoiceField(
        label=gettext_lazy("and tenths"), choices=TENTHS, coerce=int, required=False, empty_value=0
    )
    recipe_at = ClockField(label=gettext_lazy("Recipe locked at"))
    gust_m_s = GustField(label=gettext_lazy("Strongest gust (m/s)"), required=False)
    sky = forms.ChoiceField(label=gettext_lazy("Sky"), required=False)

    def __init__(self, *args, choices: Choices, tally: SetTally, house: House, **kwargs):
        super().__init__(*args, **kwargs)
        self.choices, self.tally = choices, tally
        self.initial.setdefault("key", uuid4())
        self._marks()
        self.fields["gust_m_s"].type_in(imperial=house.units == House.Units.IMPERIAL)
        self.fields["sky"].choices = [("", "—"), *((one, sky_words(one)) for one in Sky.values)]
        self.people = tuple(self._person(booking) for booking in choices.bookings)
        self.heads = tuple(self._head(number) for number in range(len(choices.lights)))
        for name, label in WORDS:
            self.fields[name] = forms.CharField(
                label=label, max_length=500, required=False, widget=forms.Textarea({"rows": 2})
            )
        for field in self.fields.values():
            if isinstance(field, ClockField):
                field.planned_set = choices.planned_set
            if not field.widget.is_hidden:
                field.widget.attrs["autocomplete"] = "off"

    def _marks(self) -> None:
        """Add the fields of the meter and of the recipe, read as cameras show them."""
        for name, label, field in (
            ("base_f", _("Meter read f/"), Reading._meta.get_field("f_mark")),
            ("base_shutter", _("at shutter"), Reading._meta.get_field("shutter_s")),
            ("base_iso", _("at ISO"), Reading._meta.get_field("iso")),
            ("recipe_f", _("f/"), TallyEvent._meta.get_field("f_number")),
            ("recipe_shutter", _("Shutter"), TallyEvent._meta.get_field("shutter_s")),
            ("recipe_iso", _("ISO"), TallyEvent._meta.get_field("iso")),
        ):
            self.fields[name] = field.formfield(
                label=label, required=False, help_text="", initial=None
            )

    def _person(self, booking) -> Row:
        turns, pk = [], booking.pk
        stations = station_names(self.choices.planned_set) or ("",)
        for round_ in range(1, self.choices.planned_set.rounds + 1):
            for place, station in enumerate(stations):
                label = _("Turn at")
                if station:
                    label = _("%(station)s, turn at") % {"station": station}
                if round_ > 1:
                    label = _("Round %(round)d: %(what)s") % {"round": round_, "what": label}
                turns.append(self._add(f"turn_{pk}_{round_}_{place}", ClockField(label=label)))
        self._add(f"frames_{pk}", _count(_("Frames")))
        self._add(
            f"best_{pk}", forms.CharField(label=_("Best frame"), max_length=100, required=False)
        )
        self._add(f"misfires_{pk}", _count(_("Did not fire"), most=50))
        causes = [
            (cause, f"{cause_letter(number)} {label}")
            for number, (cause, label) in enumerate(TallyEvent.Cause.choices)
        ]
        self._add(
            f"cause_{pk}",
            forms.ChoiceField(label=_("why"), choices=[("", "—"), *causes], required=False),
        )
        trigger = self._pick(f"trigger_{pk}", _("with trigger"))
        trigger.offer({one: one.tag for one in self.choices.triggers})
        names = (*turns, f"frames_{pk}", f"best_{pk}")
        fired = (f"misfires_{pk}", f"cause_{pk}", f"trigger_{pk}")
        return Row(self.choices.bookings[booking], str(pk), ((*names, *fired),))

    def _head(self, n: int) -> Row:
        light = self.choices.light(str(n))
        self._add(
            f"power_{n}",
            TypedNumber(
                label=_("Power used"), parse=marks.power, show=PowerField.show,
                sample=PowerField.sample, required=False,
            ),
        )  # fmt: skip
        self._add(f"start_{n}", _count(_("Counter at start"), most=MOST_ON_A_COUNTER))
        self._add(f"end_{n}", _count(_("Counter at end"), most=MOST_ON_A_COUNTER))
        self._pick(f"pack_{n}", _("First pack")).offer(self.choices.packs_for(light))
        self._add(f"in_{n}", ChargeField(label=_("it shows")))
        groups = [(f"power_{n}", f"start_{n}", f"end_{n}", f"pack_{n}", f"in_{n}")]
        for c in range(SWAP_BOXES):
            number = {"number": c + 1}
            self._add(f"at_{n}_{c}", ClockField(label=_("Change %(number)d at") % number))
            self._add(f"old_{n}_{c}", ChargeField(label=_("the old one shows")))
            self._pick(f"pack_{n}_{c}", _("new pack")).offer(self.choices.packs_for(light))
            self._add(f"in_{n}_{c}", ChargeField(label=_("it shows")))
            groups.append((f"at_{n}_{c}", f"old_{n}_{c}", f"pack_{n}_{c}", f"in_{n}_{c}"))
        self._add(f"out_{n}", ChargeField(label=_("Last pack, at end")))
        groups.append((f"out_{n}",))
        return Row(light, str(n), tuple(groups))

    def _add(self, name: str, field: forms.Field) -> str:
        self.fields[name] = field
        return name

    def _pick(self, name: str, label: str) -> PickField:
        self.fields[name] = PickField(label=label, required=False)
        return self.fields[name]

    def clean(self):
        cleaned = super().clean()
        self._clean_whole(("base_f", "base_shutter"), _("Meter: enter f/ and shutter."))
        recipe = _("Recipe: enter f/, shutter and ISO.")
        self._clean_whole(("recipe_f", "recipe_shutter", "recipe_iso"), recipe)
        powers = [n for n in range(len(self.heads)) if cleaned.get(f"power_{n}")]
        if powers and not cleaned.get("recipe_f") and "recipe_f" not in self.errors:
            self.add_error("recipe_f", recipe)
        for row in self.people:
            names = (f"misfires_{row.key}", f"cause_{row.key}")
            self._clean_whole(names, _("Did not fire: enter how often, and why."))
        for n in range(len(self.heads)):
            self._clean_head(n)
        return cleaned

    def _clean_head(self, n: int) -> None:
        self._clean_whole(
            (f"start_{n}", f"end_{n}"), _("Counter: enter it at start, 0 if it was set back.")
        )
        start, end = (self.cleaned_data.get(f"{name}_{n}") for name in ("start", "end"))
        if start is not None and end is not None and not 0 <= end - start <= MOST:
            self.add_error(f"end_{n}", _("Counter: enter no less than at the start."))
        if self.cleaned_data.get(f"in_{n}") and not self.cleaned_data.get(f"pack_{n}"):
            self._fault(f"pack_{n}", _("Pack: choose it by its tag."))
        for c in range(SWAP_BOXES):
            typed = [self.cleaned_data.get(f"{name}_{n}_{c}") for name in ("at", "old", "in")]
            if self.cleaned_data.get(f"pack_{n}_{c}"):
                if typed[0] is None:
                    self._fault(f"at_{n}_{c}", _("Changed at: enter the time."))
            elif any(one is not None for one in typed):
                self._fault(f"pack_{n}_{c}", _("New pack: choose it by its tag."))

    def _clean_whole(self, names: tuple[str, ...], sentence: str) -> None:
        """Ask for the boxes that are empty beside one that is filled."""
        lacking = [name for name in names if self.cleaned_data.get(name) in (None, "")]
        if len(lacking) < len(names):
            for name in lacking:
                self._fault(name, sentence)

    def _fault(self, name: str, sentence: str) -> None:
        if name not in self.errors:
            self.add_error(name, sentence)

    def people_turns(self, key: str) -> list[str]:
        """Return the names of the boxes of somebody's turns."""
        return [name for name in self.fields if name.startswith(f"turn_{key}_")]

    def noted(self) -> Iterator[str]:
        """Yield the names of boxes that are noted already, and need no typing."""
        of = {"began_at": self.tally.began_at, "ended_at": self.tally.ended_at}
        yield from (name for name, at in of.items() if at is not None)
        given = {person.booking_id: person.turns for person in self.tally.people}
        for row in self.people:
            turns = self.people_turns(row.key)
            if len(turns) == 1 and given.get(int(row.key)):
                yield turns[0]


def _count(label: str, most: int = MOST) -> CountField:
    return CountField(label=label, min_value=0, max_value=most, required=False)

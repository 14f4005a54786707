"""What would happen with each row of a list."""

import hashlib
from collections import Counter
from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from workshops.models.base import Within
from workshops.typed import NotUnderstood

REFUSED, ASKS, NEW, CHANGED, SAME = KINDS = ("refused", "asks", "new", "changed", "same")
WORDS = {
    REFUSED: _("refused"),
    ASKS: _("to be answered"),
    NEW: _("new"),
    CHANGED: _("changed"),
    SAME: _("nothing would change"),
}


@dataclass(eq=False)
class Outcome:
    """One row: what it is about, what would happen and why it is refused, in words.

    ``records`` are to be saved as they are, in this order; ``subject`` is what it is about.
    """

    row: int
    who: str
    kind: str = SAME
    says: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    choices: list[tuple[str, str]] = field(default_factory=list)
    answer: str = ""
    records: list = field(default_factory=list)
    subject: object = None
    place: str = ""  # where the page is that helps
    books: bool = False
    seat: int | None = None  # the number of its record; None is a place on the waitlist
    camera: object = None  # the body on the day, for who is booked

    def refuse(self, sentence: str) -> None:
        self.kind = REFUSED
        self.faults.append(sentence)

    def ask(self, sentence: str, choices: list[tuple[str, str]]) -> None:
        if self.kind != REFUSED:
            self.kind = ASKS
        self.faults.append(sentence)
        self.choices = choices

    def becomes(self, kind: str) -> None:
        """Be new or changed, unless something stronger is known."""
        if KINDS.index(kind) < KINDS.index(self.kind):
            self.kind = kind

    @property
    def words(self) -> str:
        return str(WORDS[self.kind])


@dataclass(frozen=True)
class Plan:
    """All rows of a list; ``faults`` are about the file as a whole."""

    outcomes: tuple[Outcome, ...]
    faults: tuple[str, ...] = ()

    @property
    def counts(self) -> dict[str, int]:
        found = Counter(one.kind for one in self.outcomes)
        return {kind: found[kind] for kind in KINDS}

    @property
    def ready(self) -> bool:
        """Whether the list may be imported: nothing refused, nothing left to answer."""
        return not self.faults and not any(one.kind in (REFUSED, ASKS) for one in self.outcomes)

    @property
    def changes(self) -> bool:
        return any(one.kind in (NEW, CHANGED) for one in self.outcomes)

    @property
    def mark(self) -> str:
        """A text that is the same as long as the same would happen."""
        told = repr([(one.row, one.kind, one.who, one.says, one.faults) for one in self.outcomes])
        return hashlib.sha256(told.encode()).hexdigest()[:32]

    def in_order(self) -> list[Outcome]:
        """Return the rows, refused and open ones first, else as in the file."""
        return sorted(self.outcomes, key=lambda one: min(KINDS.index(one.kind), 2))


def said(fault: NotUnderstood) -> str:
    """Return why a text was not understood, in the reader's language."""
    return gettext(fault.message) % fault.figures if fault.figures else gettext(fault.message)


def faults_of(record, names: set[str]) -> list[str]:
    """Return what is wrong with some fields of a record, without asking the database."""
    sentences = []
    fields = {field.name: field for field in record._meta.concrete_fields}
    try:
        record.clean_fields(exclude=set(fields) - names)
    except ValidationError as fault:
        for name, words in fault.message_dict.items():
            label = str(fields[name].verbose_name)
            sentences += [
                one if one.startswith(label) else f"{label.capitalize()}: {one}" for one in words
            ]
    for limit in record._meta.constraints:
        if not isinstance(limit, Within) or limit.field not in names:
            continue
        value = getattr(record, limit.field)
        low, high = limit.low, limit.high
        if value is not None and not (
            (low is None or value >= low) and (high is None or value <= high)
        ):
            sentences.append(limit.sentence(type(record)).capitalize())
    return sentences

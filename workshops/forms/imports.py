"""Forms of a list brought in: the file, how it is read, who a namesake is."""

from django import forms
from django.utils import formats
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from workshops.forms.figures import RecordChoiceField
from workshops.lists.dates import DAY_FIRST, MONTH_FIRST, YEAR_FIRST
from workshops.lists.decoding import ENCODINGS, Letters
from workshops.lists.outcome import Outcome
from workshops.lists.preview import Preview, label
from workshops.lists.reading import DELIMITERS, MOST_BYTES
from workshops.models import ImportFile, Workshop
from workshops.services.waitlist import BOOKABLE

DELIMITER_WORDS = {",": _("comma ,"), ";": _("semicolon ;"), "\t": _("tab"), "|": _("bar |")}
ORDER_WORDS = {
    DAY_FIRST: _("day first: 25/12/2008"),
    MONTH_FIRST: _("month first: 12/25/2008"),
    YEAR_FIRST: _("year first: 08/12/25"),
}
ENCODING_WORDS = {
    "utf-8": _("UTF-8"),
    "utf-8-sig": _("UTF-8 with a mark"),
    "utf-16": _("UTF-16"),
    "utf-16-le": _("UTF-16, little endian"),
    "utf-16-be": _("UTF-16, big endian"),
    "utf-32": _("UTF-32"),
    "cp1252": _("Windows, western Europe"),
    "iso8859-1": _("Latin 1"),
    "mac-roman": _("old Macintosh"),
    "cp850": _("DOS, western Europe"),
    "cp1250": _("Windows, central Europe"),
}


class FileForm(forms.Form):
    """The file, and for attendees the workshop they are booked at."""

    file = forms.FileField(
        label=_("CSV file"),
        help_text=_("At most 5 MB and 5,000 rows, saved from any spreadsheet as CSV."),
        error_messages={
            "required": _("Choose the file first."),
            "empty": _("The file is empty: bring in one with headings and rows."),
        },
    )
    workshop = RecordChoiceField(
        Workshop.objects.none(),
        label=_("Also book each of them at"),
        required=False,
        empty_label=_("no workshop"),
    )

    def __init__(self, *args, kind: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["file"].widget.attrs["accept"] = ".csv,.txt,.tsv,text/csv,text/plain"
        if kind == ImportFile.Kind.KIT:
            del self.fields["workshop"]
        else:
            rows = Workshop.objects.filter(status__in=BOOKABLE).order_by("start_at", "pk")
            self.fields["workshop"].queryset = rows

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError(
                _("The file has more than 5 MB: bring it in in parts, each with its headings.")
            )
        return file


class ReadingForm(forms.Form):
    """How a file is read: what was guessed is chosen already, for the reader to confirm."""

    encoding = forms.ChoiceField(label=_("Letters with accents"))
    delimiter = forms.ChoiceField(label=_("Between the cells stands"))
    order = forms.ChoiceField(label=_("Dates are written"), required=False)

    def __init__(self, *args, shown: Preview, **kwargs):
        initial = {"encoding": shown.encoding, "delimiter": shown.delimiter, "order": shown.order}
        super().__init__(*args, initial=initial, **kwargs)
        self.shown = shown
        self.fields["encoding"].choices = self._encodings()
        if shown.delimiters:
            self.fields["delimiter"].choices = [(one, DELIMITER_WORDS[one]) for one in DELIMITERS]
        else:
            del self.fields["delimiter"]
        if shown.orders:
            self.fields["order"].choices = self._orders()
        else:
            del self.fields["order"]
        named = sorted((label(shown.file.kind, one), one) for one in shown.headings.fields)
        choices = [("", _("not read")), *((name, words) for words, name in named)]
        for place, heading in enumerate(shown.header):
            self.fields[f"column-{place}"] = forms.ChoiceField(
                label=heading or _("no heading"),
                choices=choices,
                required=False,
                initial=shown.columns[place] if place < len(shown.columns) else "",
            )
        for name in shown.open:
            self.fields[name].help_text = _("Not certain: look, then confirm.")

    def _encodings(self) -> list[tuple[str, str]]:
        guessed = list(self.shown.encodings.choices) if self.shown.encodings else []
        there = {one.encoding for one in guessed}
        guessed += [Letters(one) for one in ENCODINGS if one not in there]
        return [(one.encoding, _letters(one)) for one in guessed]

    @property
    def looks(self) -> list[tuple[str, str]]:
        """How the words with accents look in each encoding, where that is asked."""
        guessed = self.shown.encodings.choices if self.shown.encodings else ()
        samples = [(ENCODING_WORDS[one.encoding], ", ".join(one.sample)) for one in guessed]
        return samples if "encoding" in self.shown.open else []

    def _orders(self) -> list[tuple[str, str]]:
        """Return the orders of a date, with what they make of one that tells them apart."""
        choices, orders = [], self.shown.orders
        for one, words in ORDER_WORDS.items():
            read = orders.reads.get(one)
            if read:
                told = {"words": words, "typed": orders.sample, "day": formats.date_format(read)}
                words = gettext("%(words)s; %(typed)s is %(day)s") % told
            choices.append((one, words))
        return choices

    @property
    def asked(self) -> list[forms.BoundField]:
        """The questions about the whole file."""
        return [self[name] for name in self.fields if not name.startswith("column-")]

    @property
    def columns(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name.startswith("column-")]

    def told(self) -> dict:
        """Return what is kept of the answers.

        Other letters or another delimiter make other columns: then the headings decide anew.
        """
        given = self.cleaned_data
        told = {name: given[name] for name in ("encoding", "delimiter", "order") if name in given}
        same = all(given[name] == getattr(self.shown, name) for name in told if name != "order")
        columns = [given[name] for name in self.fields if name.startswith("column-")]
        told["columns"] = columns if same else None
        return told


def _letters(one: Letters) -> str:
    name = str(ENCODING_WORDS.get(one.encoding, one.encoding))
    if not one.sample:
        return name
    told = {"name": name, "sample": ", ".join(word[:30] for word in one.sample)}
    return gettext("%(name)s: %(sample)s") % told


def answers(posted, outcomes: list[Outcome]) -> dict[str, str]:
    """Return who the namesakes are, by row, from what was posted; only what was offered counts."""
    found = {}
    for one in outcomes:
        chosen = posted.get(f"answer-{one.row}", "")
        if chosen in dict(one.choices):
            found[str(one.row)] = chosen
    return found

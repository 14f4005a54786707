"""What the cells of one person say, field by field."""

from collections.abc import Callable
from datetime import date
from functools import cache, partial
from typing import Any

from django.conf.locale import LANG_INFO
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

from workshops import marks
from workshops.lists import cells
from workshops.lists.dates import read_date
from workshops.lists.headings import folded
from workshops.lists.spoken import choice_words
from workshops.models import CameraBody, Person
from workshops.typed import NotUnderstood

CAMERA = (
    "firmware", "sync_s", "sync_known", "fastest_shutter_s", "lowest_iso", "sensor_width_mm",
    "sensor_height_mm", "shoe", "centre_contact", "pc_socket", "leaf_shutter",
    "electronic_only", "flash_system",
)  # fmt: skip
PERSON = (
    "name", "email", "phone", "birth_date", "under_age", "guardian_name", "guardian_phone",
    "emergency_name", "emergency_phone", "language", "experience", "goal", "equipment",
    "own_trigger", "swims", "dietary", "access_needs", "photo_consent", "notes",
)  # fmt: skip
LINES = ("notes", "experience", "access_needs", "equipment")  # keep their line ends
_LABELS = {
    "number": _("Record number"),
    "first_name": _("First name"),
    "last_name": _("Last name"),
    "camera": _("Camera"),
}
Consent, Shoe = Person.Consent, CameraBody.Shoe
_SHOES = {
    "yes": Shoe.STANDARD, "si": Shoe.STANDARD, "estandar": Shoe.STANDARD,
    "adapter": Shoe.OTHER, "adaptador": Shoe.OTHER, "otra": Shoe.OTHER,
    "no": Shoe.NONE, "ninguna": Shoe.NONE,
}  # fmt: skip


def label(field: str) -> str:
    """Return a field's name as the pages call it."""
    if field in _LABELS:
        return gettext(_LABELS[field])
    model = CameraBody if field in CAMERA else Person
    words = str(model._meta.get_field(field).verbose_name)
    return words[:1].upper() + words[1:]


def values(row: dict[str, str], order: str, today: date) -> tuple[dict[str, Any], dict[str, str]]:
    """Return what a row says by field, and by field why a cell was not understood.

    An empty cell says nothing.
    """
    read = _readers(order, today)
    found, faults = {}, {}
    for field, cell in row.items():
        text = cells.cleaned(cell, lines=field in LINES)
        if not text:
            continue
        try:
            found[field] = read[field](text) if field in read else text
        except NotUnderstood as fault:
            faults[field] = fault
    return found, faults


def _readers(order: str, today: date) -> dict[str, Callable[[str], Any]]:
    yes_no = ("under_age", "centre_contact", "pc_socket", "leaf_shutter", "electronic_only")
    return {
        "number": _record_number,
        "email": lambda text: text.removeprefix("mailto:").removeprefix("MAILTO:"),
        **dict.fromkeys(("phone", "guardian_phone", "emergency_phone"), cells.phone),
        "birth_date": partial(read_date, order=order, today=today),
        **dict.fromkeys((*yes_no, "sync_known"), cells.yes_or_no),
        **dict.fromkeys(("photo_consent", "swims"), _consent),
        "language": language_code,
        "shoe": _shoe,
        **dict.fromkeys(("sync_s", "fastest_shutter_s"), marks.shutter_s),
        "lowest_iso": marks.iso,
        **dict.fromkeys(("sensor_width_mm", "sensor_height_mm"), cells.number),
    }


def _record_number(text: str) -> int:
    if text.isascii() and text.isdigit() and len(text) < 19:
        return int(text)
    raise NotUnderstood(_("%(typed)s is no record number: empty the cell"), typed=text[:40])


def _consent(text: str) -> str:
    if known := _words(Consent).get(folded(text)):
        return known
    return Consent.YES if cells.yes_or_no(text) else Consent.NO


def _shoe(text: str) -> str:
    if shoe := _words(Shoe).get(folded(text), _SHOES.get(folded(text))):
        return shoe
    raise NotUnderstood(
        _("%(typed)s is no kind of hot shoe: write standard, other or none"), typed=text[:40]
    )


@cache
def _words(choices) -> dict[str, str]:
    return choice_words(choices)


@cache
def _languages() -> dict[str, str]:
    spoken = {folded(code): code for code in LANG_INFO}
    for code, told in LANG_INFO.items():
        for words in (told.get("name"), told.get("name_local")):
            if words:
                spoken.setdefault(folded(words), code)
    # The other names the two languages of the pages go by.
    return spoken | {"ingles": "en", "espanol": "es", "castellano": "es", "castilian": "es"}


def language_code(text: str) -> str:
    """Return the code of a language given by code or name. Raises NotUnderstood for neither."""
    words = folded(text)
    if code := _languages().get(words) or _languages().get(words.partition(" ")[0]):
        return code
    raise NotUnderstood(
        _("%(typed)s is no language we know: write its code, such as en or es"), typed=text[:40]
    )

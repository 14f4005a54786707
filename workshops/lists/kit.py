"""A kit list: what would happen with each row, and nothing of it yet."""

import math
from datetime import date
from functools import cache
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from workshops import marks
from workshops.lists import cells
from workshops.lists.headings import folded
from workshops.lists.outcome import CHANGED, NEW, Outcome, Plan, faults_of, said
from workshops.lists.spoken import choice_words
from workshops.models import KitKind, KitUnit
from workshops.typed import NotUnderstood

Category, State = KitKind.Category, KitUnit.State
KIND = ("mass_kg", "maker_text")
UNIT = (
    "serial", "state", "health_share", "cycles", "flashes_at_full", "sync_penalty_stops",
    "channel", "incident_constant", "reflected_constant", "notes",
)  # fmt: skip
NUMBERS = (
    "mass_kg", "flashes_at_full", "incident_constant", "reflected_constant",
)  # fmt: skip
_LABELS = {
    "category": gettext_noop("Category"),
    "kind": gettext_noop("Kind"),
    "notes": gettext_noop("Notes"),
}
# The words of the two languages of the pages, beside the names the records use.
_CATEGORIES = {
    "flash": "strobe", "strobes": "strobe", "light": "strobe", "head": "strobe", "cabeza": "strobe",
    "disparador": "trigger", "triggers": "trigger", "modificador": "modifier",
    "modifiers": "modifier", "softbox": "modifier", "pie": "stand", "tripode": "stand",
    "stands": "stand", "light stand": "stand", "lastre": "ballast", "sandbag": "ballast",
    "saco": "ballast", "bateria": "battery", "batteries": "battery", "cargador": "charger",
    "chargers": "charger", "fotometro": "meter", "light meter": "meter", "filter": "nd filter",
    "nd": "nd filter", "filtro nd": "nd filter", "gelatina": "gel", "gels": "gel",
    "cable": "tether", "otro": "other", "otros": "other", "misc": "other",
}  # fmt: skip
_STATES = {
    "listo": "ready", "ok": "ready", "good": "ready", "lista": "ready", "fuera": "out",
    "faulty": "fault", "broken": "fault", "averiado": "fault", "averia": "fault", "roto": "fault",
    "retirado": "retired", "retirada": "retired",
}  # fmt: skip


def label(field: str) -> str:
    """Return a field's name as the pages call it."""
    if field in _LABELS:
        return _(_LABELS[field])
    words = str((KitKind if field in KIND else KitUnit)._meta.get_field(field).verbose_name)
    return words[:1].upper() + words[1:]


class KitPlan:
    """Goes through the rows in order."""

    def __init__(self, *, today: date, now=None, **_rest):
        units = KitUnit.objects.select_related("kind").order_by("pk")
        self.kinds = {one.name.casefold(): one for one in KitKind.objects.order_by("pk")}
        self.units = {one.tag.casefold(): one for one in units}
        self.rows_by_tag: dict[str, int] = {}

    def plan(self, rows: list[tuple[int, dict[str, str]]]) -> Plan:
        """Return what would happen with rows given by number, each a text by field."""
        return Plan(tuple(self.outcome(number, row) for number, row in rows))

    def outcome(self, number: int, row: dict[str, str]) -> Outcome:
        """Return what would happen with one row."""
        given, outcome = {}, Outcome(number, "")
        for field, cell in row.items():
            if not (text := cells.cleaned(cell, lines=field == "notes")):
                continue
            try:
                given[field] = _read(field, text)
            except NotUnderstood as fault:
                outcome.refuse(f"{label(field)}: {said(fault)}.")
        outcome.who = " ".join(given[one] for one in ("kind", "tag") if one in given)
        unit = self.units.get(given.get("tag", "").casefold())
        kind = self._kind(outcome, given, unit)
        if kind is not None:
            self._unit(outcome, kind, unit, given)
        return outcome

    def _kind(self, outcome: Outcome, given: dict, unit: KitUnit | None) -> KitKind | None:
        """Return the kind of a row, new or known, None where it is refused."""
        name = given.get("kind", unit.kind.name if unit else "")
        if not name:
            outcome.refuse(_("Kind: enter what it is; no unit has that tag."))
            return None
        kind, category = self.kinds.get(name.casefold()), given.get("category")
        if kind is None:
            return self._new_kind(outcome, name, category, given)
        if category and category != kind.category:
            sentence = _("Category: %(kind)s is filed under %(category)s: correct it or empty it.")
            told = {"kind": kind, "category": kind.get_category_display()}
            outcome.refuse(sentence % told)
            return None
        changed = {one for one in KIND if one in given and _differs(kind, one, given[one])}
        if category == Category.STAND and given.get("mass_kg") == 0:
            outcome.refuse(_("Mass: enter what the stand weighs; its weight is what holds it."))
        self._set(outcome, kind, changed, given, new=False)
        return kind

    def _new_kind(
        self, outcome: Outcome, name: str, category: str | None, given: dict
    ) -> KitKind | None:
        if category not in KitKind.PLAIN:
            outcome.place = reverse("kind-new")
            if category is None:
                sentence = _(
                    "Kind: %(name)s is not on the shelf: give its category, in a column “Category”."
                )
                told = {"name": name[:60]}
            else:
                sentence = _(
                    "Kind: %(name)s is not on the shelf. A %(category)s has figures the plans "
                    "count with: enter it under Kit, Add a kind, then bring the list in again."
                )
                told = {"name": name[:60], "category": Category(category).label}
            outcome.refuse(sentence % told)
            return None
        kind = KitKind(name=name, category=category)
        outcome.says.append(_("a new kind of kit"))
        self.kinds[name.casefold()] = kind
        self._set(outcome, kind, {one for one in KIND if one in given}, given, new=True)
        for sentence in faults_of(kind, {"name"}):
            outcome.refuse(sentence)
        return kind

    def _unit(self, outcome: Outcome, kind: KitKind, unit: KitUnit | None, given: dict) -> None:
        tag = given.get("tag")
        if not tag:
            if found := [one for one in UNIT if one in given and one != "notes"]:
                sentence = _("Asset tag: enter it, or empty “%(field)s”: it is about one unit.")
                outcome.refuse(sentence % {"field": label(found[0])})
            return
        above = self.rows_by_tag.setdefault(tag.casefold(), outcome.row)
        if above != outcome.row:
            sentence = _("Asset tag: %(tag)s stands in row %(row)d already: give it another.")
            outcome.refuse(sentence % {"tag": tag, "row": above})
            return
        if unit and unit.kind_id != kind.pk:
            sentence = _("Asset tag: %(tag)s is a %(kind)s: correct the kind or the tag.")
            outcome.refuse(sentence % {"tag": unit.tag, "kind": unit.kind})
            return
        new = unit is None
        unit = unit or KitUnit(kind=kind, tag=tag)
        if new:
            outcome.says.append(_("a new unit"))
        changed = {one for one in UNIT if one in given and _differs(unit, one, given[one])}
        self._set(outcome, unit, changed | ({"tag"} if new else set()), given, new=new)
        if unit.state in (State.FAULT, State.RETIRED) and changed and not unit.notes:
            outcome.refuse(_("Notes: say what is wrong with it, or why it is retired."))
        outcome.subject = unit

    def _set(self, outcome: Outcome, record, changed: set[str], given: dict, *, new: bool) -> None:
        """Give a record what a row says of it, and check that."""
        for field in sorted(changed):
            if not new:
                told = {"field": label(field), "now": _shown(record, field, given[field])}
                told["was"] = _shown(record, field, getattr(record, field)) or "—"
                outcome.says.append(_("%(field)s: %(was)s → %(now)s") % told)
            setattr(record, field, given.get(field, getattr(record, field)))
        for sentence in faults_of(record, changed):
            outcome.refuse(sentence)
        if new or changed:
            outcome.becomes(NEW if new else CHANGED)
            outcome.records.append(record)


def _read(field: str, text: str) -> Any:
    if field == "category":
        return _one_of(text, Category, _CATEGORIES)
    if field == "state":
        return _one_of(text, State, _STATES)
    if field in NUMBERS:
        return cells.number(text)
    if field == "health_share":
        share = cells.number(text.removesuffix("%").strip())
        return share / 100 if text.endswith("%") else share
    if field == "cycles":
        count = cells.number(text)
        if count < 0 or count != int(count):
            raise NotUnderstood(gettext_noop("%(typed)s is no whole number"), typed=text)
        return int(count)
    if field == "sync_penalty_stops":
        return 0.0 if text in ("0", "0.0") else marks.number(text)
    return text


def _one_of(text: str, choices, more: dict[str, str]) -> str:
    words = folded(text)
    if found := _words(choices).get(words, more.get(words)):
        return found
    raise NotUnderstood(
        gettext_noop("%(typed)s is none of these: %(known)s"),
        typed=f"“{text[:40]}”",
        known=", ".join(str(one.label) for one in choices),
    )


@cache
def _words(choices) -> dict[str, str]:
    return choice_words(choices)


def _differs(record, field: str, new: Any) -> bool:
    old = getattr(record, field)
    if isinstance(old, float) and isinstance(new, float):
        return not math.isclose(old, new, rel_tol=1e-9)
    return old != new


def _shown(record, field: str, value: Any) -> str:
    about = record._meta.get_field(field)
    if value is None or value == "":
        return ""
    if about.choices:
        return str(dict(about.flatchoices).get(value, value))
    return (f"{value:g}" if isinstance(value, float) else str(value))[:60]

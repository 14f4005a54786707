"""A list of attendees: what would happen with each row, and nothing of it yet."""

import math
from collections import defaultdict
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext as _

from workshops.lists.headings import folded
from workshops.lists.outcome import CHANGED, NEW, Outcome, Plan, faults_of, said
from workshops.lists.person_values import CAMERA, PERSON, label, values
from workshops.lists.seats import Seats
from workshops.models import CameraBody, Person, Workshop
from workshops.models.base import in_zone
from workshops.typed import NotUnderstood

ASSUMED_SYNC_S = 2.0 ** (-22 / 3)  # 1/160: the slowest of usual bodies, common practice, no source
MARKS = {"sync_s": "1/200", "fastest_shutter_s": "1/4000", "lowest_iso": "100"}
SHOWN = 60  # characters of a value in a sentence


class People:
    """Everybody there is, and everybody the rows above brought, each found in one look."""

    def __init__(self):
        self.by_number: dict[int, Person] = {}
        self.by_email: dict[str, list[Person]] = defaultdict(list)
        self.by_name: dict[str, list[Person]] = defaultdict(list)
        for person in Person.objects.order_by("pk").prefetch_related("cameras"):
            self.by_number[person.pk] = person
            self.by_name[folded(person.name)].append(person)
            if person.email:
                self.by_email[person.email.casefold()].append(person)
        self.rows_by_email: dict[str, int] = {}
        self.rows_by_name: dict[str, list[tuple[int, str]]] = defaultdict(list)
        self.rows_by_person: dict[int, int] = {}


class PeoplePlan:
    """Goes through the rows in order. ``answers`` has by row who a namesake is."""

    def __init__(
        self,
        *,
        order: str,
        today: date,
        now: datetime,
        language: str,
        workshop: Workshop | None = None,
        answers: dict[str, str] | None = None,
    ):
        self.order, self.today, self.language = order, today, language
        self.answers = answers or {}
        self.known = People()
        self.seats = Seats(workshop, now) if workshop else None
        self.on = in_zone(workshop.start_at, workshop.timezone_name).date() if workshop else today

    def plan(self, rows: list[tuple[int, dict[str, str]]]) -> Plan:
        """Return what would happen with rows given by number, each a text by field."""
        faults = tuple(self.seats.faults) if self.seats else ()
        return Plan(tuple(self.outcome(number, row) for number, row in rows), faults)

    def outcome(self, number: int, row: dict[str, str]) -> Outcome:
        """Return what would happen with one row."""
        given, misread = values(row, self.order, self.today)
        named = given.pop("first_name", ""), given.pop("last_name", "")
        if not given.get("name") and any(named):
            given["name"] = " ".join(one for one in named if one)
        outcome = Outcome(number, given.get("name") or given.get("email") or "")
        for field, fault in misread.items():
            outcome.refuse(_misread(field, fault))
        person = self._who(outcome, given)
        if person is not None:
            self._person(outcome, person, given, misread)
            self._camera(outcome, person, given, misread)
            if self.seats and not outcome.faults:
                self.seats.take(outcome, person)
        self._remember(outcome, given)
        return outcome

    def _who(self, outcome: Outcome, given: dict[str, Any]) -> Person | None:
        """Return the person a row is about, new or known, None where that is refused or open."""
        email, name = given.get("email", "").casefold(), folded(given.get("name", ""))
        if email and (above := self.known.rows_by_email.get(email)):
            sentence = _("E-mail: %(email)s stands in row %(row)d already: keep one of the two.")
            outcome.refuse(sentence % {"email": given["email"][:SHOWN], "row": above})
            return None
        if "number" in given:
            return self._by_number(outcome, given, email, name)
        owners = self.known.by_email.get(email, []) if email else []
        if len(owners) > 1:
            sentence = _("E-mail: %(count)d people have %(email)s: make it one first (%(names)s).")
            told = {"count": len(owners), "email": given["email"], "names": _names(owners)}
            outcome.refuse(sentence % told)
            return None
        if owners:
            return self._once(outcome, owners[0])
        if not given.get("name"):
            outcome.refuse(_("Name: enter it; nobody known has this e-mail address."))
            return None
        return self._namesake(outcome, name, email)

    def _by_number(
        self, outcome: Outcome, given: dict[str, Any], email: str, name: str
    ) -> Person | None:
        person = self.known.by_number.get(given["number"])
        if person is None:
            sentence = _("Record number: there is nobody with %(number)d: empty the cell.")
            outcome.refuse(sentence % {"number": given["number"]})
        elif folded(person.name) != name and not (email and person.email.casefold() == email):
            sentence = _("Record number: %(number)d is %(person)s: correct it or empty the cell.")
            outcome.refuse(sentence % {"number": given["number"], "person": person})
        elif others := [one for one in self.known.by_email.get(email, ()) if one is not person]:
            sentence = _("E-mail: %(email)s belongs to %(names)s already: correct it.")
            outcome.refuse(sentence % {"email": given["email"], "names": _names(others)})
        else:
            return self._once(outcome, person)
        return None

    def _once(self, outcome: Outcome, person: Person) -> Person | None:
        if above := self.known.rows_by_person.get(person.pk):
            sentence = _("%(person)s stands in row %(row)d already: keep one of the two.")
            outcome.refuse(sentence % {"person": person, "row": above})
            return None
        self.known.rows_by_person[person.pk] = outcome.row
        outcome.who = outcome.who or person.name
        return person

    def _namesake(self, outcome: Outcome, name: str, email: str) -> Person | None:
        """Return a new person, or ask where somebody of that name is known."""
        known = self.known.by_name.get(name, [])
        # Two of one name with an address each are two people; without one it may be the same.
        above = [row for row, mail in self.known.rows_by_name.get(name, ()) if not (mail and email)]
        if not known and not above:
            return self._new(outcome)
        outcome.answer = self.answers.get(str(outcome.row), "")
        chosen = {str(one.pk): one for one in known}.get(outcome.answer)
        if chosen:
            return self._once(outcome, chosen)
        if outcome.answer == "new":
            return self._new(outcome)
        if known:
            _ask_of_known(outcome, known, above)
        else:
            told = {"name": outcome.who[:SHOWN], "row": above[0]}
            sentence = _(
                "Name: %(name)s stands in row %(row)d as well. If it is the same person, put "
                "both rows into one and bring the file in again."
            )
            outcome.ask(sentence % told, [("new", _("somebody else of the same name"))])
        return None

    def _new(self, outcome: Outcome) -> Person:
        outcome.becomes(NEW)
        outcome.says.append(_("a new person"))
        return Person(language=self.language)

    def _person(self, outcome: Outcome, person: Person, given: dict, misread: dict) -> None:
        new = person.pk is None
        changed = {field for field in PERSON if field in given and _differs(person, field, given)}
        for field in sorted(changed, key=PERSON.index):
            if not new:
                outcome.says.append(_change(person, field, given[field]))
            setattr(person, field, given[field])
        for sentence in faults_of(person, changed | {"name"} if new else changed):
            outcome.refuse(sentence)
        told = person.guardian_name and (person.guardian_phone or not self.seats)
        if person.is_under_age(self.on) and not told:
            outcome.refuse(_("Guardian: name the adult who comes along, with a phone; under 18."))
        outcome.subject = person
        if changed or new:
            outcome.becomes(CHANGED)
            outcome.records.append(person)

    def _camera(self, outcome: Outcome, person: Person, given: dict, misread: dict) -> None:
        figures = {field: given[field] for field in CAMERA if field in given}
        name = given.get("camera")
        owned = list(person.cameras.all()) if person.pk else []
        outcome.camera = min(owned, key=lambda one: one.pk, default=None)
        if not name:
            if figures and not misread:
                outcome.refuse(_("Camera: enter its make and model, or empty its other cells."))
            return
        camera = next((one for one in owned if folded(one.name) == folded(name)), None)
        new = camera is None
        if new:
            # The record of a new owner has no number yet; it is given when both are saved.
            camera = CameraBody(owner=person, name=name)
            told = _("camera %(camera)s") % {"camera": name[:SHOWN]}
            if "sync_s" not in given and "sync_s" not in misread:
                camera.sync_s, camera.sync_known = ASSUMED_SYNC_S, False
                told += " " + _("(sync speed not given: 1/160 is assumed, marked as not known)")
            outcome.says.append(told)
        outcome.camera = camera
        changed = {field for field in figures if _differs(camera, field, figures)}
        for field in sorted(changed):
            if not new:
                outcome.says.append(_change(camera, field, figures[field]))
            setattr(camera, field, figures[field])
        for sentence in faults_of(camera, {"name", "sync_s", *changed} if new else changed):
            if not ("sync_s" in misread and camera.sync_s is None):
                outcome.refuse(sentence)
        slowest = camera.sync_s if camera.sync_s is not None else math.inf
        if camera.fastest_shutter_s and camera.fastest_shutter_s > slowest * (1 + 1e-9):
            outcome.refuse(_("Fastest shutter: enter a time no slower than the flash sync speed."))
        if new or changed:
            outcome.becomes(CHANGED)
            outcome.records.append(camera)

    def _remember(self, outcome: Outcome, given: dict[str, Any]) -> None:
        email, name = given.get("email", "").casefold(), folded(given.get("name", ""))
        if email:
            self.known.rows_by_email.setdefault(email, outcome.row)
        if name:
            self.known.rows_by_name[name].append((outcome.row, email))


def _ask_of_known(outcome: Outcome, known: list[Person], above: list[int]) -> None:
    where = [str(one.email or one.phone or one) for one in known]
    where += [_("row %(row)d") % {"row": row} for row in above]
    told = {"name": outcome.who[:SHOWN], "where": ", ".join(where[:3])}
    choices = [(str(one.pk), _("the one known: %(who)s") % {"who": _told(one)}) for one in known]
    outcome.ask(
        _("Name: somebody is called %(name)s already (%(where)s). Is it the same?") % told,
        [("new", _("somebody new")), *choices],
    )


def _misread(field: str, fault: NotUnderstood) -> str:
    told = {"field": label(field), "why": said(fault), "sample": MARKS.get(field)}
    if field in MARKS:
        return _("%(field)s: %(why)s: enter it like %(sample)s.") % told
    return f"{told['field']}: {told['why']}."


def _differs(record, field: str, given: dict[str, Any]) -> bool:
    old, new = getattr(record, field), given[field]
    if isinstance(old, float) and isinstance(new, float):
        return not math.isclose(old, new, rel_tol=1e-9)
    if field == "email":
        return old.casefold() != new.casefold()
    return old != new


def _change(record, field: str, new: Any) -> str:
    """Return what would change, without the values that stay out of the audit too."""
    if field in record.audit_hides:
        return _("%(field)s changed") % {"field": label(field)}
    was, now = _shown(record, field, getattr(record, field)), _shown(record, field, new)
    told = {"field": label(field), "was": was or "—", "now": now}
    return _("%(field)s: %(was)s → %(now)s") % told


def _shown(record, field: str, value: Any) -> str:
    about = record._meta.get_field(field)
    if value is None or value == "":
        return ""
    if about.choices:
        return str(dict(about.flatchoices).get(value, value))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    show = getattr(about, "show", None) or ("{:g}".format if isinstance(value, float) else str)
    return show(value)[:SHOWN]


def _names(people: list[Person]) -> str:
    return ", ".join(one.name for one in people[:3])


def _told(person: Person) -> str:
    return ", ".join(one for one in (person.name, person.email or person.phone) if one)[:SHOWN]

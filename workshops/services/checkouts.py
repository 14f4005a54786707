"""Sign kit out to people, take it back, tag what is faulty."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import AlreadyOut, Refused
from workshops.models import (
    LIVE,
    Checkout,
    KitUnit,
    Person,
    Reservation,
    User,
    Workshop,
)
from workshops.models.base import in_zone
from workshops.models.closed import check_not_closed
from workshops.selectors.house import house
from workshops.services.again import again
from workshops.words import clock_text, date_text

State = KitUnit.State


@again
@transaction.atomic
def sign_out(
    *,
    by: User | None,
    unit: KitUnit,
    person: Person,
    workshop: Workshop,
    now: datetime,
    condition: str = "",
) -> Checkout:
    """Return the new check-out of a unit that is ready and on the workshop's kit list.

    Raises AlreadyOut for a unit somebody has, also the same person: a second press changes
    nothing. Raises Refused for one that is faulty, retired or not on the list, and for a person
    who has no part in the workshop; then nothing has changed.
    """
    made = sign_out_all(
        by=by, units=[unit], person=person, workshop=workshop, now=now, condition=condition
    )
    return made[0]


@again
@transaction.atomic
def sign_out_all(
    *,
    by: User | None,
    units: Iterable[KitUnit],
    person: Person,
    workshop: Workshop,
    now: datetime,
    condition: str = "",
) -> list[Checkout]:
    """Return the check-outs of several units to one person, all of them or none.

    Raises Refused as ``sign_out`` does, with a sentence for each unit that cannot go.
    """
    Workshop.objects.select_for_update().get(pk=workshop.pk)  # nobody closes it meanwhile
    check_not_closed(workshop.pk)
    _check_part(person, workshop)
    locked = _locked(unit.pk for unit in units)
    if not locked:
        raise Refused(_("Units: choose at least one."))
    if held := [_has_it(one) for unit in locked if (one := _open(unit))]:
        raise AlreadyOut(held)
    if against := [words for unit in locked if (words := _against(unit, workshop))]:
        raise Refused(against)
    return [
        _signed_out(by, unit, person, workshop, now=now, condition=condition) for unit in locked
    ]


def _signed_out(by, unit, person, workshop, *, now, condition) -> Checkout:
    unit.state = State.OUT
    audit.write(unit, by=by)
    made = Checkout(
        workshop=workshop, unit=unit, person=person, out_at=now, condition_out=condition
    )
    return audit.write(made, by=by)


@again
@transaction.atomic
def take_back(
    *,
    by: User | None,
    checkout: Checkout,
    now: datetime,
    condition: str = "",
    fault: bool = False,
    note: str = "",
) -> Checkout:
    """Return the check-out, closed; its unit is ready again, or faulty and off the free list.

    ``note`` says what is wrong and goes onto the unit. Raises Refused for a fault without words
    and for what is back already; then nothing has changed.
    """
    if fault and not note.strip():
        raise Refused({"note": _("What is wrong: say it in a few words, for whoever mends it.")})
    (unit,) = _locked([checkout.unit_id])
    checkout = Checkout.objects.select_for_update().get(pk=checkout.pk)
    if checkout.in_at is not None:
        told = {"unit": unit.tag, "when": _moment(checkout.in_at, checkout.workshop)}
        raise Refused(_("%(unit)s is back already, since %(when)s.") % told)
    checkout.in_at = now
    checkout.condition_in = condition or (note[:200] if fault else "")
    checkout.fault = checkout.fault or fault
    audit.write(checkout, by=by)
    if fault:
        _tag(unit, note, now)
    elif unit.state == State.OUT:  # one tagged meanwhile stays off the free list
        unit.state = State.READY
    audit.write(unit, by=by)
    return checkout


@again
@transaction.atomic
def take_back_all(*, by: User | None, checkouts: Iterable[Checkout], now: datetime) -> int:
    """Return how many units came back in order just now; what is back already is passed over."""
    rows = list(checkouts)
    _locked(row.unit_id for row in rows)
    still = Checkout.objects.filter(pk__in=[row.pk for row in rows], in_at=None).order_by("unit_id")
    return len([take_back(by=by, checkout=row, now=now) for row in still])


@again
@transaction.atomic
def hand_over(
    *, by: User | None, checkout: Checkout, person: Person, now: datetime, condition: str = ""
) -> Checkout:
    """Return the check-out to the next person: taken back and signed out in one go.

    Raises Refused as ``take_back`` and ``sign_out`` do; then the first person still has it.
    """
    back = take_back(by=by, checkout=checkout, now=now, condition=condition)
    return sign_out(
        by=by,
        unit=back.unit,
        person=person,
        workshop=back.workshop,
        now=now,
        condition=condition,
    )


@again
@transaction.atomic
def tag_fault(*, by: User | None, unit: KitUnit, note: str, now: datetime) -> KitUnit:
    """Return a unit off the free list, with words about what is wrong with it.

    Whoever has it still has it. Raises Refused without words, or for a retired unit.
    """
    if not note.strip():
        raise Refused({"note": _("What is wrong: say it in a few words, for whoever mends it.")})
    (unit,) = _locked([unit.pk])
    if unit.state == State.RETIRED:
        raise Refused(_("%(unit)s is retired.") % {"unit": unit.tag})
    for checkout in Checkout.objects.filter(unit=unit, in_at=None):
        checkout.fault = True
        audit.write(checkout, by=by)
    _tag(unit, note, now)
    return audit.write(unit, by=by)


@again
@transaction.atomic
def mend(*, by: User | None, unit: KitUnit, now: datetime, note: str = "") -> KitUnit:
    """Return a unit put back among the free ones: a fault mended, or one out with nobody.

    Raises Refused for one that somebody has, or that is ready or retired.
    """
    (unit,) = _locked([unit.pk])
    if unit.state not in (State.FAULT, State.OUT):
        told = {"unit": unit.tag, "state": unit.get_state_display()}
        raise Refused(_("%(unit)s has no fault to mend: its state is %(state)s.") % told)
    if somebody := _open(unit):
        raise Refused(_has_it(somebody) + " " + _("Take it back first."))
    unit.state = State.READY
    if note.strip():
        _add_words(unit, _("mended: %(words)s") % {"words": note.strip()}, now)
    return audit.write(unit, by=by)


def _locked(keys: Iterable[int]) -> list[KitUnit]:
    """Return the units, locked in the order of their numbers so that no two wait in a ring."""
    rows = KitUnit.objects.select_for_update(of=("self",)).filter(pk__in=list(keys))
    return list(rows.order_by("pk"))


def _check_part(person: Person, workshop: Workshop) -> None:
    booked = workshop.bookings.filter(state__in=LIVE, person=person).exists()
    if not booked and not workshop.roles.filter(person=person).exists():
        told = {"person": person, "workshop": workshop}
        raise Refused(
            {"person": _("%(person)s has no part in %(workshop)s: book a seat first.") % told}
        )


def _against(unit: KitUnit, workshop: Workshop) -> str:
    """Return why a unit nobody has cannot be signed out at a workshop; nothing when it can."""
    told = {"unit": unit.tag, "workshop": workshop}
    words = {
        State.FAULT: _("%(unit)s has a fault: take another until it is mended."),
        State.RETIRED: _("%(unit)s is retired: take another."),
        State.OUT: _("%(unit)s is marked as out, with nobody's name: the office clears that up."),
    }
    if unit.state in words:
        return words[unit.state] % told
    if Reservation.objects.filter(unit=unit, workshop=workshop).exists():
        return ""
    return _("%(unit)s is not on the kit list of %(workshop)s: it is added on its Kit page.") % told


def _open(unit: KitUnit) -> Checkout | None:
    rows = Checkout.objects.select_related("person", "workshop", "unit")
    return rows.filter(unit=unit, in_at=None).first()


def _has_it(checkout: Checkout) -> str:
    when = _moment(checkout.out_at, checkout.workshop)
    told = {"unit": checkout.unit.tag, "person": checkout.person, "when": when}
    return _("%(unit)s is out already: %(person)s has it since %(when)s.") % told


def _moment(at: datetime, workshop: Workshop) -> str:
    zone = workshop.timezone_name
    return f"{date_text(at, zone)}, {clock_text(at, zone, int(house().clock))}"


def _tag(unit: KitUnit, note: str, now: datetime) -> None:
    if unit.state != State.RETIRED:
        unit.state = State.FAULT
    _add_words(unit, note.strip(), now)


def _add_words(unit: KitUnit, words: str, now: datetime) -> None:
    """Put dated words below what the unit's notes say already."""
    line = f"{in_zone(now, house().timezone_name):%Y-%m-%d}: {words}"
    unit.notes = f"{unit.notes.rstrip()}\n{line}".strip()

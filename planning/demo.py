"""The demo's records, entered through the services as an office would, from fixtures/demo.toml."""

import secrets
import tomllib
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from django.apps import apps
from django.db import transaction
from django.db.models import F

from planning import demo_day
from planning.models import PlannedSet, TallyEvent, TeachingPoint
from planning.services.sets import save_set
from workshops import audit, models, money
from workshops.models.base import Record
from workshops.services import (
    accounts,
    bookings,
    house,
    kit,
    locations,
    payments,
    people,
    presence,
    reservations,
    workshops,
)
from workshops.services.records import save_record

DATA = Path(__file__).resolve().parent.parent / "fixtures" / "demo.toml"
ACCOUNTS = (  # e-mail, name, role; the first administers too
    ("office@example.org", "Office", "office"),
    ("ines@example.org", "Ines Varga", "instructor"),
    ("tomas@example.org", "Tomas Reed", "helper"),
)

Report = Callable[[str], None]


@transaction.atomic
def build(*, log_ins: Path, report: Report) -> None:
    """Enter everything, or nothing when interrupted; write the log-ins to a file beside.

    Raises Refused when a record of the demo breaks a rule.
    """
    data = tomllib.loads(DATA.read_text(encoding="utf-8"))
    office = _accounts(log_ins)
    house.save_house(by=office, now=data["now"], **data["house"])
    for terms in data["terms"]:
        house.add_terms(by=office, **terms)
    report("people and kit")
    for person in data["people"]:
        people.add_person(by=office, **person)
    _name_accounts(office)
    for kind in data["kinds"]:
        _kind(office, kind)
    for reading in data["guide_numbers"]:
        _guide_number(office, reading)
    for point in data["points"]:
        _point(office, point)
    report("places, tides and forecasts")
    for location in data["locations"]:
        _location(office, location)
    for location in data["locations"]:
        _fallback(office, location)
    for forecast in data["forecasts"]:
        _forecast(office, forecast)
    for way in data["ways"]:
        _way(office, way)
    for workshop in data["workshops"]:
        report(f"workshop: {workshop['title']}")
        _workshop(office, workshop, now=data["now"])
    _date_back(data["now"])


def _date_back(now: datetime) -> None:
    """Let every record say it was entered then: the demo's sheets are the same wherever built."""
    for model in apps.get_models():
        if issubclass(model, Record) and not model._meta.parents:
            model._base_manager.update(changed_at=now)
    # What happened on a day was noted there and then.
    TallyEvent._base_manager.update(changed_at=F("at"))


def _accounts(log_ins: Path) -> models.User:
    """Make the accounts with random passwords; they stand in the file and nowhere else."""
    lines, made = [], []
    for email, name, role in ACCOUNTS:
        password = secrets.token_urlsafe(12)
        by = made[0] if made else None
        user = accounts.create_user(
            by=by,
            email=email,
            name=name,
            password=password,
            role=role,
            is_staff=not made,
            is_superuser=not made,
        )
        made.append(user)
        lines.append(f"{email}  {password}\n")
    log_ins.touch(mode=0o600)
    log_ins.write_text("".join(lines), encoding="utf-8")
    return made[0]


def _name_accounts(by: models.User) -> None:
    """Say who of the people each account is: an instructor's own workshops are found by it."""
    for user in models.User.objects.filter(name__in=models.Person.objects.values("name")):
        user.person = _person(user.name)
        audit.write(user, by=by)


def _kind(by: models.User, figures: dict) -> None:
    of, tags = getattr(models, figures.pop("of")), figures.pop("tags")
    if "battery_kind" in figures:
        figures["battery_kind"] = models.Battery.objects.get(name=figures["battery_kind"])
    kind = kit.add_kind(by=by, of=of, **figures)
    for tag in tags:
        kit.add_unit(by=by, kind=kind, tag=tag)


def _guide_number(by: models.User, reading: dict) -> None:
    kit.record_guide_number(
        by=by,
        strobe=models.Strobe.objects.get(name=reading.pop("strobe")),
        modifier=models.Modifier.objects.get(name=reading.pop("modifier")),
        **reading,
    )


def _location(by: models.User, details: dict) -> None:
    zone = details["timezone_name"]
    for point in details.get("tide", ()):
        point["at"] = _on_clock(point["at"], zone)
    plain = {name: value for name, value in details.items() if name != "fallback"}
    locations.add_location(by=by, **plain)


def _fallback(by: models.User, details: dict) -> None:
    """Name the place to go to instead, once every place is there."""
    if name := details.get("fallback"):
        place = models.Location.objects.get(name=details["name"])
        place.fallback = models.Location.objects.get(name=name)
        save_record(by=by, record=place)


def _forecast(by: models.User, details: dict) -> None:
    location = models.Location.objects.get(name=details.pop("location"))
    for name in ("valid_from", "valid_to", "taken_at"):
        details[name] = _on_clock(details[name], location.timezone_name)
    locations.add_forecast(by=by, location=location, **details)


def _way(by: models.User, details: dict) -> None:
    ends = {end: models.Location.objects.get(name=details.pop(end)) for end in ("location", "to")}
    save_record(by=by, record=models.TravelTime(**ends, **details))


def _break(by: models.User, workshop: models.Workshop, details: dict) -> None:
    for name in ("earliest_at", "latest_at"):
        details[name] = _on_clock(details[name], workshop.timezone_name)
    save_record(by=by, record=models.WorkshopBreak(workshop=workshop, **details))


def _workshop(by: models.User, details: dict, *, now: datetime) -> None:
    now, here = details.pop("booked", now), details.pop("here", ())
    rests = details.pop("breaks", ())
    sets, tags = details.pop("sets"), details.pop("kit")
    attendees, waiting = details.pop("attendees"), details.pop("waiting", ())
    deposits, costs = details.pop("deposits", ()), details.pop("costs", ())
    weather = details.pop("weather", None)
    places = [models.Location.objects.get(name=name) for name in details.pop("places")]
    roles = [role | {"person": _person(role["person"])} for role in details.pop("roles")]
    for name in ("start_at", "end_at"):
        details[name] = _on_clock(details[name], details["timezone_name"])
    details["terms"] = models.Terms.objects.get(name=details["terms"])
    workshop = workshops.open_workshop(by=by, places=places, roles=roles, **details)
    if weather:
        _weather_call(by, workshop, weather)
    for order, name in enumerate((*attendees, *waiting)):
        on = now + timedelta(days=order)
        booking = bookings.book_person(
            by=by, workshop=workshop, person=_person(name), now=on, waitlist=name in waiting
        )
        if name in attendees:
            bookings.confirm_booking(by=by, booking=booking, now=on)
        if name in deposits:
            _deposit(by, booking, on)
    for rest in rests:
        _break(by, workshop, rest)
    for cost in costs:
        save_record(by=by, record=models.DayCost(workshop=workshop, **cost))
    units = models.KitUnit.objects.filter(tag__in=tags).order_by("pk")
    reservations.reserve(by=by, workshop=workshop, units=units)
    noted = [planned.pop("noted", ()) for planned in sets]
    made = [
        _set(by, workshop, planned | {"position": position})
        for position, planned in enumerate(sets, start=1)
    ]
    _came(by, workshop, here)
    for planned_set, events in zip(made, noted, strict=True):
        demo_day.note(by, planned_set, events)
    if here:
        _has_run(by, workshop, places)


def _weather_call(by: models.User, workshop: models.Workshop, agreed: dict) -> None:
    agreed["decide_at"] = _on_clock(agreed["decide_at"], workshop.timezone_name)
    agreed["decided_by"] = _person(agreed["decided_by"])
    save_record(by=by, record=models.WeatherCall(workshop=workshop, **agreed))


def _deposit(by: models.User, booking: models.Booking, now: datetime) -> None:
    payments.record_payment(
        by=by,
        booking=booking,
        kind=models.Payment.Kind.DEPOSIT,
        amount=money.deposit(
            booking.price, booking.workshop.terms.deposit_share, booking.workshop.currency
        ),
        now=now,
        method="bank transfer",
    )


def _came(by: models.User, workshop: models.Workshop, names: list[str]) -> None:
    said = [
        presence.Presence(workshop.bookings.get(person__name=name), state="attended")
        for name in names
    ]
    presence.note_presence(by=by, workshop=workshop, said=said, now=workshop.start_at)


def _has_run(by: models.User, workshop: models.Workshop, places: list[models.Location]) -> None:
    workshop.status = models.Workshop.Status.RUN
    workshops.save_workshop(
        by=by,
        workshop=workshop,
        seats=workshop.seats.count(),
        places=places,
        lead=workshop.roles.get(role=models.WorkshopRole.Role.LEAD).person,
        now=workshop.end_at,
    )


def _set(by: models.User, workshop: models.Workshop, details: dict) -> PlannedSet:
    location = models.Location.objects.get(name=details.pop("location"))
    for name in ("start_at", "end_at"):
        details[name] = _on_clock(details[name], location.timezone_name)
    details["camera"] = models.CameraBody.objects.get(name=details["camera"])
    lights = [_light(light) for light in details.pop("lights")]
    details["main_point"] = TeachingPoint.objects.get(code=details.pop("teaches"))
    return save_set(by=by, workshop=workshop, location=location, lights=lights, **details)


def _point(by: models.User, words: dict) -> None:
    """Say parts of a library's point in the house's own words."""
    point = TeachingPoint.objects.get(code=words.pop("code"))
    for part, text in words.items():
        setattr(point, part, text)
    save_record(by=by, record=point)


def _light(details: dict) -> dict:
    kinds = {
        "strobe": models.Strobe,
        "modifier": models.Modifier,
        "gel": models.Gel,
        "stand": models.Stand,
    }
    return {
        name: kinds[name].objects.get(name=value) if name in kinds else value
        for name, value in details.items()
    }


def _person(name: str) -> models.Person:
    return models.Person.objects.get(name=name)


def _on_clock(at: datetime, timezone_name: str) -> datetime:
    return at.replace(tzinfo=ZoneInfo(timezone_name))

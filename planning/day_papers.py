"""Records -> the day sheet of a workshop: one leaf for each of its days."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import formats
from django.utils.translation import gettext as _

from planning.drawings.drawdown import Draw
from planning.lesson.day import best_day
from planning.models import PlannedSet
from planning.papers import told_of_sets
from planning.physics.sun import Place
from planning.plan.day_words import reasons
from planning.plan.result import SetPlan
from planning.selectors import inputs_of
from planning.selectors.day import workshop_days
from planning.sheets import back
from planning.sheets.day import DaySheet, Entry, Help, Pack, PersonLine, Strobe, WeatherLine
from planning.sheets.options import print_options
from planning.showing import Planned, planned
from planning.templatetags import figures
from planning.weather import judged_places, limits_of
from workshops import coordinates
from workshops.coordinates import Coordinates
from workshops.models import House, KitKind, Location, Reservation, Workshop, WorkshopRole
from workshops.models.base import in_zone
from workshops.selectors.needs import live_bookings
from workshops.selectors.weather import call_of, day_places
from workshops.words import date_text

Role = WorkshopRole.Role


@dataclass(frozen=True)
class _Set:
    record: PlannedSet
    found: Planned

    @property
    def plan(self) -> SetPlan | None:
        return self.found.plan


def day_sheets(workshop: Workshop, house: House) -> list[DaySheet]:
    """Return the day sheets of a workshop, a leaf for each of its days with a set or a welcome."""
    rows = list(workshop.sets.select_related("location").order_by("start_at", "position", "pk"))
    inputs = inputs_of([row.pk for row in rows])
    sets = [_Set(row, planned(inputs[row.pk], house)) for row in rows]
    zone = workshop.timezone_name
    days = {in_zone(row.start_at, zone).date() for row in rows}
    days.add(in_zone(workshop.start_at, zone).date())
    why = _reasons(workshop, house)
    return [
        _sheet(workshop, house, day, [one for one in sets if _day_of(one, zone) == day], why)
        for day in sorted(days)
    ]


def _reasons(workshop: Workshop, house: House) -> dict[int, str]:
    """Why each set stands where it stands, where that is its place in the best order there is."""
    say = print_options(house).figures(workshop.timezone_name)
    told: dict[int, str] = {}
    for found in workshop_days(workshop):
        proposal = best_day(found.day)
        words = reasons(found.day, proposal)
        for placed in proposal.placed:
            key = placed.one.key
            if placed.start_at == found.starts[key]:
                told[key] = " ".join(say.words(one) for one in words[key])
            elif proposal.fits:
                sentence = _("An order with more of the wanted light begins it at %(time)s.")
                told[key] = sentence % {"time": say.clock(placed.start_at)}
    return told


def _day_of(one: _Set, zone: str) -> date:
    return in_zone(one.record.start_at, zone).date()


def _sheet(
    workshop: Workshop, house: House, day: date, sets: Sequence[_Set], why: dict[int, str]
) -> DaySheet:
    zone = workshop.timezone_name
    places = _places(workshop, sets)
    first = next((one for one in places if one.latitude_deg is not None), None)
    kit = list(workshop.kit.select_related("unit__kind").order_by("unit__kind__name"))
    return DaySheet(
        title=workshop.title,
        day=_named_day(_noon(day, zone, workshop), zone),
        timezone=zone,
        channel=workshop.radio_channel,
        meeting=_meeting(places),
        entries=tuple(
            sorted(_entries(workshop, house, day, sets, why), key=lambda one: one.start_at)
        ),
        place=Place(first.latitude_deg, first.longitude_deg) if first else None,
        people=tuple(_people(workshop, house)),
        help=tuple(_help(place) for place in places),
        weather=tuple(_weather(workshop, house)),
        decision=_decision(workshop, house),
        packing=tuple(_packing(kit)),
        carry_kg=sum(row.unit.kind.mass_kg for row in kit) or None,
        strobes=tuple(_strobes(sets)),
        cautions=tuple(_cautions(sets, house)),
        changed_at=_changed_at(workshop, sets),
    )


def _noon(day: date, zone: str, workshop: Workshop) -> datetime:
    start = in_zone(workshop.start_at, zone)
    return start.replace(year=day.year, month=day.month, day=day.day, hour=12)


def _named_day(at: datetime, zone: str) -> str:
    told = {"weekday": formats.date_format(in_zone(at, zone), "l"), "date": date_text(at, zone)}
    return _("%(weekday)s, %(date)s") % told


def _places(workshop: Workshop, sets: Sequence[_Set]) -> list[Location]:
    """The day's places in the order they are used, then the workshop's others."""
    used = [one.record.location for one in sets]
    own = [row.location for row in workshop.places.select_related("location").order_by("position")]
    return list({place.pk: place for place in (*used, *own)}.values())


def _meeting(places: Sequence[Location]) -> str:
    if not places:
        return ""
    parts = (places[0].name, places[0].parking.strip().rstrip("."))
    return ", ".join(part for part in parts if part)


def _entries(
    workshop: Workshop, house: House, day: date, sets: Sequence[_Set], why: dict[int, str]
) -> Iterator[Entry]:
    zone = workshop.timezone_name
    start, end = (in_zone(at, zone) for at in (workshop.start_at, workshop.end_at))
    if start.date() == day and workshop.intro_min:
        until = start + timedelta(minutes=workshop.intro_min)
        yield Entry(start, until, _("Welcome, sign-in, safety, kit handed out"))
    for one in sets:
        yield _set_entry(one, house, why.get(one.record.pk, ""))
    taken = [(one.record.start_at, one.record.end_at) for one in sets]
    for rest in workshop.breaks.order_by("earliest_at", "pk"):
        if in_zone(rest.earliest_at, zone).date() == day:
            begins = in_zone(_break_at(rest, taken), zone)
            yield Entry(begins, begins + timedelta(minutes=rest.minutes), rest.title)
    if end.date() == day and workshop.closing_min:
        yield Entry(
            end - timedelta(minutes=workshop.closing_min),
            end,
            _("Kit counted in, what everybody learnt"),
        )


def _break_at(rest, taken: Sequence[tuple[datetime, datetime]]) -> datetime:
    """The first free time in which the break can begin; its earliest where there is none."""
    length = timedelta(minutes=rest.minutes)
    for at in sorted([rest.earliest_at, *(end for _start, end in taken)]):
        free = all(at + length <= start or at >= end for start, end in taken)
        if rest.earliest_at <= at <= rest.latest_at and free:
            return at
    return rest.earliest_at


def _set_entry(one: _Set, house: House, reason: str) -> Entry:
    record, plan = one.record, one.plan
    zone = record.location.timezone_name
    start, end = (in_zone(at, zone) for at in (record.start_at, record.end_at))
    if plan is None:
        why = _("no plan yet: %(reason)s") % {"reason": one.found.reason}
        return Entry(start, end, record.title, record.location.name, why, record.position)
    exposure = plan.exposure
    iso = _("ISO %s") % figures.iso(exposure.iso)
    say = print_options(house).figures(zone)
    suns = [
        f"{say.degrees(row.elevation_deg)} {back.sun_words(row)}"
        for row in (plan.sun[0], plan.sun[-1])
    ]
    return Entry(
        start,
        end,
        record.title,
        record.location.name,
        reason,
        record.position,
        sun=" → ".join(dict.fromkeys(suns)),
        key=f"{exposure.working_mark} {figures.shutter(exposure.start_s)} {iso}",
    )


def _people(workshop: Workshop, house: House) -> Iterator[PersonLine]:
    say = print_options(house).figures(workshop.timezone_name)
    order = list(Role)
    roles = sorted(
        workshop.roles.select_related("person"), key=lambda row: (order.index(row.role), row.pk)
    )
    for row in roles:
        yield PersonLine(row.person.name, row.get_role_display(), row.person.phone)
    for booking in live_bookings(workshop):
        person = booking.person
        notes = [f"{person.emergency_name} {person.emergency_phone}".strip()]
        if booking.arrives_at:
            notes.insert(0, _("comes at %(time)s") % {"time": say.clock(booking.arrives_at)})
        told = _("in an emergency: %(whom)s") % {"whom": notes[-1]} if notes[-1] else ""
        yield PersonLine(
            person.name, _("attendee"), person.phone, "; ".join(filter(None, [*notes[:-1], told]))
        )


def _help(place: Location) -> Help:
    position = ""
    if place.latitude_deg is not None:
        position = coordinates.show(Coordinates(place.latitude_deg, place.longitude_deg), "paper")
    return Help(place.name, place.emergency, position, place.signal)


def _weather(workshop: Workshop, house: House) -> Iterator[WeatherLine]:
    """Each place's newest forecast against the limits, and its fallback's."""
    say = print_options(house).figures(workshop.timezone_name)
    limits = limits_of(call_of(workshop), house)
    for row in judged_places(workshop, day_places(workshop), limits, house):
        for found, pattern in ((row.place, "%s"), (row.fallback, _("instead: %s"))):
            if found is None:
                continue
            newest = found.newest
            source = f"{newest.source}, {say.date(newest.taken_at)}" if newest else ""
            verdict = f"{say.term(found.judged.word)}: {say.words(found.judged.decides.words)}"
            yield WeatherLine(pattern % found.location.name, source, verdict)


def _decision(workshop: Workshop, house: House) -> str:
    """Who decides on the weather and when, or what was decided."""
    call = call_of(workshop)
    if call is None:
        return ""
    say = print_options(house).figures(workshop.timezone_name)
    if call.outcome != call.Outcome.OPEN:
        told = {"what": call.get_outcome_display(), "why": call.outcome_reason}
        return (_("Weather: %(what)s. %(why)s") % told).strip()
    told = {"day": say.date(call.decide_at), "time": say.clock(call.decide_at)}
    told["name"] = call.decided_by or _("nobody named yet")
    words = [_("Weather is decided on %(day)s at %(time)s by %(name)s.") % told]
    if call.rain_on:
        rain_on = formats.date_format(call.rain_on, "DATE_FORMAT")
        words.append(_("Rain date: %(day)s.") % {"day": rain_on})
    return " ".join(words)


def _packing(kit: Sequence[Reservation]) -> Iterator[Pack]:
    for category in KitKind.Category:
        counts: dict[str, int] = {}
        for row in kit:
            if row.unit.kind.category == category:
                counts[row.unit.kind.name] = counts.get(row.unit.kind.name, 0) + 1
        if counts:
            lines = tuple(f"{number} × {name}" for name, number in counts.items())
            yield Pack(str(category.label), lines)


def _strobes(sets: Sequence[_Set]) -> Iterator[Strobe]:
    """Each kind of head with what its packs give through the day, as far as a plan says."""
    drawn = [one for one in sets if one.plan]
    names = dict.fromkeys(row.strobe for one in drawn for row in one.plan.battery)
    for name in names:
        draws = []
        for one in drawn:
            rows = [row for row in one.plan.battery if row.strobe == name]
            if not rows:
                continue
            shares = [row.charge_share for row in rows]
            packs = None if None in shares else sum(shares)
            draws.append(Draw(_("set %(number)s") % {"number": one.record.position}, packs))
        yield Strobe(name, tuple(draws))


def _cautions(sets: Sequence[_Set], house: House) -> Iterator[str]:
    """What stops a set, each sentence once with the numbers of the sets it is said of."""
    raised = []
    for one in sets:
        say = print_options(house).figures(one.record.location.timezone_name)
        raised += [(one.record.position, say.words(found.text)) for found in one.found.stops]
    yield from told_of_sets(raised)


def _changed_at(workshop: Workshop, sets: Sequence[_Set]) -> datetime:
    changed = [one.found.inputs.inputs_changed_at for one in sets if one.found.inputs]
    return max(filter(None, [workshop.changed_at, *changed]))

"""Records -> what the papers beside the set sheet tell: risk sheets and tally sheets."""

from collections.abc import Iterable, Iterator, Sequence

from django.db.models import Q
from django.utils import formats
from django.utils.translation import ngettext

from planning.models import PlannedSet, TallyEvent
from planning.selectors import inputs_of
from planning.sheets.options import print_options
from planning.sheets.risk import Decides, Limits, Place
from planning.sheets.tally import SetTally
from planning.showing import Planned, planned
from planning.templatetags.figures import fewer
from workshops import coordinates, grids
from workshops.coordinates import Coordinates
from workshops.models import House, Location, Workshop, WorkshopRole
from workshops.words import date_text

Role = WorkshopRole.Role
MOST_HAZARDS = 60  # of one place's own: more is a book, and nobody reads it on the beach


def risk_place(location: Location) -> Place:
    """Return a location as its risk sheet tells of it."""
    point = None
    if location.latitude_deg is not None:
        point = Coordinates(location.latitude_deg, location.longitude_deg)
    until = location.permission_until
    return Place(
        name=location.name,
        timezone=location.timezone_name,
        coordinates=coordinates.show(point, "paper") if point else "",
        grid=(grids.show(point) or "") if point else "",
        emergency=location.emergency,
        signal=location.signal,
        access=location.access,
        parking=location.parking,
        toilets=location.toilets,
        hazards=_pairs(location.hazards),
        footing=location.footing,
        slope_deg=location.slope_deg,
        wind_exposure_factor=location.wind_exposure_factor,
        under_trees=location.under_trees,
        water=location.water,
        walk_min=location.walk_min,
        permit=location.permission_number,
        permit_until=formats.date_format(until, "DATE_FORMAT") if until else "",
        permit_hours=location.permission_hours,
        head_limit=location.head_limit,
        stands_clause=location.stands_clause,
        fallback=location.fallback.name if location.fallback else "",
    )


def _pairs(hazards: str) -> tuple[tuple[str, str], ...]:
    """One line each, "hazard: control"; a line without a colon has no control yet."""
    lines = fewer((line for one in hazards.splitlines() if (line := one.strip())), MOST_HAZARDS)
    split = (line.partition(":") for line in lines)
    return tuple((hazard.strip(), control.strip()) for hazard, _colon, control in split)


def risk_limits(house: House) -> Limits:
    return Limits(
        gust_m_s=house.gust_limit_m_s,
        hold_force_n=house.hold_force_n,
        off_force_n=house.modifier_off_force_n,
        carry_cap_kg=house.carry_cap_kg,
        tide_margin_min=house.tide_margin_min,
    )


def risk_places(workshop: Workshop, house: House) -> list[tuple[Place, Decides]]:
    """Return every place the workshop uses, with who decides and what its sets' figures raise."""
    sets = list(workshop.sets.select_related("location__fallback").order_by("position", "pk"))
    inputs = inputs_of([one.pk for one in sets])
    plans = [(one, planned(inputs[one.pk])) for one in sets]
    places = list(
        Location.objects.select_related("fallback")
        .filter(Q(sets__workshop=workshop) | Q(workshops=workshop))
        .distinct()
    )
    order = {one.location_id: number for number, one in reversed(list(enumerate(sets)))}
    places.sort(key=lambda place: (order.get(place.pk, len(sets)), place.name, place.pk))
    return [(risk_place(place), _decides(workshop, house, place, plans)) for place in places]


def _decides(
    workshop: Workshop, house: House, place: Location, plans: Sequence[tuple[PlannedSet, Planned]]
) -> Decides:
    roles = list(workshop.roles.select_related("person").order_by("pk"))
    lead = next((role.person for role in roles if role.role == Role.LEAD), None)
    helpers = [role.person.name for role in roles if role.role == Role.HELPER]
    say = print_options(house).figures(place.timezone_name)
    raised = [
        (one.position, say.words(caution.text))
        for one, found in plans
        if one.location_id == place.pk
        for caution in found.grave
        if caution.harm
    ]
    return Decides(
        workshop=workshop.title,
        day=date_text(workshop.start_at, workshop.timezone_name),
        lead=lead.name if lead else "",
        phone=(lead.phone if lead else "") or house.phone,
        others=tuple(helpers),
        sensitive=workshop.strobe_sensitive,
        cautions=tuple(told_of_sets(raised)),
    )


def told_of_sets(raised: Iterable[tuple[int, str]]) -> Iterator[str]:
    """Yield each sentence once, with the numbers of the sets it is said of."""
    said: dict[str, list[str]] = {}
    for number, words in raised:
        numbers = said.setdefault(words, [])
        if str(number) not in numbers:
            numbers.append(str(number))
    for words, numbers in said.items():
        yield ngettext("Set %(sets)s: %(words)s", "Sets %(sets)s: %(words)s", len(numbers)) % {
            "sets": ", ".join(numbers),
            "words": words,
        }


def tallies(
    sets: Sequence[PlannedSet], house: House
) -> tuple[list[SetTally], list[tuple[PlannedSet, str]]]:
    """Return a tally for each set that has a plan, and the others each with its reason."""
    inputs = inputs_of([one.pk for one in sets])
    made, left = [], []
    for one in sets:
        found = planned(inputs[one.pk], house)
        if found.plan is None:
            left.append((one, found.reason))
        else:
            made.append(SetTally(found.plan, found.inputs, tuple(TallyEvent.Cause.labels)))
    return made, left

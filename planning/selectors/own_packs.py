"""Packs read before and after, flashes counted, as what they say of the flashes of one charge."""

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.db.models import Exists, F, OuterRef, QuerySet, Subquery, Window
from django.db.models.functions import RowNumber
from django.utils.translation import gettext_noop as _

from planning.after.counts import Count, counts_of
from planning.after.packs import PackEvent, pack_uses
from planning.learn.drawdown import Drawdown
from planning.learn.habits import UNKNOWN_COLD_STOPS
from planning.learn.stays import Around, Stay, drawdown, given_in
from planning.models import PlannedLight, TallyEvent
from planning.physics.battery import cold_share
from planning.physics.constants import COLD_SHARE_BANDS
from planning.selectors.seen import Seen
from workshops.models import Forecast

Kind = TallyEvent.Kind
KINDS = (Kind.FLASHES, Kind.PACK_IN, Kind.PACK_OUT, Kind.RECIPE_LOCKED)
WHY = {
    "unread": _("the charge was not read at both ends"),
    "uncounted": _("no flashes were counted"),
    "no power": _("no recipe was locked, so that the power of the flashes is not known"),
    "two packs": _("flashes were counted over a change of packs"),
}
NEWEST = 150  # sets a kind of head is looked at on: of each pack the newest drawdowns count
LIGHT = (
    "pk",
    "planned_set",
    "planned_set__location__timezone_name",
    "planned_set__start_at",
    "planned_set__end_at",
    "name",
    "strobe",
    "strobe__idle_w",
    "strobe__modelling_w",
    "changed_at",
    "strobe__changed_at",
)
EVENT = (
    "planned_set",
    "kind",
    "at",
    "light_name",
    "power",
    "count",
    "unit",
    "charge_share",
    "charge_lamps",
    "unit__kind",
    "unit__kind__battery__capacity_wh",
    "unit__health_share",
    "changed_at",
)


@dataclass(frozen=True)
class Pack:
    """A pack as its records have it."""

    unit_id: int
    kind_id: int
    capacity_wh: float
    health_share: float


@dataclass(frozen=True)
class PackStay:
    """A stay and its pack, for the page that shows it."""

    stay: Stay
    pack: Pack
    temperature_c: float | None
    light_id: int


def flashes_figure(strobe_id: int, unit_id: int) -> str:
    """Return what the flashes of one charge of a pack in a kind of head go by."""
    return f"flashes:{strobe_id}:{unit_id}"


def packs_seen(strobes: Iterable[int]) -> list[Seen]:
    """Return every stay of a pack in one of these heads, in two questions to the database."""
    newest = Window(
        RowNumber(), partition_by=[F("strobe")], order_by=("-planned_set__start_at", "-pk")
    )
    lights = PlannedLight.objects.filter(Exists(_read()), strobe__in=list(strobes))
    return _seen(lights.annotate(place=newest).filter(place__lte=NEWEST))


def packs_seen_on(sets: Iterable[int]) -> list[Seen]:
    """Return every stay of a pack on one of these sets, in two questions to the database."""
    return _seen(PlannedLight.objects.filter(Exists(_read()), planned_set__in=list(sets)))


def _read() -> QuerySet[TallyEvent]:
    return TallyEvent.objects.filter(planned_set=OuterRef("planned_set"), kind=Kind.PACK_OUT)


def _seen(of_lights: QuerySet[PlannedLight]) -> list[Seen]:
    held = Forecast.objects.filter(
        location=OuterRef("planned_set__location"),
        valid_from__lt=OuterRef("planned_set__end_at"),
        valid_to__gt=OuterRef("planned_set__start_at"),
    ).order_by("-taken_at", "-pk")
    lights = list(
        of_lights.annotate(temperature_c=Subquery(held.values("temperature_c")[:1])).values_list(
            *LIGHT, "temperature_c"
        )
    )
    rows = TallyEvent.objects.filter(
        planned_set__in={light[1] for light in lights},
        kind__in=KINDS,
        takes_back=None,
        taken_back_by=None,
    )
    events = defaultdict(list)
    for row in rows.order_by("at", "pk").values_list(*EVENT):
        events[row[0]].append(row[1:])
    return [seen for light in lights for seen in _of_light(light, events[light[1]])]


def _of_light(light: tuple, events: list[tuple]) -> list[Seen]:
    pk, set_id, zone, start_at, end_at, name, strobe, idle_w, modelling_w = light[:9]
    temperature_c = light[-1]
    packs = {row[5]: Pack(row[5], *row[8:11]) for row in events if row[5] and row[9]}
    left, stops = _cold(temperature_c)
    stays = _stays(set_id, pk, events, name)
    counts = _counts(events, name)
    full = given_in(stays, counts)
    stops = math.hypot(stops, max((count.power_stops for count in counts), default=0.0))
    touched = [row[-1] for row in events if row[2] in ("", name)] + [*light[9:11]]
    there = (start_at if not stays else stays[0].in_at or start_at).astimezone(ZoneInfo(zone))
    found = []
    for stay in stays:
        pack = packs.get(stay.unit_id)
        if pack is None:
            continue  # entered under another kind since: no battery
        around = Around(
            idle_w=idle_w + modelling_w,
            usable_wh=pack.capacity_wh * pack.health_share,
            hours=(end_at - start_at).total_seconds() / 3600.0,
            cold_share=left,
            cold_stops=stops,
        )
        told = drawdown(stay, f"{there:%Y-%m-%d}", full[stay.key], around)
        known = isinstance(told, Drawdown)
        found.append(
            Seen(
                figure=flashes_figure(strobe, stay.unit_id),
                key=stay.key,
                at=there,
                changed_at=max(touched),
                witness=told if known else None,
                why="" if known else WHY[told],
                set_id=set_id,
                detail=PackStay(stay, pack, temperature_c, pk),
            )
        )
    return found


def _stays(set_id: int, light_id: int, events: list[tuple], name: str) -> list[Stay]:
    packs = [
        PackEvent(kind == Kind.PACK_IN, at, unit, "", light, share, lamps)
        for kind, at, light, _power, _count, unit, share, lamps, *_rest in events
        if kind in (Kind.PACK_IN, Kind.PACK_OUT)
    ]
    uses = [use for use in pack_uses(packs) if use.light == name]
    times = defaultdict(int)
    stays = []
    for use in uses:
        times[use.unit_id] += 1
        key = f"drawdown:{set_id}:{light_id}:{use.unit_id}:{times[use.unit_id]}"
        shares = (use.in_at, use.in_share, use.out_at, use.out_share, use.step_share)
        stays.append(Stay(key, use.unit_id, *shares))
    return stays


def _counts(events: list[tuple], name: str) -> list[Count]:
    """Return the counts of a light, as the tally has them; what nobody locked has no power."""
    own = [row for row in events if row[2] == name]
    locked = [(row[1], row[3]) for row in own if row[0] == Kind.RECIPE_LOCKED and row[3]]
    return counts_of([(row[1], row[4]) for row in own if row[0] == Kind.FLASHES], locked)


def _cold(temperature_c: float | None) -> tuple[float, float]:
    """Return what the cold left of a pack, and its standard deviation in stops.

    Between the two published ends it may be anything: a width over root 12.
    """
    if temperature_c is None:
        return 1.0, UNKNOWN_COLD_STOPS
    low, high = cold_share(max(temperature_c, COLD_SHARE_BANDS[0][0]))
    return (low + high) / 2.0, math.log2(high / low) / math.sqrt(12.0)

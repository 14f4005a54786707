"""Flash readings, at home and on sets, as what they say of guide numbers."""

import math
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from django.db.models import F, Q, QuerySet, Window
from django.db.models.functions import RowNumber
from django.utils.translation import gettext_noop as _

from planning.learn.flash import FlashMetered, guide_witness, teaches
from planning.models import FlashReading
from planning.physics.constants import INCIDENT_CALIBRATION_FLAT
from planning.selectors.seen import Seen
from workshops.models import GuideNumberReading, Modifier

METER = (
    "meter",
    "meter__incident_constant",
    "meter__kind__meter__incident_constant",
    "changed_at",
    "meter__changed_at",
    "meter__kind__changed_at",
)
NEWEST = 120  # readings of a pair that count: tube and fabric age, and the meter stays the same
DAYLIGHT = _(
    "daylight was more than four times as bright as the lamp: the lamp cannot be told from it; "
    "meter it in the shade or nearer"
)
SIDE_ON = _("dome to the lens, and the lamp straight behind: it does not see the lamp")

Shapes = Mapping[int | None, tuple[float, float]]


def guide_figure(strobe_id: int, modifier_id: int | None) -> str:
    """Return what the guide number of a head and a modifier goes by; 0: the standard reflector."""
    return f"guide-number:{strobe_id}:{modifier_id or 0}"


def source_shape(modifier: Modifier | None) -> tuple[float, float]:
    """Return (diameter, offset) in metres of the light as the fall-off sees it."""
    if modifier is None:
        return 0.0, 0.0
    return modifier.effective_diameter_m, modifier.source_offset_m


def flash_seen(strobes: Iterable[int], modifiers: Iterable[Modifier]) -> list[Seen]:
    """Return every flash reading of these heads, bare or with one of these modifiers.

    Two questions to the database, however many there are.
    """
    shapes = {one.pk: source_shape(one) for one in modifiers} | {None: (0.0, 0.0)}
    wanted = list(strobes)
    return [*_at_home(wanted, shapes), *_on_sets(wanted, shapes)]


def _at_home(strobes: list[int], shapes: Shapes) -> list[Seen]:
    rows = GuideNumberReading.objects.filter(
        Q(modifier__in=[pk for pk in shapes if pk]) | Q(modifier=None),
        strobe__in=strobes,
        flash_alone=True,
    )
    rows = _newest(rows, ("strobe", "modifier"), "read_on").values_list(
        "pk",
        "strobe",
        "modifier",
        "read_on",
        "f_mark",
        "tenths",
        "iso",
        "power",
        "distance_m",
        *METER,
    )
    found = []
    for pk, strobe, modifier, on, mark, tenths, iso, power, distance_m, *meter in rows:
        metered = FlashMetered(
            key=f"guide-reading:{pk}",
            day=f"{on}",
            f_number=_f_number(mark, tenths, meter),
            iso=iso,
            power=power,
            distance_m=distance_m,
            source_diameter_m=shapes[modifier][0],
            source_offset_m=shapes[modifier][1],
            meter=str(meter[0] or ""),
        )
        at = datetime(on.year, on.month, on.day, 12, tzinfo=UTC)  # that date, wherever it was
        changed = max(filter(None, meter[3:]))
        figure = guide_figure(strobe, modifier)
        found.append(Seen(figure, metered.key, at, changed, guide_witness(metered), detail=metered))
    return found


def _on_sets(strobes: list[int], shapes: Shapes) -> list[Seen]:
    light = "planned_set__lights__"
    rows = FlashReading.objects.filter(
        Q(**{f"{light}modifier__in": [pk for pk in shapes if pk]})
        | Q(**{f"{light}modifier": None}),
        **{f"{light}name": F("light_name"), f"{light}strobe__in": strobes},
    )
    rows = _newest(rows, (f"{light}strobe", f"{light}modifier"), "at").values_list(
        "pk",
        "planned_set",
        "planned_set__location__timezone_name",
        *(f"{light}{name}" for name in ("strobe", "modifier", "angle_deg", "gel__loss_stops")),
        "at",
        "how",
        "f_mark",
        "tenths",
        "iso",
        "power",
        "distance_m",
        "ambient_mark",
        *METER,
        f"{light}changed_at",
    )
    return [_on_set(row, shapes) for row in rows]


def _newest(rows: QuerySet, pair: tuple[str, str], at: str) -> QuerySet:
    """Return the newest rows of each head and modifier."""
    place = Window(RowNumber(), partition_by=[F(name) for name in pair], order_by=(f"-{at}", "-pk"))
    return rows.annotate(place=place).filter(place__lte=NEWEST)


def _on_set(row: tuple, shapes: Shapes) -> Seen:
    pk, set_id, zone, strobe, modifier, angle_deg, gel_stops, at, how = row[:9]
    mark, tenths, iso, power, distance_m, ambient_mark, *meter = row[9:]
    there = at.astimezone(ZoneInfo(zone))
    metered = FlashMetered(
        key=f"flash-reading:{pk}",
        day=f"{there:%Y-%m-%d}",
        f_number=_f_number(mark, tenths, meter),
        iso=iso,
        power=power,
        distance_m=distance_m,
        source_diameter_m=shapes[modifier][0],
        source_offset_m=shapes[modifier][1],
        gel_loss_stops=gel_stops or 0.0,
        meter=str(meter[0] or ""),
        to_lens=how == FlashReading.How.TOGETHER,
        angle_deg=angle_deg,
        daylight_f_number=_f_number(ambient_mark, 0, meter) if ambient_mark else None,
    )
    why = untaught(metered)
    return Seen(
        figure=guide_figure(strobe, modifier),
        key=metered.key,
        at=there,
        changed_at=max(filter(None, meter[3:])),
        witness=None if why else guide_witness(metered),
        why=why,
        set_id=set_id,
        detail=metered,
    )


def untaught(metered: FlashMetered) -> str:
    """Return why a reading says nothing of its lamp, empty where it does."""
    if not teaches(metered):
        return DAYLIGHT
    if metered.to_lens and abs(metered.angle_deg) > 150.0:
        return SIDE_ON
    return ""


def _f_number(mark: float, tenths: int, meter: list) -> float:
    """Return the exact f-number by the project's constant: a mark grows with the light's root."""
    constant = meter[1] or meter[2] or INCIDENT_CALIBRATION_FLAT
    return mark * 2 ** (tenths / 20) * math.sqrt(constant / INCIDENT_CALIBRATION_FLAT)

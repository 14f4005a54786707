"""Forecasts of a place side by side: what a newer one changed, and what it does to each set."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils.translation import gettext as _

from planning.figures import Figures
from planning.models import PlannedSet
from planning.physics.errors import OutOfRange
from planning.plan import evaluate
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.plan.snapshots import change
from planning.selectors import inputs_of
from planning.selectors.places import forecast_inputs
from planning.sheets.options import print_options
from workshops.access import own
from workshops.models import Forecast, House, Location, User
from workshops.selectors.locations import PAST

MOST_SETS = 12
FIGURES = ("gust_m_s", "wind_m_s", "rain_mm_h", "temperature_c", "humidity_percent")


@dataclass(frozen=True)
class Step:
    """A snapshot, and what it changed against the one before for the same hours."""

    snapshot: Forecast
    changes: tuple[str, ...]
    first: bool


@dataclass(frozen=True)
class SetThen:
    """A set planned in these hours: the verdicts of its stands and its base by the two newest."""

    record: PlannedSet
    words: tuple[str, ...]


@dataclass(frozen=True)
class Group:
    """Snapshots that hold for hours of each other, the newest last, and the sets then."""

    steps: tuple[Step, ...]
    sets: tuple[SetThen, ...]


def compared(place: Location, house: House, user: User, now: datetime) -> list[Group]:
    """Return the forecasts of a place from yesterday on, those for the same hours together."""
    say = print_options(house).figures(place.timezone_name)
    rows = place.forecasts.filter(valid_to__gte=now - PAST).order_by("valid_from", "valid_to", "pk")
    groups = _overlapping(rows)
    sets = _sets_at(place, user, groups)
    inputs = inputs_of([one.pk for one in sets])
    return [
        Group(tuple(_steps(rows, say)), tuple(_sets_then(rows, sets, inputs, place, say)))
        for rows in groups
    ]


def _overlapping(rows: Iterable[Forecast]) -> list[list[Forecast]]:
    """Return the snapshots in groups whose hours meet, each group by when it was read."""
    groups: list[list[Forecast]] = []
    ends: datetime | None = None
    for one in rows:
        if ends is None or one.valid_from >= ends:
            groups.append([])
        groups[-1].append(one)
        ends = max(row.valid_to for row in groups[-1])
    return [sorted(group, key=lambda one: (one.taken_at, one.pk)) for group in groups]


def _meet(one: Forecast, other) -> bool:
    ends = other.valid_to if isinstance(other, Forecast) else other.end_at
    begins = other.valid_from if isinstance(other, Forecast) else other.start_at
    return one.valid_from < ends and one.valid_to > begins


def _steps(rows: list[Forecast], say: Figures) -> Iterable[Step]:
    for number, one in enumerate(rows):
        before = next((row for row in reversed(rows[:number]) if _meet(one, row)), None)
        yield Step(one, tuple(_changes(before, one, say)) if before else (), before is None)


def _changes(before: Forecast, now: Forecast, say: Figures) -> Iterable[str]:
    if now.thunder != before.thunder:
        yield _("thunder now possible") if now.thunder else _("no thunder any more")
    if now.sky != before.sky:
        told = {"before": say.term(before.sky), "now": say.term(now.sky)}
        yield _("sky %(before)s, now %(now)s") % told
    names = {
        "gust_m_s": _("gust"),
        "wind_m_s": _("mean wind"),
        "rain_mm_h": _("rain"),
        "temperature_c": _("temperature"),
        "humidity_percent": _("humidity"),
    }
    for field, name in names.items():
        was, is_now = getattr(before, field), getattr(now, field)
        moved = change(was, is_now)
        if moved == 0.0 or (was is None and is_now is None):
            continue
        told = {"name": name, "was": _amount(field, was, say), "now": _amount(field, is_now, say)}
        if moved is None:
            yield _("%(name)s %(was)s, now %(now)s") % told
        elif moved > 0:
            yield _("%(name)s more: %(was)s, now %(now)s") % told
        else:
            yield _("%(name)s less: %(was)s, now %(now)s") % told


def _amount(field: str, value: float | None, say: Figures) -> str:
    if value is None:
        return _("not told")
    if field.endswith("_m_s"):
        return say.speed(value)
    if field == "temperature_c":
        return say.temperature(value)
    if field == "rain_mm_h":
        return _("%(n)s mm an hour") % {"n": say.number(value, 1)}
    return _("%(n)s %%") % {"n": say.number(value)}


def _sets_at(place: Location, user: User, groups: list[list[Forecast]]) -> list[PlannedSet]:
    if not groups:
        return []
    rows = PlannedSet.objects.filter(
        location=place,
        start_at__lt=max(one.valid_to for group in groups for one in group),
        end_at__gt=min(one.valid_from for group in groups for one in group),
    ).select_related("workshop")
    return list(own(user, rows).order_by("start_at", "pk")[:MOST_SETS])


def _sets_then(
    rows: list[Forecast], sets: list[PlannedSet], inputs: dict, place: Location, say: Figures
) -> Iterable[SetThen]:
    for record in sets:
        holding = [one for one in rows if _meet(one, record)]
        if holding:
            pair = holding[-2:]
            yield SetThen(record, tuple(_set_words(pair, inputs[record.pk], place, say)))


def _set_words(pair: list[Forecast], inputs, place: Location, say: Figures) -> Iterable[str]:
    if not isinstance(inputs, SetInputs):
        yield " ".join(inputs.messages)
        return
    plans = [
        _plan(replace(inputs, forecast=forecast_inputs(one, place.timezone_name))) for one in pair
    ]
    newest, before = plans[-1], plans[0] if len(plans) == 2 else None
    if newest is None:
        yield _("no plan by the newest forecast: see the set")
        return
    verdicts = {light.name: light.stand.verdict for light in (before.lights if before else ())
                if light.stand}  # fmt: skip
    for light in newest.lights:
        if light.stand is None:
            continue
        was, told = verdicts.get(light.name), {"light": light.name}
        told["now"] = say.term(light.stand.verdict)
        if was is None or was == light.stand.verdict:
            yield _("%(light)s: %(now)s") % told
        else:
            told["was"] = say.term(was)
            yield _("%(light)s: %(was)s, now %(now)s") % told
    if before:
        moved = newest.ambient[0].background_ev100 - before.ambient[0].background_ev100
        yield _("base light %(moved)s stops against the forecast before") % {
            "moved": say.number(moved, 1, sign=True)
        }


def _plan(inputs: SetInputs) -> SetPlan | None:
    """The plan of a set under one forecast, None where none can be made: its own page says why."""
    try:
        return evaluate(inputs)
    except OutOfRange:
        return None

"""Every figure the house has measured itself, with all that stands behind it, for its pages."""

from collections import defaultdict
from dataclasses import dataclass

from planning.learn.witness import Learned, Prior
from planning.models import CountsFrom, PlannedSet
from planning.plan.ambient import SKIES
from planning.selectors.own import (
    DAYLIGHT_PRIOR,
    FRAMES_PRIOR,
    TURN_PRIOR,
    Own,
    daylight_bias,
    flashes_of_pack,
    flashes_prior,
    frames_each,
    guide_number,
    guide_prior,
    turn_minutes,
)
from planning.selectors.own_daylight import daylight_figure, daylight_seen
from planning.selectors.own_flash import flash_seen
from planning.selectors.own_packs import packs_seen
from planning.selectors.own_turns import FRAME_FIGURE, TURN_FIGURE, turns_seen
from planning.selectors.seen import Seen, choices
from workshops.errors import NotFound
from workshops.models import KitUnit, Modifier, Strobe


@dataclass(frozen=True)
class Figure:
    """One figure: what it is of, its prior, what was learned, and every measurement."""

    key: str
    kind: str  # guide-number, flashes, minutes-per-turn, frames-per-attendee, daylight
    prior: Prior
    learned: Learned
    seen: tuple[Seen, ...]  # the newest first
    strobe: Strobe | None = None
    modifier: Modifier | None = None
    unit: KitUnit | None = None
    sky: str = ""
    begun: CountsFrom | None = None

    @property
    def kinds(self) -> set[int]:
        """The kinds of kit it speaks of."""
        of = {one.pk for one in (self.strobe, self.modifier) if one}
        return of | ({self.unit.kind_id} if self.unit else set())


def own_of_house() -> Own:
    """Return whatever was measured of any figure."""
    found = defaultdict(list)
    strobes = list(Strobe.objects.values_list("pk", flat=True))
    seen = (
        *flash_seen(strobes, Modifier.objects.all()),
        *packs_seen(strobes),
        *turns_seen(),
        *daylight_seen(),
    )
    for one in seen:
        found[one.figure].append(one)
    return Own({figure: tuple(rows) for figure, rows in found.items()}, choices())


def figures() -> list[Figure]:
    """Return the figures anything was measured of, and those that every house has."""
    own = own_of_house()
    strobes, modifiers = Strobe.objects.in_bulk(), Modifier.objects.in_bulk()
    units = KitUnit.objects.select_related("kind").in_bulk()
    found = []
    for key in sorted(own.seen):
        kind, *numbers = key.split(":")
        if kind == "guide-number":
            strobe, modifier = strobes[int(numbers[0])], modifiers.get(int(numbers[1]))
            found.append(_guide(key, strobe, modifier, own))
        elif kind == "flashes":
            found.append(_flashes(key, strobes[int(numbers[0])], units[int(numbers[1])], own))
    found.sort(key=lambda one: (one.kind, one.strobe.name, str(one.modifier or one.unit or "")))
    found.append(_plain(TURN_FIGURE, TURN_PRIOR, turn_minutes(own), own))
    found.append(_plain(FRAME_FIGURE, FRAMES_PRIOR, frames_each(own), own))
    found += [_daylight(sky, own) for sky in SKIES]
    return found


def figure_of(key: str) -> Figure:
    """Return one figure. Raises NotFound for one nothing was measured of, or that there is not."""
    for one in figures():
        if one.key == key:
            return one
    raise NotFound(key)


def sets_named(found: Figure) -> dict[int, PlannedSet]:
    """Return the sets the measurements of a figure were made on."""
    wanted = {one.set_id for one in found.seen if one.set_id}
    return PlannedSet.objects.select_related("workshop", "location").in_bulk(wanted)


def _guide(key: str, strobe: Strobe, modifier: Modifier | None, own: Own) -> Figure:
    prior, learned = guide_prior(strobe, modifier, own), guide_number(strobe, modifier, own)
    return _figure(key, "guide-number", prior, learned, own, strobe=strobe, modifier=modifier)


def _flashes(key: str, strobe: Strobe, unit: KitUnit, own: Own) -> Figure:
    pack = own.seen[key][0].detail.pack
    prior, learned = flashes_prior(strobe, pack), flashes_of_pack(strobe, pack, own)
    return _figure(key, "flashes", prior, learned, own, strobe=strobe, unit=unit)


def _daylight(sky: str, own: Own) -> Figure:
    learned = daylight_bias(sky, own)
    return _figure(daylight_figure(sky), "daylight", DAYLIGHT_PRIOR, learned, own, sky=sky)


def _plain(key: str, prior: Prior, learned: Learned, own: Own) -> Figure:
    return _figure(key, key, prior, learned, own)


def _figure(key: str, kind: str, prior: Prior, learned: Learned, own: Own, **of) -> Figure:
    seen = sorted(own.seen.get(key, ()), key=lambda one: (one.at, one.key), reverse=True)
    begun = own.choices.counts_from.get(key)
    return Figure(key, kind, prior, learned, tuple(seen), begun=begun, **of)

"""The figures a plan takes from what the house has measured itself."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from planning.learn.drawdown import learned_flashes
from planning.learn.estimate import learned
from planning.learn.flash import FlashMetered, learned_guide
from planning.learn.habits import (
    COUNTED_FLASHES_WITHIN_STOPS,
    DAYLIGHT,
    DAYLIGHT_WITHIN_STOPS,
    FLASHES,
    FRAMES_EACH,
    GUIDE_NUMBER,
    RECKONED_FLASHES_WITHIN_STOPS,
    TURN_MIN,
    USUAL_WITHIN_STOPS,
)
from planning.learn.witness import Learned, Prior
from planning.models import PlannedLight
from planning.models.planned_set import USUAL_FRAMES, USUAL_TURN_MIN
from planning.physics.battery import flashes_per_charge
from planning.physics.constants import ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS
from planning.physics.flash import estimated_guide_number_m
from planning.selectors.own_daylight import daylight_figure, daylight_seen
from planning.selectors.own_flash import flash_seen, guide_figure
from planning.selectors.own_packs import Pack, flashes_figure, packs_seen
from planning.selectors.own_turns import FRAME_FIGURE, TURN_FIGURE, turns_seen
from planning.selectors.seen import Choices, Seen, choices
from workshops.models import KitUnit, Modifier, Strobe

# What a modifier's usual figure may be off by: common practice, no source.
MODIFIER_SPREAD_STOPS = 0.5
TURN_PRIOR = Prior(math.log2(USUAL_TURN_MIN), USUAL_WITHIN_STOPS)
FRAMES_PRIOR = Prior(math.log2(USUAL_FRAMES), USUAL_WITHIN_STOPS)
DAYLIGHT_PRIOR = Prior(0.0, DAYLIGHT_WITHIN_STOPS)


@dataclass(frozen=True)
class Own:
    """What was measured of the figures some plans ask for, and what of it counts."""

    seen: dict[str, tuple[Seen, ...]]
    choices: Choices

    def counted(self, figure: str, before: datetime | None = None) -> list:
        """Return what counts for a figure, perhaps only from days before one instant."""
        return [
            one.witness for one in self._that_count(figure) if before is None or one.at < before
        ]

    def metered(self, figure: str) -> list[FlashMetered]:
        """Return the flash readings that count for a guide number."""
        return [one.detail for one in self._that_count(figure)]

    def _that_count(self, figure: str) -> list[Seen]:
        return [one for one in self.seen.get(figure, ()) if self.choices.counts(one)]

    def changed_at(self, figures: Iterable[str]) -> list[datetime]:
        """Return when whatever these figures rest on was last changed."""
        times = []
        for figure in figures:
            times += [one.changed_at for one in self.seen.get(figure, ())]
            times += self.choices.changed_at(figure)
        return times


def own_of(lights: Sequence[PlannedLight], *, turns: bool = True) -> Own:
    """Return what was measured of the figures of these lights, in a fixed number of questions.

    ``turns`` asks for minutes and frames too.
    """
    found = defaultdict(list)
    for one in (*(turns_seen() if turns else ()), *daylight_seen()):
        found[one.figure].append(one)
    modifiers = {one.modifier.pk: one.modifier for one in lights if one.modifier}
    strobes = {light.strobe_id for light in lights}
    for one in (*flash_seen(strobes, modifiers.values()), *packs_seen(strobes)):
        found[one.figure].append(one)
    return Own({figure: tuple(seen) for figure, seen in found.items()}, choices())


def own_of_days() -> Own:
    """Return what was noted of turns and frames alone."""
    found = defaultdict(list)
    for one in turns_seen():
        found[one.figure].append(one)
    return Own({figure: tuple(seen) for figure, seen in found.items()}, choices())


def guide_number(strobe: Strobe, modifier: Modifier | None, own: Own) -> Learned:
    """Return the guide number of a pair in stops (2 log2 of metres), by all that is known.

    The pair's own readings move its prior: what was learned of the bare head, or the maker's
    figure, less the modifier's usual stops.
    """
    metered = own.metered(guide_figure(strobe.pk, modifier and modifier.pk))
    return learned_guide(guide_prior(strobe, modifier, own), metered, GUIDE_NUMBER)


def guide_prior(strobe: Strobe, modifier: Modifier | None, own: Own) -> Prior:
    """Return what is held of a pair before its own readings."""
    if modifier is not None:
        head = guide_number(strobe, None, own)
        if head.witnesses:
            spread = math.hypot(head.within, MODIFIER_SPREAD_STOPS)
            return Prior(head.middle + modifier.stops, spread)
    stops = modifier.stops if modifier else 0.0
    if strobe.guide_number_m:
        spread = math.hypot(
            strobe.guide_number_spread_stops, MODIFIER_SPREAD_STOPS if modifier else 0.0
        )
        return Prior(2.0 * math.log2(strobe.guide_number_m) + stops, max(spread, 0.01))
    guess_m = estimated_guide_number_m(strobe.energy_ws)
    return Prior(2.0 * math.log2(guess_m) + stops, ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS)


def guide_figures(light: PlannedLight) -> tuple[str, str]:
    """Return the figures the guide number of a light rests on."""
    pair = guide_figure(light.strobe_id, light.modifier_id)
    return pair, guide_figure(light.strobe_id, None)


def energy_ws(strobe: Strobe) -> float:
    """Return watt-seconds as recorded, else those whose usual guide number is the head's own."""
    if strobe.energy_ws:
        return strobe.energy_ws
    return (strobe.guide_number_m / estimated_guide_number_m(1.0)) ** 2


def flashes_prior(strobe: Strobe, pack: Pack, head: KitUnit | None = None) -> Prior:
    """Return what is held of the full-power flashes of one charge before any drawdown, in log2."""
    counted = (head.flashes_at_full if head else None) or strobe.flashes_at_full
    if counted:
        return Prior(math.log2(counted * pack.health_share), COUNTED_FLASHES_WITHIN_STOPS)
    reckoned = flashes_per_charge(pack.capacity_wh * pack.health_share, energy_ws(strobe))
    return Prior(math.log2(reckoned), RECKONED_FLASHES_WITHIN_STOPS)


def flashes_of_pack(strobe: Strobe, pack: Pack, own: Own, head: KitUnit | None = None) -> Learned:
    """Return the full-power flashes of one charge of a pack in a head, warm, in log2."""
    counted = own.counted(flashes_figure(strobe.pk, pack.unit_id))
    return learned_flashes(flashes_prior(strobe, pack, head), counted, FLASHES)


def packs_of_light(light: PlannedLight, listed: Sequence[KitUnit], own: Own) -> list[Pack]:
    """Return the packs a light may get: those on the kit list, else those it had before."""
    kind = light.battery or light.strobe.battery_kind
    if kind is None:
        return []
    if listed:
        return [Pack(one.pk, kind.pk, kind.capacity_wh, one.health_share) for one in listed]
    known = {}
    for figure, seen in own.seen.items():
        if figure.startswith(f"flashes:{light.strobe_id}:"):
            known |= {one.detail.pack.unit_id: one.detail.pack for one in seen}
    return [pack for pack in known.values() if pack.kind_id == kind.pk]


def turn_minutes(own: Own, before: datetime | None = None) -> Learned:
    """Return the minutes of one turn, changeover apart, in log2.

    ``before`` keeps the day itself out: its turns must not move while they are given.
    """
    return learned(TURN_PRIOR, own.counted(TURN_FIGURE, before), TURN_MIN)


def frames_each(own: Own, before: datetime | None = None) -> Learned:
    """Return the frames of one attendee on a set, in log2; ``before`` as in ``turn_minutes``."""
    return learned(FRAMES_PRIOR, own.counted(FRAME_FIGURE, before), FRAMES_EACH)


def daylight_bias(sky: str, own: Own, before: datetime | None = None) -> Learned:
    """Return how the readings under a sky stood to the equations, in stops.

    ``before`` keeps the day itself out: what is metered on a set replaces its estimate.
    """
    counted = own.counted(daylight_figure(sky), before)
    return learned(DAYLIGHT_PRIOR, counted, DAYLIGHT)


def flashes_figures(light: PlannedLight, own: Own) -> list[str]:
    """Return every figure of flashes that was measured with the head of a light."""
    return [figure for figure in own.seen if figure.startswith(f"flashes:{light.strobe_id}:")]

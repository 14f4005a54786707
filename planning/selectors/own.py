"""The figures a plan takes from what the house has measured itself."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from planning.learn.estimate import learned
from planning.learn.habits import GUIDE_NUMBER
from planning.learn.witness import Habits, Learned, Prior
from planning.models import PlannedLight
from planning.physics.constants import ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS
from planning.physics.flash import estimated_guide_number_m
from planning.selectors.own_flash import flash_seen, guide_figure
from planning.selectors.seen import Choices, Seen, choices
from workshops.models import Modifier, Strobe

# What a modifier's usual figure may be off by: common practice, no source.
MODIFIER_SPREAD_STOPS = 0.5


@dataclass(frozen=True)
class Own:
    """What was measured of the figures some plans ask for, and what of it counts."""

    seen: dict[str, tuple[Seen, ...]]
    choices: Choices

    def learned(self, figure: str, prior: Prior, habits: Habits) -> Learned:
        """Return a figure by its prior and everything that counts for it."""
        counted = [one.witness for one in self.seen.get(figure, ()) if self.choices.counts(one)]
        return learned(prior, counted, habits)

    def changed_at(self, figures: Iterable[str]) -> list[datetime]:
        """Return when whatever these figures rest on was last changed."""
        times = []
        for figure in figures:
            times += [one.changed_at for one in self.seen.get(figure, ())]
            times += self.choices.changed_at(figure)
        return times


def own_of(lights: Sequence[PlannedLight]) -> Own:
    """Return what was measured of the figures of these lights, in a fixed number of questions."""
    found = defaultdict(list)
    modifiers = {one.modifier.pk: one.modifier for one in lights if one.modifier}
    for one in flash_seen({light.strobe_id for light in lights}, modifiers.values()):
        found[one.figure].append(one)
    return Own({figure: tuple(seen) for figure, seen in found.items()}, choices())


def guide_number(strobe: Strobe, modifier: Modifier | None, own: Own) -> Learned:
    """Return the guide number of a pair in stops (2 log2 of metres), by all that is known.

    The pair's own readings move its prior: what was learned of the bare head, or the maker's
    figure, less the modifier's usual stops.
    """
    return own.learned(
        guide_figure(strobe.pk, modifier and modifier.pk),
        guide_prior(strobe, modifier, own),
        GUIDE_NUMBER,
    )


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

"""How a pack fares over time: what each drawdown makes of it against a new one."""

from dataclasses import dataclass
from datetime import datetime

from planning.learn.drawdown import alone_stops, learned_flashes
from planning.learn.habits import FLASHES
from planning.learn.witness import Prior
from planning.physics.battery import flashes_per_charge
from planning.selectors.own import energy_ws
from planning.selectors.own_packs import packs_seen
from planning.selectors.seen import choices
from workshops.models import KitUnit, Strobe


@dataclass(frozen=True)
class Health:
    """One drawdown: the share of what a new pack is reckoned to give in that head."""

    at: datetime  # on the clock of the place
    set_id: int
    strobe: str
    share: float
    low: float  # right within, nine times in ten
    high: float


def health_over_time(unit: KitUnit) -> list[Health]:
    """Return what each drawdown of a pack that counts says of its health, the oldest first.

    The same witnesses as its flashes of one charge; each alone, with the spread it has alone.
    """
    strobes = Strobe.objects.in_bulk()
    wanted, made = choices(), []
    for one in packs_seen(strobes):
        if one.detail.pack.unit_id != unit.pk or not wanted.counts(one):
            continue
        strobe = strobes[int(one.figure.split(":")[1])]
        alone = alone_stops(one.witness)
        if alone is None:
            continue
        new = flashes_per_charge(one.detail.pack.capacity_wh, energy_ws(strobe))
        if strobe.flashes_at_full:
            new = strobe.flashes_at_full
        within = learned_flashes(Prior(alone, 1.0), [one.witness], FLASHES).within
        share, factor = 2.0**alone / new, 2.0**within
        made.append(Health(one.at, one.set_id, strobe.name, share, share / factor, share * factor))
    return sorted(made, key=lambda one: (one.at, one.set_id))

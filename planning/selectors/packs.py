"""How often packs were emptied, by what was read when they went in and came out."""

from collections import defaultdict
from collections.abc import Iterable

from planning.after.packs import PackEvent, pack_uses
from planning.models import TallyEvent
from planning.selectors.lesson import standing

Kind = TallyEvent.Kind


def tallied_cycles(unit_ids: Iterable[int]) -> dict[int, float]:
    """Return the full charges that each pack gave on the sets it was read on, all sets ever.

    Used shares add up: two halves are one cycle (common practice, no source). A stay that was not
    read at both ends adds nothing. ``KitUnit.cycles`` is what the house wrote down before its
    first tally; nothing is written there by itself, so that what is taken back is out of the sum.
    """
    rows = TallyEvent.objects.filter(
        unit__in=list(unit_ids), kind__in=(Kind.PACK_IN, Kind.PACK_OUT)
    )
    of_sets = defaultdict(list)
    for event in standing(rows.order_by("at", "pk"), Kind.PACK_IN, Kind.PACK_OUT):
        of_sets[event.planned_set_id, event.unit_id].append(event)
    cycles: dict[int, float] = defaultdict(float)
    for (_set_id, unit_id), events in of_sets.items():
        for use in pack_uses(_plain(event) for event in events):
            cycles[unit_id] += max(use.used_share or 0.0, 0.0)
    return dict(cycles)


def _plain(event: TallyEvent) -> PackEvent:
    return PackEvent(
        goes_in=event.kind == Kind.PACK_IN,
        at=event.at,
        unit_id=event.unit_id,
        tag="",
        light=event.light_name,
        share=event.charge_share,
        lamps=event.charge_lamps,
    )

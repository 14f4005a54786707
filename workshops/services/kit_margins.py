"""Move every promise ahead with the margins of the house."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime
from itertools import pairwise

from django.db import transaction
from django.utils.translation import gettext as _

from workshops.errors import Refused
from workshops.models import Reservation, User, Workshop
from workshops.selectors.house import house
from workshops.selectors.promises import AHEAD, promised_span
from workshops.services.reservations import MOST_TOLD, and_more, locked_units, move
from workshops.words import date_text


@transaction.atomic
def follow_house(*, by: User | None, now: datetime) -> None:
    """Give every promise ahead the margins the house has now.

    Call in the transaction that wrote the house. Raises Refused naming the workshops whose
    promises would then overlap.
    """
    rules = house()
    ahead = Workshop.objects.filter(status__in=AHEAD, end_at__gte=now)
    spans = {one.pk: promised_span(one, rules) for one in ahead.select_for_update().order_by("pk")}
    rows = Reservation.objects.filter(workshop__in=spans)
    units = locked_units(pk__in=rows.values("unit"))
    moves, by_unit = [], defaultdict(list)
    for row in Reservation.objects.filter(unit__in=units).select_related("workshop", "unit"):
        span = spans.get(row.workshop_id, (row.start_at, row.end_at))
        by_unit[row.unit_id].append((span, row))
        if span != (row.start_at, row.end_at):
            moves.append((row, span))
    if not moves:
        return
    _refuse_meeting(by_unit.values())
    # On each unit's line of promises, whoever gives way moves before its neighbour moves up.
    later_end = moves[0][1][1] > moves[0][0].end_at
    moves.sort(key=lambda move: move[0].start_at, reverse=later_end)
    move(by, moves)


def _refuse_meeting(lines: Iterable[list]) -> None:
    meet = [
        (row, after)
        for line in lines
        for (span, row), (next_span, after) in pairwise(sorted(line, key=lambda one: one[0]))
        if next_span[0] < span[1]
    ]
    if not meet:
        return
    sentence = _("%(unit)s: %(first)s on %(day)s and %(second)s on %(other)s would overlap.")
    told = [
        sentence
        % {
            "unit": row.unit.tag,
            "first": row.workshop,
            "day": date_text(row.workshop.start_at, row.workshop.timezone_name),
            "second": after.workshop,
            "other": date_text(after.workshop.start_at, after.workshop.timezone_name),
        }
        for row, after in meet[:MOST_TOLD]
    ]
    advice = _("Keep the hours shorter, or give these units free on one of the two lists first.")
    raise Refused([*told, *and_more(len(meet)), advice])

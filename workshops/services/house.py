"""House rules and booking terms."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from workshops import audit
from workshops.models import House, Terms, TermsRow, User
from workshops.selectors.house import house
from workshops.services.again import again
from workshops.services.kit_margins import follow_house
from workshops.services.records import check_seen, save_record
from workshops.services.reservations import lock_rules


@again
@transaction.atomic
def save_house(
    *,
    by: User | None,
    now: datetime,
    record: House | None = None,
    seen: datetime | None = None,
    **rules,
) -> House:
    """Return the one House record, as its form left it or with the rules given changed.

    What is promised of the kit moves with the margins. Raises Stale when it changed after
    ``seen``, Refused for a rule out of its range or margins that make promises overlap.
    """
    lock_rules()
    record = record or house()
    for name, value in rules.items():
        setattr(record, name, value)
    save_record(by=by, record=record, seen=seen)
    follow_house(by=by, now=now)
    return record


@transaction.atomic
def add_terms(*, by: User | None, rows: Iterable[tuple[int, float]] = (), **fields) -> Terms:
    """Return new booking terms; each row is (days before the start, share refunded).

    Raises Refused for a name in use, a day given twice or a share outside 0 to 1.
    """
    return save_terms(by=by, terms=Terms(**fields), rows=rows)


@transaction.atomic
def save_terms(
    *,
    by: User | None,
    terms: Terms,
    rows: Iterable[tuple[int, float]],
    deposit_share: float | None = None,
    seen: datetime | None = None,
) -> Terms:
    """Return booking terms with exactly these rows; only what differs is written.

    Raises Stale when they changed after ``seen``, Refused as ``add_terms`` does.
    """
    if terms.pk:
        check_seen(terms, seen)
    if deposit_share is not None:
        terms.deposit_share = deposit_share
    audit.write(terms, by=by)
    rows = list(rows)
    wanted, known = dict(rows), {row.days_before: row for row in terms.rows.all()}
    for days_before in known.keys() - wanted.keys():
        audit.erase(known[days_before], by=by)
    for days_before, refunded_share in rows:
        row = known.get(days_before) or TermsRow(terms=terms, days_before=days_before)
        row.refunded_share = refunded_share
        audit.write(row, by=by)
    if wanted.keys() - known.keys():
        audit.touch(terms)
    return terms

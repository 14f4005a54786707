"""House rules and booking terms."""

from collections.abc import Iterable

from django.db import transaction

from workshops import audit
from workshops.models import House, Terms, TermsRow, User
from workshops.selectors.house import house


@transaction.atomic
def save_house(*, by: User | None, **rules) -> House:
    """Return the one House record with the rules given changed.

    Raises Refused for a rule out of its range.
    """
    record = house()
    for name, value in rules.items():
        setattr(record, name, value)
    audit.write(record, by=by)
    return record


@transaction.atomic
def add_terms(
    *, by: User | None, name: str, text: str = "", rows: Iterable[tuple[int, float]] = ()
) -> Terms:
    """Return new booking terms; each row is (days before the start, share refunded).

    Raises Refused for a name in use, a day given twice or a share outside 0 to 1.
    """
    terms = audit.write(Terms(name=name, text=text), by=by)
    for days_before, refunded_share in rows:
        row = TermsRow(terms=terms, days_before=days_before, refunded_share=refunded_share)
        audit.write(row, by=by)
    return terms

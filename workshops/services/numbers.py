"""Numbers given out in order, each once and none left out."""

from django.db import transaction

from workshops.models import NumberSeries

RECEIPTS, INVOICES = "receipt", "invoice"


def next_number(series: str, *, year: int, prefix: str = "") -> str:
    """Return the next number of a series in a year, such as "R2027-0001".

    Its row stays locked until the transaction ends: whoever asks meanwhile waits, and when it is
    undone the number is given out again. Call inside a transaction.
    """
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError("a number is taken with what bears it")
    row, _made = NumberSeries.objects.get_or_create(series=series, year=year)
    row = NumberSeries.objects.select_for_update().get(pk=row.pk)
    row.last += 1
    row.save(update_fields=["last"])
    return f"{prefix}{year}-{row.last:04}"

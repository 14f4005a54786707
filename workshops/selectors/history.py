"""Questions about who changed what."""

from workshops.models import AuditEntry
from workshops.models.base import Record


def last_change(record: Record) -> AuditEntry | None:
    """Return the newest audit entry of a record."""
    kind = record._meta.label_lower
    rows = AuditEntry.objects.filter(record_type=kind, record_id=str(record.pk))
    return rows.select_related("who").first()

"""Questions about who changed what."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.apps import apps
from django.core.exceptions import FieldDoesNotExist
from django.db import models
from django.db.models import Q, QuerySet
from django.utils.text import capfirst

from workshops.audit import HIDDEN
from workshops.models import AuditEntry
from workshops.models.base import Record


@dataclass(frozen=True)
class FieldChange:
    """One field before and after, as text."""

    field: str
    before: str
    after: str


@dataclass(frozen=True)
class Change:
    """One change to one record: who, when, what."""

    at: datetime
    who: str
    action: str
    record: str
    is_change: bool  # and no creation or deletion, which hold every field there is
    fields: list[FieldChange]


def last_change(record: Record) -> AuditEntry | None:
    """Return the newest audit entry of a record."""
    changes = _entries([record]).exclude(action=AuditEntry.Action.READ)
    return changes.select_related("who").first()


def history(record: Record) -> QuerySet[AuditEntry]:
    """Return the audit of a record and of what is part of it now, the newest first."""
    return _entries([record, *_parts(record)])


def told(entries: Iterable[AuditEntry]) -> list[Change]:
    """Return audit entries in words; references are named in one query for each kind."""
    entries = list(entries)
    names = _names(entries)
    return [
        Change(
            at=entry.at,
            who=entry.who_text,
            action=entry.get_action_display(),
            record=f"{capfirst(_kind(entry))} {entry.record_text}",
            is_change=entry.action == AuditEntry.Action.CHANGED,
            fields=[
                _field(entry, name, pair, names)
                for name, pair in entry.changes.items()
                if name != "id" and pair != [None, ""]
            ],
        )
        for entry in entries
    ]


def _entries(records: Iterable[models.Model]) -> QuerySet[AuditEntry]:
    wanted: dict[str, list[str]] = {}
    for record in records:
        wanted.setdefault(record._meta.label_lower, []).append(str(record.pk))
    which = Q(pk__in=())
    for kind, keys in wanted.items():
        which |= Q(record_type=kind, record_id__in=keys)
    return AuditEntry.objects.filter(which)


def _parts(record: Record) -> Iterable[models.Model]:
    """Yield what names the record among the wholes it is part of."""
    for relation in record._meta.related_objects:
        part = relation.related_model
        if relation.field.name in getattr(part, "part_of", ()):
            yield from part._base_manager.filter(**{relation.field.name: record}).only("pk")


def _model(entry: AuditEntry) -> type[models.Model] | None:
    try:
        return apps.get_model(entry.record_type)
    except LookupError:  # a kind of record that an earlier version kept
        return None


def _kind(entry: AuditEntry) -> str:
    model = _model(entry)
    return str(model._meta.verbose_name) if model else entry.record_type


def _names(entries: list[AuditEntry]) -> dict[tuple[type, str], str]:
    """Return the names of the records that entries refer to, by model and number."""
    wanted: dict[type, set[str]] = {}
    for entry in entries:
        for name, pair in entry.changes.items():
            field = _field_of(entry, name)
            if field is not None and field.is_relation:
                wanted.setdefault(field.related_model, set()).update(
                    str(one) for one in pair if one and one != HIDDEN
                )
    return {
        (model, str(one.pk)): str(one)
        for model, keys in wanted.items()
        for one in model._base_manager.filter(pk__in=keys)
    }


def _field_of(entry: AuditEntry, name: str) -> models.Field | None:
    model = _model(entry)
    try:
        return model._meta.get_field(name) if model else None
    except FieldDoesNotExist:
        return None


def _field(entry: AuditEntry, name: str, pair: list, names: dict) -> FieldChange:
    field = _field_of(entry, name)
    label = str(getattr(field, "verbose_name", name))

    def shown(value) -> str:
        if value is None or value == "":
            return "—"
        if field is not None and field.is_relation:
            return names.get((field.related_model, str(value)), f"({value})")
        choices = dict(field.flatchoices) if field is not None else {}
        return str(choices.get(value, value))

    return FieldChange(capfirst(label), shown(pair[0]), shown(pair[1]))

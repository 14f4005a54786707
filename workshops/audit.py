"""Every change is written with the record it changes, in one transaction."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, date, datetime
from typing import Any

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import models, transaction
from django.db.models.deletion import Collector
from django.utils import timezone

from workshops.errors import Refused
from workshops.models import AuditEntry, User
from workshops.models.base import Record

HIDDEN = "(not kept)"
_way: ContextVar[str] = ContextVar("way", default="")


@contextmanager
def by_way_of(words: str) -> Iterator[None]:
    """Let changes without an account say in this block how they came, such as by a link."""
    token = _way.set(words)
    try:
        yield
    finally:
        _way.reset(token)


def snapshot(record: models.Model) -> dict[str, Any]:
    """Return a record's own fields by name, as JSON can hold them."""
    hides = getattr(record, "audit_hides", ())
    kept = {}
    for field in record._meta.concrete_fields:
        if field.name == "changed_at" or field.name.endswith("_ptr"):
            continue
        value = field.value_from_object(record)
        if isinstance(value, datetime) and value.tzinfo:
            value = value.astimezone(UTC).isoformat()
        elif isinstance(value, datetime | date):
            value = value.isoformat()
        elif not isinstance(value, bool | int | float | str | list | dict | None):
            value = str(value)
        kept[field.name] = (HIDDEN, value) if field.name in hides else value
    return kept


def stored(record: models.Model) -> dict[str, Any] | None:
    """Return the snapshot of what the database holds now, its row locked; None for a new one."""
    if record.pk is None:
        return None
    # Ordered by the key alone: the model's own order may join rows that cannot be locked.
    rows = type(record)._base_manager.select_for_update().order_by("pk")
    kept = rows.filter(pk=record.pk).first()
    return snapshot(kept) if kept else None


@transaction.atomic
def write(record: models.Model, *, by: User | None, checked: bool = False) -> models.Model:
    """Save a record with its audit entry, and return it; one that did not change is left alone.

    Raises Refused, with everything as it was, when the record breaks a rule. ``checked`` says
    that a form has applied the rules already.
    """
    before = stored(record)
    if not checked:
        try:
            record.full_clean()
        except ValidationError as fault:
            raise Refused(_named(fault, record)) from None
    if before is not None and before == snapshot(record):
        return record  # nothing to keep, and nothing that should count as changed
    record.save()
    after = snapshot(type(record)._base_manager.get(pk=record.pk))
    note(record, before, after, by=by)
    if before and before != after:
        _touch(_wholes(record, before) | _wholes(record, after))
    return record


@transaction.atomic
def write_all(records: list[models.Model], *, by: User | None) -> None:
    """Save many records of one model, new and known ones, each with its audit entry.

    As ``write`` does for records that are checked already, in a few questions to the database
    for all of them: a list of 2,000 is brought in within seconds.
    """
    if not records:
        return
    rows, known = type(records[0])._base_manager, [one.pk for one in records if one.pk]
    locked = rows.select_for_update().order_by("pk")
    before = {one.pk: snapshot(one) for one in locked.filter(pk__in=known)}
    changed = [one for one in records if before.get(one.pk) != snapshot(one)]
    rows.bulk_create([one for one in changed if one.pk not in before])
    for one in changed:
        if one.pk in before:
            one.save()
    stored_now = {one.pk: one for one in rows.filter(pk__in=[one.pk for one in changed])}
    entries, wholes = [], set()
    for record in changed:
        was, after = before.get(record.pk), snapshot(stored_now[record.pk])
        entries.append(_entry(record, was, after, by=by))
        if was:
            wholes |= _wholes(record, was) | _wholes(record, after)
    AuditEntry.objects.bulk_create([one for one in entries if one])
    _touch(wholes)


@transaction.atomic
def erase(record: models.Model, *, by: User | None) -> None:
    """Delete a record and what hangs on it, one audit entry for each.

    What only pointed at it stays, pointing at nothing, and is noted as changed. What it was
    part of counts as changed now.
    """
    collector = Collector(using=record._state.db or "default", origin=record)
    collector.collect([record])
    _let_go(collector, by=by)
    gone = [one for found in collector.data.values() for one in found]
    gone += [one for found in collector.fast_deletes for one in found]
    wholes, entries = set(), []
    for one in _with_every_field(gone):
        kept = snapshot(one)
        wholes |= _wholes(one, kept)
        entries.append(_entry(one, kept, None, by=by))
    AuditEntry.objects.bulk_create(entries)  # thousands, of a lot of frames
    record.delete()
    _touch(wholes)


def _with_every_field(records: list[models.Model]) -> list[models.Model]:
    """Return the same rows read whole, in one question a model: a collector asks for keys alone."""
    keys: dict[type[models.Model], list] = {}
    for one in records:
        keys.setdefault(type(one), []).append(one.pk)
    return [
        row
        for model, pks in keys.items()
        for row in model._base_manager.filter(pk__in=pks).order_by("pk")
    ]


def _let_go(collector: Collector, *, by: User | None) -> None:
    """Empty, with an audit entry each, the references that a deletion would empty silently."""
    for (field, value), batches in collector.field_updates.items():
        if not issubclass(field.model, Record):
            continue
        keys = [one.pk for batch in batches for one in batch]
        for one in field.model._base_manager.filter(pk__in=keys).order_by("pk"):
            setattr(one, field.attname, value)
            write(one, by=by, checked=True)


def _wholes(record: models.Model, kept: dict[str, Any]) -> set[tuple[type[models.Model], Any]]:
    """What a record is part of, as (model, primary key), by a snapshot of it."""
    fields = [record._meta.get_field(name) for name in getattr(record, "part_of", ())]
    return {(field.related_model, kept[field.name]) for field in fields if kept[field.name]}


def touch(record: models.Model) -> None:
    """Let a record count as changed now, for a part that was added to it."""
    _touch({(type(record), record.pk)})


def _touch(wholes: set[tuple[type[models.Model], Any]]) -> None:
    for model, pk in wholes:
        model._base_manager.filter(pk=pk).update(changed_at=timezone.now())


def note(
    record: models.Model,
    before: dict[str, Any] | None,
    after: dict[str, Any] | None,
    *,
    by: User | None,
) -> None:
    """Write one audit entry, unless nothing changed."""
    if entry := _entry(record, before, after, by=by):
        entry.save()


def _entry(
    record: models.Model,
    before: dict[str, Any] | None,
    after: dict[str, Any] | None,
    *,
    by: User | None,
) -> AuditEntry | None:
    """Return what is to be kept of a change, None when there was none."""
    Action = AuditEntry.Action
    action = Action.CREATED if before is None else Action.DELETED if after is None else None
    old, new = before or {}, after or {}
    changes = {
        name: [_shown(old.get(name)), _shown(new.get(name))]
        for name in (new or old)
        if old.get(name) != new.get(name)
    }
    if action is None and not changes:
        return None
    return AuditEntry(
        who=by,
        who_text=by.email if by else _way.get(),
        action=action or Action.CHANGED,
        record_type=record._meta.label_lower,
        record_id=str(record.pk),
        record_text=str(record)[:200],
        changes=changes,
    )


def note_reading(record: models.Model, what: str, *, by: User) -> None:
    """Write that somebody read what was told in confidence; not what it says."""
    AuditEntry.objects.create(
        who=by,
        who_text=by.email,
        action=AuditEntry.Action.READ,
        record_type=record._meta.label_lower,
        record_id=str(record.pk),
        record_text=str(record)[:200],
        changes={what: ["", HIDDEN]},
    )


def _named(fault: ValidationError, record: models.Model) -> dict[str, list[str]]:
    """Return what a record was refused for, each sentence with the name of its field."""
    named = {}
    for field, sentences in fault.message_dict.items():
        if field == NON_FIELD_ERRORS:
            named[field] = sentences
            continue
        label = str(record._meta.get_field(field).verbose_name)
        named[field] = [
            # A sentence of ours begins with the name already, perhaps without its unit.
            one if label.lower().startswith(one.partition(":")[0].lower()) else f"{label}: {one}"
            for one in sentences
        ]
    return named


def _shown(value: Any) -> Any:
    return value[0] if isinstance(value, tuple) else value

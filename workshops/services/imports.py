"""Keep a list somebody brings in, import it whole or not at all, and forget it."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.lists.outcome import Plan
from workshops.lists.preview import preview
from workshops.models import Booking, House, ImportFile, User, Workshop
from workshops.services.waitlist import locked, move_on
from workshops.words import counted

KEPT = timedelta(days=1)


class LookAgain(Refused):
    """What would happen is no longer what was shown."""


@transaction.atomic
def keep_file(
    *,
    by: User,
    kind: str,
    name: str,
    content: bytes,
    now: datetime,
    workshop: Workshop | None = None,
) -> ImportFile:
    """Return a file kept until its import, for a day at most."""
    return ImportFile.objects.create(
        by=by, kind=kind, name=name[:200], content=content, made_at=now, workshop=workshop
    )


@transaction.atomic
def set_reading(*, file: ImportFile, **told) -> ImportFile:
    """Return the file with more said about how it is read."""
    file = ImportFile.objects.select_for_update().get(pk=file.pk)
    file.reading = file.reading | told
    file.save(update_fields=["reading"])
    return file


def import_file(
    *, by: User, file: ImportFile, house: House, now: datetime, shown: str
) -> dict[str, int]:
    """Return how many rows were new, changed and the same; all are imported, or none.

    ``shown`` is the mark of the plan its reader saw. A second call for one file imports nothing
    and returns the same counts. Raises LookAgain where the records have changed so that
    something else would happen, Refused where a row is refused; then nothing has changed.
    """
    try:
        with transaction.atomic():
            # All of them, so that two lists with the same people are imported one after the other.
            list(ImportFile.objects.select_for_update().order_by("pk").values_list("pk"))
            file = ImportFile.objects.select_related("workshop").get(pk=file.pk)
            if "done" in file.reading:
                return file.reading["done"]
            if file.workshop:
                # Seats stay as they are from here on; lapsed offers are over, as the plan counts.
                file.workshop = locked(file.workshop_id)
                move_on(by=by, workshop=file.workshop, now=now)
            found = preview(file, house=house, now=now)
            if not found.ready:
                raise Refused(_("Some rows are refused: nothing is imported."))
            if found.plan.mark != shown:
                raise LookAgain(
                    _("The records have changed meanwhile: look again. Nothing is imported.")
                )
            _save(found.plan, by=by)
            if file.workshop:
                _book(found.plan, file.workshop, by=by, now=now)
            return _done(file, found.plan.counts)
    except IntegrityError:
        raise LookAgain(
            _("Somebody entered the same at this moment: look again. Nothing is imported.")
        ) from None


def _save(plan: Plan, *, by: User) -> None:
    """Write the records of all rows: those that others point at first."""
    records = [record for outcome in plan.outcomes for record in outcome.records]
    models = dict.fromkeys(type(record) for record in sorted(records, key=_depth))
    for model in models:
        # A kind that several rows name is written once.
        those = list(dict.fromkeys(id(one) for one in records if type(one) is model))
        by_id = {id(one): one for one in records}
        batch = [by_id[key] for key in those]
        _point(batch)
        audit.write_all(batch, by=by)


def _depth(record: Model) -> int:
    """People before their cameras, kinds before their units."""
    return 1 if any(hasattr(record, name) for name in ("owner_id", "kind_id")) else 0


def _point(records: Iterable[Model]) -> None:
    """Let records point at what was given its number only now."""
    for record in records:
        for name in ("owner", "kind"):
            if hasattr(record, f"{name}_id"):
                setattr(record, name, getattr(record, name))


def _book(plan: Plan, workshop: Workshop, *, by: User, now: datetime) -> None:
    """Book the rows as the plan says, with seats locked: one by one takes minutes for 2,000."""
    bookings = [
        Booking(
            workshop=workshop,
            person=one.subject,
            seat_id=one.seat,
            state=Booking.State.HELD if one.seat else Booking.State.WAITLISTED,
            booked_at=now,
            camera=one.camera,
            price=workshop.price,
        )
        for one in plan.outcomes
        if one.books
    ]
    audit.write_all(bookings, by=by)
    move_on(by=by, workshop=workshop, now=now)


def _done(file: ImportFile, counts: dict[str, int]) -> dict[str, int]:
    """Forget the content and keep the counts, for whoever pressed twice."""
    file.content, file.reading = b"", {"done": counts}
    file.save(update_fields=["content", "reading"])
    return counts


@transaction.atomic
def forget_file(*, file: ImportFile) -> None:
    """Delete a file that is not to be imported."""
    ImportFile.objects.filter(pk=file.pk).delete()


def forget_lists(now: datetime) -> str:
    """Forget the lists brought in more than a day ago."""
    count, _each = ImportFile.objects.filter(made_at__lt=now - KEPT).delete()
    lists = counted(count, "list", "lists")
    return f"forgot {lists} brought in more than a day ago" if count else ""

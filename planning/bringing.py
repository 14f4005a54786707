"""Files with frames -> lots: what the page and the command share."""

import time
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import islice

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from planning.frames_in import FrameFile, store
from planning.models import FrameLot
from planning.services.frames import delete_lot, end_lot, open_lot, take_frames
from workshops.models import Booking, User, Workshop

BATCH = 100  # files of one transaction


def bring(
    *,
    by: User | None,
    workshop: Workshop,
    booking: Booking | None,
    name: str,
    files: Sequence[FrameFile],
    now: datetime,
) -> FrameLot:
    """Return the ended lot of files that are read already. Raises Refused."""
    told = {"name": name, "expected": len(files), "now": now}
    lot = open_lot(by=by, workshop=workshop, booking=booking, **told)
    for batch in batches(files):
        take_frames(by=by, lot=lot, files=batch)
    return end_lot(by=by, lot=lot, now=now)


def begin(
    *,
    by: User | None,
    workshop: Workshop,
    booking: Booking | None,
    name: str,
    upload: store.Upload,
    now: datetime,
) -> FrameLot:
    """Return the lot of a ZIP or a CSV, nothing of it taken yet. Raises Refused."""
    source = store.source_of(upload.path)
    source.close()
    told = {"name": name, "expected": len(source), "now": now}
    lot = open_lot(by=by, workshop=workshop, booking=booking, **told)
    store.keep(upload, lot.pk)
    return lot


def go_on(*, by: User | None, lot: FrameLot, now: datetime, for_s: float) -> FrameLot:
    """Return the lot after some more of its files: for so long, and at least one batch.

    With the last of them, and where its file is gone, the lot ends and its file is deleted.
    """
    until_s = time.monotonic() + for_s
    try:
        with store.opened(lot.pk) as source:
            for batch in batches(source.files(lot.done)):
                lot = take_frames(by=by, lot=lot, files=batch, start=lot.done)
                if time.monotonic() > until_s and lot.done < len(source):
                    return lot
    except FileNotFoundError:
        pass  # what came in stays; the page says how many of how many
    except ValidationError as refusal:
        lot.refresh_from_db()
        if lot.ended_at is None:
            why = [[lot.name, " ".join(refusal.messages)]]
            FrameLot.objects.filter(pk=lot.pk).update(faults=[*lot.faults, *why])
    lot = end_lot(by=by, lot=lot, now=now)
    store.forget(lot.pk)
    return lot


def delete_whole(*, by: User | None, lot: FrameLot) -> None:
    """Delete a lot, its frames, and what of it still waits."""
    lot_id = lot.pk
    delete_lot(by=by, lot=lot)
    store.forget(lot_id)


def batches(files: Iterable, size: int | None = None) -> Iterator[list]:
    """Yield so many files at a time; without a size, as many as one transaction takes."""
    left = iter(files)
    while batch := list(islice(left, size or BATCH)):
        yield batch


def why_open(lot: FrameLot) -> str:
    """Return why a lot that has not ended is not at work, empty while it is."""
    if lot.ended_at is not None or store.waits(lot.pk):
        return ""
    return _("broken off: bring in the same files again, what is here is passed over")

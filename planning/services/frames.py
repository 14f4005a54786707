"""Bring frames in by what their Exif says, settle whose they are, and take a lot back."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.translation import gettext as _

from planning.after.same import Known, Looks
from planning.frames_in import FrameFile, base_name, plain
from planning.models import Frame, FrameLot
from workshops import audit
from workshops.errors import Refused
from workshops.models import Booking, User, Workshop
from workshops.models.closed import check_not_closed
from workshops.services.again import again

MOST_FILES = 20_000  # of one lot: a day of twelve people
MOST_FAULTS = 1000  # told one by one; the others are counted


@again
@transaction.atomic
def open_lot(
    *,
    by: User | None,
    workshop: Workshop,
    booking: Booking | None,
    name: str,
    expected: int | None,
    now: datetime,
) -> FrameLot:
    """Return a lot to bring frames in with.

    Raises Refused for too many files at once, and at a workshop that is closed.
    """
    _lock(workshop.pk)
    _check_seat(workshop, booking)
    _check_many(expected or 0)
    lot = FrameLot(
        workshop=workshop,
        booking=booking,
        name=plain(base_name(name)) if name else "",
        by=by,
        expected=expected,
        made_at=now,
    )
    return audit.write(lot, by=by, checked=True)


@again
@transaction.atomic
def take_frames(
    *, by: User | None, lot: FrameLot, files: Sequence[FrameFile], start: int | None = None
) -> FrameLot:
    """Return the lot with some more of its files in it.

    A frame of the workshop that is there already, be it under another name (after/same), is
    counted as known; where it was nobody's it becomes the lot's attendee's. ``start`` says how many
    files of the lot come before these: what was brought in up to there already is passed over, so
    that sending twice changes nothing.

    Raises Refused for more files than a lot holds, a lot that has ended, a workshop that is closed.
    """
    # The workshop first: two people may bring in the same frames at once.
    _lock(lot.workshop_id)
    lot = FrameLot.objects.select_for_update().get(pk=lot.pk)
    if start is not None:
        if start > lot.done:
            raise Refused(_("Some files before these have not come in: begin again."))
        files = files[lot.done - start :]
    if not files:
        return lot
    if lot.ended_at:
        raise Refused(_("These frames are all in: bring in others anew."))
    _check_many(lot.done + len(files))
    there = _there(lot.workshop_id, [one for one in files if one.tags])
    known, new = set(), {}
    for one in files:
        if one.tags is None:
            continue
        mark, looks = digest(one), _looks_of(one)
        if mark not in there.marks and mark not in new:
            mark = there.known.mark(looks) or mark
        if mark in there.marks:
            known.add(mark)
        elif mark not in new:
            new[mark] = _frame(lot, mark, one)
            there.known.add(looks, mark)
    _give(Frame.objects.filter(workshop=lot.workshop_id, digest__in=known), lot.booking, by=by)
    new = list(new.values())
    audit.write_all(new, by=by)
    _count(lot, files, taken=len(new))
    return lot


@again
@transaction.atomic
def end_lot(*, by: User | None, lot: FrameLot, now: datetime) -> FrameLot:
    """Return the lot, nothing more to come into it; one that ended before as it is."""
    lot = FrameLot.objects.select_for_update().get(pk=lot.pk)
    if lot.ended_at is None:
        lot.ended_at = now
        audit.write(lot, by=by, checked=True)
    return lot


@again
@transaction.atomic
def settle_body(*, by: User | None, workshop: Workshop, body: str, booking: Booking | None) -> int:
    """Return how many frames of a body became an attendee's; without one, nobody's."""
    _lock(workshop.pk)
    _check_seat(workshop, booking)
    frames = list(Frame.objects.filter(workshop=workshop, body=body).exclude(booking=booking))
    if not frames and not Frame.objects.filter(workshop=workshop, body=body).exists():
        raise Refused(_("There are no frames of this body here any more: look again."))
    return _make_theirs(frames, booking, by=by)


@again
@transaction.atomic
def delete_lot(*, by: User | None, lot: FrameLot) -> None:
    """Delete a lot and every frame that came in with it first."""
    audit.erase(lot, by=by)


@dataclass(frozen=True)
class _There:
    """The frames of a workshop that some files may repeat."""

    marks: frozenset[str]
    known: Known


def _there(workshop_id: int, files: Sequence[FrameFile]) -> _There:
    """Return the frames with the same tags, the same time, or the same file name."""
    rows = Frame.objects.alias(lower_name=Lower("file_name")).filter(
        Q(workshop=workshop_id),
        Q(digest__in={digest(one) for one in files})
        | Q(clock_at__in={one.tags.clock_at for one in files if one.tags.clock_at})
        | Q(lower_name__in={plain(base_name(one.name)).lower() for one in files}),
    )
    marks, looks = set(), []
    for mark, name, body, clock_at, *figures in rows.values_list(
        "digest", "file_name", "body", "clock_at", "shutter_s", "f_number", "iso"
    ):
        marks.add(mark)
        looks.append((Looks(name, body, clock_at, tuple(figures)), mark))
    return _There(frozenset(marks), Known(looks))


def _looks_of(file: FrameFile) -> Looks:
    tags = file.tags
    figures = (tags.shutter_s, tags.f_number, tags.iso)
    return Looks(plain(base_name(file.name)), tags.body, tags.clock_at, figures)


def digest(file: FrameFile) -> str:
    """Return the mark of a frame: the same for the same file name and the same tags."""
    tags = file.tags
    told = (
        base_name(file.name).casefold(),
        tags.make,
        tags.model,
        tags.serial,
        tags.clock_at.isoformat() if tags.clock_at else None,
        tags.offset_min,
        tags.shutter_s,
        tags.f_number,
        tags.iso,
        tags.focal_mm,
        tags.flash_bits,
    )
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()


def _lock(workshop_id: int) -> None:
    Workshop.objects.select_for_update().get(pk=workshop_id)
    check_not_closed(workshop_id)


def _check_seat(workshop: Workshop, booking: Booking | None) -> None:
    if booking and booking.workshop_id != workshop.pk:
        told = {"person": booking.person, "workshop": workshop}
        raise Refused(_("%(person)s has no seat at %(workshop)s.") % told)


def _check_many(count: int) -> None:
    if count > MOST_FILES:
        told = {"most": MOST_FILES}
        raise Refused(_("Bring in at most %(most)d files at a time, in parts.") % told)


def _frame(lot: FrameLot, mark: str, file: FrameFile) -> Frame:
    tags = file.tags
    return Frame(
        lot=lot,
        workshop_id=lot.workshop_id,
        booking_id=lot.booking_id,
        digest=mark,
        file_name=plain(base_name(file.name)),
        body=tags.body,
        clock_at=tags.clock_at,
        offset_min=tags.offset_min,
        shutter_s=tags.shutter_s,
        f_number=tags.f_number,
        iso=tags.iso,
        focal_mm=tags.focal_mm,
        flash_bits=tags.flash_bits,
    )


def _give(there, booking: Booking | None, *, by: User | None) -> None:
    """Let frames that are nobody's become those of whoever brings them in again."""
    if booking:
        _make_theirs(list(there.filter(booking=None)), booking, by=by)


def _make_theirs(frames: list[Frame], booking: Booking | None, *, by: User | None) -> int:
    for frame in frames:
        frame.booking = booking
    audit.write_all(frames, by=by)
    return len(frames)


def _count(lot: FrameLot, files: Sequence[FrameFile], *, taken: int) -> None:
    faults = [[one.name, one.why] for one in files if one.tags is None]
    lot.done += len(files)
    lot.taken += taken
    lot.known += len(files) - len(faults) - taken
    lot.faults = [*lot.faults, *faults][:MOST_FAULTS]
    # Who brought the lot in stands in the audit already, and each frame by itself.
    lot.save(update_fields=["done", "taken", "known", "faults", "changed_at"])

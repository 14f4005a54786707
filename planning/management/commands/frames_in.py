"""``manage.py frames_in WORKSHOP PATH...``: frames by their Exif, of folders, JPEGs, ZIPs, CSVs."""

from collections.abc import Iterable
from pathlib import Path

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils import timezone

from planning.bringing import batches
from planning.frames_in import FrameFile, paths, plain, store
from planning.management.selection import MOST_DIGITS, REFUSED
from planning.services.frames import MOST_FILES, end_lot, open_lot, take_frames
from workshops import audit
from workshops.models import Booking, Workshop
from workshops.words import counted

NOT_ALL = 1  # some files were not taken
INTERRUPTED = 130  # what shells give a program ended by Ctrl-C


class Command(BaseCommand):
    help = (
        "Bring in frames of a workshop by what their Exif says: body, time, exposure, focal "
        "length, flash. No picture is kept, no place is read; the same frame twice is once, so "
        "the same command again goes on where it was broken off."
    )

    def add_arguments(self, parser):
        parser.add_argument("workshop", metavar="WORKSHOP", help="number of the workshop")
        parser.add_argument(
            "paths", nargs="+", metavar="PATH", help="folder, JPEG, ZIP of JPEGs, CSV of tags"
        )
        parser.add_argument(
            "--booking", metavar="ID", help="whose they are, by the number of the booking"
        )

    def handle(self, *, workshop, paths: list[str], booking, **options):
        self.taken = self.known = self.failed = 0
        try:
            self.workshop = _one(Workshop, workshop, "WORKSHOP")
            rows = Booking.objects.filter(workshop=self.workshop).select_related("person")
            self.booking = _one(rows, booking, "--booking") if booking else None
            with audit.by_way_of("manage.py frames_in"):
                self._bring(paths)
        except DatabaseError as reason:
            self._refuse(f"The database holds no records yet ({reason}): run the demo, or migrate.")
        except ValidationError as refusal:
            self._refuse(" ".join(refusal.messages))
        except KeyboardInterrupt:
            raise CommandError(
                f"interrupted: {self._so_far()}; run the same command again to go on",
                returncode=INTERRUPTED,
            ) from None
        self.stdout.write(self._so_far())
        if self.failed:
            nothing = not self.taken + self.known
            raise CommandError(
                "nothing was taken" if nothing else "not all files were taken",
                returncode=REFUSED if nothing else NOT_ALL,
            )

    def _bring(self, names: list[str]) -> None:
        try:
            found = paths.found(map(Path, names))
        except OSError as fault:
            self._refuse(f"{fault.filename} cannot be read: {fault.strerror}.")
        if found.left_aside:
            others = counted(found.left_aside.total(), "other file", "other files")
            kinds = ", ".join(f"{n} {end or 'of no ending'}" for end, n in _commonest(found))
            self.stderr.write(f"left aside: {others} of the folders ({kinds})")
        if not found.jpegs and not found.holders:
            self._refuse("There is no JPEG, ZIP or CSV: name the folder the frames are in.")
        name = names[0] if len(names) == 1 else ""
        # So many in one lot, and no lot without files.
        for part in batches(found.jpegs, MOST_FILES):
            self._lot(name, len(part), map(paths.read, part))
        for path in found.holders:
            try:
                with store.reading(path) as source:
                    self._lot(str(path), len(source), source.files(0))
            except (OSError, ValidationError) as fault:
                self._fault(str(path), _words(fault))

    def _lot(self, name: str, expected: int, files: Iterable[FrameFile]) -> None:
        now = timezone.now()
        told = {"workshop": self.workshop, "booking": self.booking, "name": name}
        lot = open_lot(by=None, expected=expected, now=now, **told)
        for batch in batches(files):
            before = lot.taken, lot.known
            lot = take_frames(by=None, lot=lot, files=batch)
            self.taken += lot.taken - before[0]
            self.known += lot.known - before[1]
            for one in batch:
                if one.tags is None:
                    self._fault(one.name, one.why)
            self.stderr.write(f"{lot.done} of {expected}  {name}".rstrip())
        end_lot(by=None, lot=lot, now=now)

    def _fault(self, name: str, why: str) -> None:
        self.failed += 1
        self.stderr.write(f"not taken: {name}: {why}")

    def _so_far(self) -> str:
        taken = counted(self.taken, "frame taken", "frames taken")
        failed = counted(self.failed, "file not taken", "files not taken")
        return f"{taken}, {self.known} here before, {failed}"

    def _refuse(self, message: str):
        raise CommandError(message, returncode=REFUSED)


def _one(rows, number: str, argument: str):
    """Return the record of that number, or refuse it by the name of its argument."""
    rows = rows._default_manager.all() if isinstance(rows, type) else rows
    is_number = number.isascii() and number.isdigit() and len(number) <= MOST_DIGITS
    one = rows.filter(pk=int(number)).first() if is_number else None
    if one is None:
        there = ", ".join(f"{row.pk} {_called(row)}" for row in rows.order_by("-pk")[:10])
        raise CommandError(
            f"{argument} {number}: there is none of that number. There are: {there or 'none'}",
            returncode=REFUSED,
        )
    return one


def _commonest(found: paths.Found) -> list[tuple[str, int]]:
    return [(plain(ending), count) for ending, count in found.left_aside.most_common(6)]


def _called(row) -> str:
    return str(row.person) if isinstance(row, Booking) else str(row)


def _words(fault: Exception) -> str:
    if isinstance(fault, OSError):
        return f"It cannot be read: {fault.strerror}."
    return " ".join(fault.messages)

"""``manage.py print_sheets WORKSHOP_ID --out DIR``: a PDF for every set, and one of all."""

import os
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from planning import selectors
from planning.models import PlannedSet
from planning.printing import NotPrintable, Sheet, bytes_of, sheet_of
from planning.sheets.options import PAPERS, print_options
from planning.sheets.pdf import SheetFailed
from workshops.models import Workshop
from workshops.selectors.house import house

REFUSED = 2  # the exit code of input nothing can be printed from
NOT_ALL = 1  # some sheets are there, some are not
PACK = "all-sets.pdf"


class Command(BaseCommand):
    help = "Print the set sheets of a workshop as PDF files: one for each set, and one of all."

    def add_arguments(self, parser):
        parser.add_argument("workshop_id", metavar="WORKSHOP_ID", help="number of the workshop")
        parser.add_argument("--out", required=True, metavar="DIR", help="folder for the PDF files")
        parser.add_argument(
            "--paper", choices=sorted(PAPERS), help="paper, if not the one of the house"
        )

    def handle(self, *, workshop_id, out, paper, **options):
        set_ids = self._sets_of(workshop_id)
        folder = self._folder(out)
        options = print_options(house(), paper=paper)
        sheets, missing = [], []
        for number, set_id in enumerate(set_ids, start=1):
            count = f"{number} of {len(set_ids)}"
            try:
                sheet = sheet_of(set_id, options)
                self._write(folder / sheet.file_name, bytes_of([sheet], options))
            except (NotPrintable, SheetFailed) as reason:
                missing.append(f"{self._title(set_id)}: {reason}")
                self.stderr.write(f"{count}  not printed: {missing[-1]}")
                continue
            sheets.append(sheet)
            self.stdout.write(f"{count}  {sheet.file_name}, {_pages(sheet)}")
        if sheets:
            self._write(folder / PACK, bytes_of(sheets, options))
        self.stdout.write(f"{len(sheets)} of {len(set_ids)} sheets in {folder}")
        if missing:
            raise CommandError("Not printed: " + "; ".join(missing), returncode=NOT_ALL)

    def _sets_of(self, workshop_id: str) -> list[int]:
        if not workshop_id.isdecimal() or not Workshop.objects.filter(pk=workshop_id).exists():
            self._refuse(
                f"WORKSHOP_ID: there is no workshop {workshop_id!r}: set_plan --list names the "
                "workshops that have sets."
            )
        set_ids = selectors.sets_of(int(workshop_id))
        if not set_ids:
            self._refuse(
                f"WORKSHOP_ID: workshop {workshop_id} has no sets: enter one in the admin under "
                "planned sets."
            )
        return set_ids

    def _folder(self, out: str) -> Path:
        folder = Path(out)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            probe = folder / f".{PACK}.part"
            probe.touch()
            probe.unlink()
        except OSError as reason:
            self._refuse(
                f"--out: nothing can be written to {out} ({reason.strerror}): name a folder "
                "that is yours."
            )
        return folder

    def _write(self, path: Path, content: bytes) -> None:
        """Put the file in place whole: whoever looks sees the old one or the new one."""
        part = path.with_name(f".{path.name}.part")
        try:
            part.write_bytes(content)
            os.replace(part, path)
        except OSError as reason:
            part.unlink(missing_ok=True)
            self._refuse(f"--out: {path} cannot be written ({reason.strerror}).")

    def _title(self, set_id: int) -> str:
        return str(PlannedSet.objects.get(pk=set_id))

    def _refuse(self, message: str):
        raise CommandError(message, returncode=REFUSED)


def _pages(sheet: Sheet) -> str:
    return f"{sheet.laid_out.page_count} pages"

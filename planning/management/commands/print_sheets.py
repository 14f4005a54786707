"""``manage.py print_sheets``: a PDF for every set of a selection, and one of all by workshop."""

import time
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from planning.files import clear_leftovers, put
from planning.management.selection import REFUSED, Selection, selected
from planning.models import PlannedSet
from planning.printing import NotPrintable, Order, Sheet, bytes_of, order_of, pack_mark, sheet
from planning.sheets.options import PAPERS, PrintOptions, print_options
from planning.sheets.pdf import mark_in
from planning.sheets.worker import SheetFailed
from workshops.selectors.house import house

NOT_ALL = 1  # some sheets are there, some are not
INTERRUPTED = 130  # what shells give a program ended by Ctrl-C


class Command(BaseCommand):
    help = (
        "Print set sheets as PDF files: one for each set, and one of all sets of a workshop. What "
        "is there already, of the same inputs, is left as it is."
    )

    def add_arguments(self, parser):
        parser.add_argument(
            "workshop_ids", nargs="*", metavar="WORKSHOP_ID", help="numbers of workshops"
        )
        parser.add_argument("--set", nargs="+", metavar="SET_ID", help="numbers of sets")
        parser.add_argument(
            "--from", dest="first", type=_day, metavar="DATE", help="workshops from this day on"
        )
        parser.add_argument(
            "--to", dest="last", type=_day, metavar="DATE", help="workshops up to this day"
        )
        parser.add_argument("--all", action="store_true", help="every workshop")
        parser.add_argument("--out", required=True, metavar="DIR", help="folder for the PDF files")
        parser.add_argument(
            "--paper", choices=sorted(PAPERS), help="paper, if not the one of the house"
        )
        parser.add_argument(
            "--again", action="store_true", help="print anew what is up to date, too"
        )

    def handle(self, *, workshop_ids, out, paper, again, **options):
        wanted = Selection(
            workshops=tuple(map(str, workshop_ids)),
            sets=tuple(map(str, options.get("set") or ())),
            first=options.get("first"),
            last=options.get("last"),
            all=bool(options.get("all")),
        )
        folders = selected(wanted, Path(out))
        for folder in folders:
            self._ready(folder, out)
        self.run = Run(sum(map(len, folders.values())), wanted.pack, again=again)
        options = print_options(house(), paper=paper)
        try:
            for folder, set_ids in folders.items():
                self._print(folder, set_ids, options)
        except KeyboardInterrupt:
            raise CommandError(
                f"interrupted: {self.run.done} of {self.run.total} sheets are in {out}; run the "
                "same command again to go on",
                returncode=INTERRUPTED,
            ) from None
        self._sum_up(out)

    def _print(self, folder: Path, set_ids: Sequence[int], options: PrintOptions) -> None:
        """Print the sets of one workshop, then those that can be printed as one file."""
        orders, sheets = [], {}
        for set_id in set_ids:
            began_s = time.monotonic()
            self.run.number += 1
            count = f"{self.run.number} of {self.run.total}"
            try:
                order = order_of(set_id, options)
                if self._up_to_date(folder / order.file_name, order.mark):
                    said = "up to date"
                    self.run.kept += 1
                else:
                    sheets[order.mark] = made = sheet(order)
                    self._put(folder / order.file_name, bytes_of([made], options))
                    said = f"{made.laid_out.page_count} pages, {time.monotonic() - began_s:.1f} s"
            except (NotPrintable, SheetFailed) as reason:
                self.run.missing.append(f"{PlannedSet.objects.get(pk=set_id)}: {reason}")
                self.stderr.write(f"{count}  not printed: {self.run.missing[-1]}")
                continue
            orders.append(order)
            self.run.done += 1
            self._say(f"{count}  {order.file_name}, {said}")
        pack = folder / self.run.pack
        if orders and not self._up_to_date(pack, pack_mark(orders)):
            self._pack(pack, orders, sheets, options)

    def _pack(
        self, path: Path, orders: Sequence[Order], sheets: dict[str, Sheet], options: PrintOptions
    ) -> None:
        try:
            made = [sheets.get(order.mark) or sheet(order) for order in orders]
            self._put(path, bytes_of(made, options))
        except (NotPrintable, SheetFailed) as reason:
            self.run.missing.append(f"{path}: {reason}")
            self.stderr.write(f"not printed: {self.run.missing[-1]}")

    def _up_to_date(self, path: Path, mark: str) -> bool:
        """Whether a whole file of the same inputs, by this version, is there."""
        if self.run.again:
            return False
        try:
            return mark_in(path.read_bytes()) == mark
        except OSError:
            return False

    def _sum_up(self, out: str) -> None:
        run = self.run
        kept = f", {run.kept} of them up to date before" if run.kept else ""
        self._say(f"{run.done} of {run.total} sheets in {out}{kept}")
        if run.missing:
            raise CommandError("Not printed: " + "; ".join(run.missing), returncode=NOT_ALL)

    def _ready(self, folder: Path, out: str) -> None:
        try:
            folder.mkdir(parents=True, exist_ok=True)
            put(folder / ".probe", b"")
            (folder / ".probe").unlink(missing_ok=True)
            clear_leftovers(folder)
        except OSError as reason:
            self._refuse(
                f"--out: nothing can be written to {out} ({reason.strerror}): name a folder "
                "that is yours."
            )

    def _put(self, path: Path, content: bytes) -> None:
        try:
            put(path, content)
        except OSError as reason:
            self._refuse(f"--out: {path} cannot be written ({reason.strerror}).")

    def _say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()

    def _refuse(self, message: str):
        raise CommandError(message, returncode=REFUSED)


class Run:
    """How far one run of the command has come."""

    def __init__(self, total: int, pack: str, *, again: bool):
        self.total, self.pack, self.again = total, pack, again
        self.number = self.done = self.kept = 0
        self.missing: list[str] = []


def _day(text: str) -> date:
    """Return a day for argparse, which words the refusal."""
    return date.fromisoformat(text)


_day.__name__ = "day like 2026-10-11"

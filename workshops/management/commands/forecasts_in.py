"""``manage.py forecasts_in FILE``: bring in forecasts from a JSON file of our format."""

import sys
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from workshops.errors import Refused
from workshops.forecast_json import MOST_BYTES, SAMPLE
from workshops.services.forecasts import bring_in_forecasts


class Command(BaseCommand):
    help = "Bring in forecasts from a JSON file; the same file twice adds nothing."

    def add_arguments(self, parser):
        parser.add_argument("file", nargs="?", help="The file, or - for standard input.")
        parser.add_argument("--sample", action="store_true", help="Print a whole file to copy.")

    def handle(self, *, file, sample, **options):
        if sample:
            self.stdout.write(SAMPLE, ending="")
            return
        if not file:
            raise CommandError("Name a file, or - for standard input; --sample prints one.")
        try:
            done = bring_in_forecasts(by=None, content=self._content(file))
        except Refused as refusal:
            raise CommandError("\n".join(refusal.messages)) from None
        self.stdout.write(f"Added {done.added}, there already {done.known}.")

    def _content(self, file: str) -> bytes:
        # One more than is taken, so that what is too large is told so and not cut.
        if file == "-":
            return sys.stdin.buffer.read(MOST_BYTES + 1)
        try:
            with Path(file).open("rb") as opened:
                return opened.read(MOST_BYTES + 1)
        except OSError as fault:
            raise CommandError(f"{file} cannot be read: {fault.strerror}.") from None

"""``manage.py restore FILE``: put the site back to what a backup holds."""

import os
import signal
import sys
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils import timezone

from workshops import archive
from workshops.errors import Refused

WORD = "replace"
ENDED = 143  # what shells give a program ended by SIGTERM
INTERRUPTED = 130  # and by Ctrl-C


class Command(BaseCommand):
    help = "Put the site back to what a backup holds. What is there is kept as a backup first."
    requires_system_checks = []  # a fault in a page must not keep a house from its records

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE", type=Path, help="a file that backup wrote")
        parser.add_argument("--yes", action="store_true", help="do not ask")

    def handle(self, *, file, yes, **options):
        # Ended half way, it still takes away what it has unpacked.
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(ENDED))
        os.umask(0o077)
        try:
            with archive.opened(file.expanduser().resolve(), scratch=settings.DATA_DIR) as backup:
                self._restore(backup, yes=yes)
            call_command("migrate", interactive=False, verbosity=0)
        except Refused as refusal:
            raise CommandError(str(refusal)) from None
        except DatabaseError as reason:
            raise CommandError(f"{archive.where()} does not do what is asked: {reason}") from None
        except (KeyboardInterrupt, EOFError):
            raise CommandError(
                "interrupted: the site holds all of the old records or all of the new; run the "
                "same command again to be sure of the new",
                returncode=INTERRUPTED,
            ) from None
        self.stdout.write("Brought to this version: the site may be used.")

    def _restore(self, backup: archive.Opened, *, yes: bool) -> None:
        made = backup.manifest
        self._say(
            f"The backup was made at {made.made_at} by version {made.version}: {made.row_count} "
            f"rows of {len(made.rows)} tables."
        )
        if archive.in_use():
            if not yes:
                self._ask()
            now = timezone.now()
            kept = settings.DATA_DIR / f"before-restore-{now:%Y%m%dT%H%M%SZ}.zip"
            archive.keep(kept, at=now)
            self._say(f"What was there is kept in {kept}")
        archive.put_back(backup)
        self._say(f"Restored into {archive.where()}: every row counted in the backup is there.")

    def _ask(self) -> None:
        there = f"There are records in {archive.where()}"
        if sys.stdin is None or not sys.stdin.isatty():
            raise CommandError(
                f"{there}, and nobody to ask. Run this in a terminal, or with --yes to have them "
                "kept as a backup and replaced. Nothing was changed."
            )
        self._say(f"{there}. They are kept as a backup, then replaced.")
        if input(f"Type {WORD} to go on: ").strip().lower() != WORD:
            raise CommandError("Nothing was changed.")

    def _say(self, line: str) -> None:
        self.stdout.write(line)
        self.stdout.flush()

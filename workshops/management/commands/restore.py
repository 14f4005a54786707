"""``manage.py restore FILE``: a backup becomes the site; what was there is kept beside."""

import sys
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils import timezone

from workshops.backup import site
from workshops.errors import Refused

WORD = "restore"
INTERRUPTED = 130  # what shells give a program ended by Ctrl-C


class Command(BaseCommand):
    help = "Make a backup the content of this site. What was there is kept as a backup first."

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE", type=Path, help="the zip file of `backup`")
        parser.add_argument("--yes", action="store_true", help="do not ask")

    def handle(self, *, file, yes, **options):
        try:
            self._restore(file.expanduser().resolve(), yes)
        except Refused as reason:
            raise CommandError(str(reason)) from None
        except KeyboardInterrupt:
            raise CommandError(
                "interrupted: the site is as it was, or wholly restored; run the same command "
                "again to be sure",
                returncode=INTERRUPTED,
            ) from None

    def _restore(self, file: Path, yes: bool):
        with site.opened(file) as (manifest, snapshot):
            self._say(
                f"{file}: {manifest.row_count()} rows, made {manifest.made():%Y-%m-%d %H:%M} UTC "
                f"by version {manifest.version}"
            )
            if self._in_use():
                if not yes:
                    self._ask()
                self._keep()
            site.put_back(manifest, snapshot)
        self._say(f"restored into {site.place()}; every row counted in the backup is there")
        call_command("migrate", interactive=False, verbosity=0)
        self._say("brought up to this version. Whoever was logged in since may have to log in anew")

    def _in_use(self) -> bool:
        try:
            return site.in_use()
        except DatabaseError as reason:
            raise _unreadable(reason) from None

    def _ask(self):
        if sys.stdin is None or not sys.stdin.isatty():
            raise Refused(
                f"There are records in {site.place()}: to replace them, run this in a terminal, "
                "or say --yes. They are kept as a backup first."
            )
        self._say(f"there are records in {site.place()}. They will be kept as a backup")
        try:
            answer = input(f"Type {WORD} to replace them: ")
        except EOFError:
            answer = ""
        if answer.strip().lower() != WORD:
            raise Refused("Nothing was changed.")

    def _keep(self):
        now = timezone.now()
        kept = settings.DATA_DIR / f"before-restore-{now:%Y%m%dT%H%M%SZ}.zip"
        try:
            site.back_up(kept, now=now)
        except Refused as reason:
            raise _unreadable(reason) from None
        self._say(f"what was there is kept in {kept}")

    def _say(self, line: str):
        self.stdout.write(f"One Stop Under: {line}")
        self.stdout.flush()


def _unreadable(reason: Exception) -> Refused:
    return Refused(
        f"What is in {site.place()} now cannot be kept: {reason} Nothing was changed. If it is "
        "lost anyway, end the server, move that database aside and restore into an empty one."
    )

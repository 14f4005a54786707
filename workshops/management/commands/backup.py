"""``manage.py backup FILE``: the whole site in one file, taken while it is in use."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from workshops.backup import site
from workshops.errors import Refused

INTERRUPTED = 130  # what shells give a program ended by Ctrl-C


class Command(BaseCommand):
    help = "Save the whole site in one file. It may be in use meanwhile."

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE", type=Path, help="the zip file to make")
        parser.add_argument("--overwrite", action="store_true", help="replace FILE if it exists")

    def handle(self, *, file, overwrite, **options):
        file = file.expanduser().resolve()
        try:
            manifest = site.back_up(file, now=timezone.now(), overwrite=overwrite)
        except Refused as reason:
            raise CommandError(str(reason)) from None
        except KeyboardInterrupt:
            raise CommandError("interrupted: no backup was made", returncode=INTERRUPTED) from None
        self.stdout.write(
            f"{site.place()}: {manifest.row_count()} rows in {len(manifest.rows)} tables saved and "
            f"checked in {file}. It holds everything the site knows of people: keep it safe. "
            "SECRET_KEY and the other settings are not in it."
        )

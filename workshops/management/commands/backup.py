"""``manage.py backup FILE``: the whole site's records in one file, while it is in use."""

import os
import signal
import sys
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils import timezone

from workshops import archive
from workshops.errors import Refused

ENDED = 143  # what shells give a program ended by SIGTERM
INTERRUPTED = 130  # and by Ctrl-C


class Command(BaseCommand):
    help = "Write every record of the site into one file, while the site may be in use."
    requires_system_checks = []  # a fault in a page must not keep a house from its records

    def add_arguments(self, parser):
        parser.add_argument("file", metavar="FILE", type=Path, help="a new file, such as site.zip")
        parser.add_argument("--overwrite", action="store_true", help="replace a file that is there")

    def handle(self, *, file, overwrite, **options):
        # Ended half way, it still takes away what it has begun.
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(ENDED))
        os.umask(0o077)
        file = file.expanduser().resolve()
        try:
            made = archive.back_up(file, at=timezone.now(), overwrite=overwrite)
        except Refused as refusal:
            raise CommandError(str(refusal)) from None
        except DatabaseError as reason:
            raise CommandError(f"{archive.where()} does not answer: {reason}") from None
        except KeyboardInterrupt:
            raise CommandError("interrupted: no backup was made", returncode=INTERRUPTED) from None
        self.stdout.write(
            f"{file}: {made.row_count} rows of {len(made.rows)} tables from {archive.where()}, "
            "read back and checked. It holds all the site knows of people: keep it safe, and not "
            "on this machine alone. SECRET_KEY, the other settings and the keys of medical answers "
            "(FIELD_KEYS, or the file field_key) are not in it: without those keys the answers "
            "cannot be read any more."
        )

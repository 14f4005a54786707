"""``manage.py due``: do now what the server does every minute."""

from django.core.management.base import BaseCommand
from django.utils import timezone

from workshops.due import due


class Command(BaseCommand):
    help = "Do what is due now. `serve` does it every minute; this is for a site without it."

    def handle(self, **options):
        done = due(timezone.now())
        for did in done:
            self.stdout.write(did)
        if not done:
            self.stdout.write("Nothing was due.")

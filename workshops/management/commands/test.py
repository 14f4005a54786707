from django.core.management.base import BaseCommand

from workshops import bootstrap


class Command(BaseCommand):
    """``manage.py test`` never gets this far; ``django-admin test`` does."""

    help = "Run the suite with pytest, in the repository root. All arguments go to pytest."
    requires_system_checks = []

    def run_from_argv(self, argv):
        bootstrap.run_tests(argv[2:])

"""``manage.py serve``: the real site, from an empty folder or the version before."""

import os
import socket
import sys

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError, connections

from workshops import bootstrap, minute, server
from workshops.models import User

BIND = "127.0.0.1:8000"
INTERRUPTED = 130  # what shells give a program ended by Ctrl-C


class Command(BaseCommand):
    help = "Serve the site of SITE_URL: brings database and static files up to date first."

    def add_arguments(self, parser):
        parser.add_argument("--bind", default=BIND, help=f"host:port to listen on, {BIND}")
        parser.add_argument("--workers", type=_number, default=2, help="processes, 2")
        parser.add_argument("--threads", type=_number, default=4, help="threads of each, 4")

    def handle(self, *, bind, workers, threads, **options):
        bootstrap.demand_site()  # for whoever comes by another way than manage.py
        # Records of health and links of mails are nobody else's on this machine.
        os.umask(0o077)
        try:
            try_to_listen(bind)
            self._bring_up_to_date()
            self._administrator()
        except KeyboardInterrupt:
            raise CommandError(
                "interrupted; run the same command again to go on", returncode=INTERRUPTED
            ) from None
        self._say_where(bind)
        minute.beat()
        connections.close_all()  # no worker may inherit one
        server.Site(bind=bind, workers=workers, threads=threads).run()

    def _bring_up_to_date(self):
        try:
            call_command("migrate", interactive=False, verbosity=0)
        except DatabaseError as reason:
            raise CommandError(f"The database does not do what is asked of it: {reason}") from None
        call_command("collectstatic", interactive=False, verbosity=0)

    def _administrator(self):
        if User.objects.exists():
            return
        if sys.stdin is not None and sys.stdin.isatty():
            self._say("nobody can log in yet: make the first account")
            call_command("administrator")
        else:
            self.stderr.write(
                "One Stop Under: nobody can log in yet. Make the first account in a terminal, with "
                "the same settings: python3 manage.py administrator"
            )

    def _say_where(self, bind: str):
        self._say(f"the site's data are in {settings.DATA_DIR}")
        if "filebased" in settings.EMAIL_BACKEND:
            self._say(f"EMAIL_URL is not set: mail goes to files in {settings.EMAIL_FILE_PATH}")
        if not settings.SITE_URL.startswith("https:"):
            self._say("SITE_URL is plain http: for this machine alone")
        elif not settings.SECURE_PROXY_SSL_HEADER:
            self._say(
                "BEHIND_PROXY is not set, so every request will be sent on to https, which this "
                "server does not speak: put a proxy in front that does (README.md, Run it for "
                "real) and set BEHIND_PROXY=yes. On this machine only: "
                "SITE_URL=http://localhost:8000"
            )
        self._say(f"serving {settings.SITE_URL} on {bind} - end it with Ctrl-C")

    def _say(self, line: str):
        self.stdout.write(f"One Stop Under: {line}")
        self.stdout.flush()


def _number(text: str) -> int:
    """Return a count of at least one, for argparse."""
    number = int(text)
    if number < 1:
        raise ValueError(text)
    return number


def try_to_listen(bind: str) -> None:
    """Return if the server will be able to listen there; a socket's path is left to it.

    Raises CommandError otherwise.
    """
    if bind.startswith(("unix:", "fd:")):
        return
    host, _, port = bind.rpartition(":")
    if not host or not port.isdecimal():
        raise CommandError(f"--bind is {bind!r}: enter host and port like {BIND}.")
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host.strip("[]"), int(port)))
        except (OSError, OverflowError) as reason:
            raise CommandError(
                f"--bind: nothing can listen on {bind} ({reason}): is a server running there "
                "already? Give another, such as --bind 127.0.0.1:8001."
            ) from None

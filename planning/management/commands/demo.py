"""``manage.py demo``: a database to look round in, its sheets as PDF, and the site on loopback."""

import socket
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from planning import demo
from planning.sheets import worker
from workshops.models import User, Workshop

FIRST_PORT, PORTS = 8000, 20
INTERRUPTED = 130  # what shells give a program ended by Ctrl-C


class Command(BaseCommand):
    help = "Build the demo when it is absent, print its sheets, and serve the site on loopback."

    def add_arguments(self, parser):
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument("--port", type=int, help=f"default: the first free from {FIRST_PORT}")

    def handle(self, *, no_serve, port, **options):
        try:
            self._handle(no_serve, port)
        except KeyboardInterrupt:
            raise CommandError(
                "interrupted; run the same command again to go on", returncode=INTERRUPTED
            ) from None

    def _handle(self, no_serve, port):
        folder = Path(settings.DATA_DIR)
        log_ins = folder / "log-ins.txt"
        self._say(f"the demo lives in {folder}")
        call_command("migrate", interactive=False, verbosity=0)
        if User.objects.exists():
            self._say("its records are there already: nothing is changed")
        else:
            demo.build(log_ins=log_ins, report=lambda part: self._say(f"entering {part}"))
        for workshop in Workshop.objects.order_by("start_at"):
            self._say(f"printing {workshop}")
            out = folder / f"workshop-{workshop.pk}"
            try:
                call_command("print_sheets", workshop.pk, out=str(out), stdout=self.stdout)
            except CommandError as reason:
                if reason.returncode == INTERRUPTED:
                    raise
                # Somebody's own set without a plan must not keep the demo from being served.
                self._say(str(reason))
        for sheet in sorted(folder.glob("workshop-*/*.pdf")):
            self.stdout.write(f"  {sheet}")
        self._say(f"log-ins stand in {log_ins}:")
        if log_ins.exists():
            self.stdout.write("".join(f"  {line}\n" for line in log_ins.read_text().splitlines()))
        if not no_serve:
            self._serve(port)

    def _serve(self, port):
        port = port or _free_port()
        worker.warm()
        self._say(f"serving on http://127.0.0.1:{port}/ - end it with Ctrl-C")
        call_command("runserver", f"127.0.0.1:{port}", use_reloader=False)

    def _say(self, line):
        self.stdout.write(f"One Stop Under: {line}")
        self.stdout.flush()


def _free_port() -> int:
    for port in range(FIRST_PORT, FIRST_PORT + PORTS):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)):
                return port
    raise CommandError(
        f"No free port from {FIRST_PORT} to {FIRST_PORT + PORTS - 1}: give one with --port."
    )

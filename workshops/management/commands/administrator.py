"""``manage.py administrator``: make an account that may do everything, asking for what it needs."""

import getpass
import sys

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError

from workshops import archive
from workshops.errors import Refused
from workshops.models import User
from workshops.services.accounts import create_user

INTERRUPTED = 130  # what shells give a program ended by Ctrl-C


class Command(BaseCommand):
    help = "Make an account that may do everything: asks for e-mail, name and password."

    def handle(self, **options):
        if not self.may_ask():
            raise CommandError(
                "This asks questions: run it in a terminal, python3 manage.py administrator."
            )
        # A shell without the server's settings means another site: say which one this is.
        self.stdout.write(f"A new account in {archive.where()}")
        try:
            self._ask_until_made()
        except DatabaseError as reason:
            raise CommandError(
                f"There is no site yet ({reason}): python3 manage.py serve makes it."
            ) from None
        except (KeyboardInterrupt, EOFError):
            raise CommandError("no account was made", returncode=INTERRUPTED) from None

    def _ask_until_made(self):
        email, name = "", ""
        while True:
            email = self._ask("E-mail to log in with", email)
            name = self._ask("Name", name)
            password = self._password()
            try:
                user = create_user(
                    by=None,
                    email=email,
                    name=name,
                    password=password,
                    role=User.Role.OFFICE,
                    is_staff=True,
                    is_superuser=True,
                )
            except Refused as refusal:
                self.stderr.write(f"{refusal} Once more:")
                continue
            self.stdout.write(f"{user.email} may log in now.")
            return

    def _ask(self, question: str, before: str) -> str:
        """Return an answer; what was typed before is offered, so that nothing is typed twice."""
        offer = f" [{before}]" if before else ""
        return input(f"{question}{offer}: ").strip() or before

    def _password(self) -> str:
        while True:
            password = getpass.getpass("Password, at least 12 characters: ")
            if password == getpass.getpass("The same again: "):
                return password
            self.stderr.write("The two were not the same. Once more:")

    @staticmethod
    def may_ask() -> bool:
        """Return whether somebody sits there to answer."""
        return sys.stdin is not None and sys.stdin.isatty()

"""``manage.py medical``: erase medical answers, or encrypt them with the newest key."""

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from workshops.models import Workshop
from workshops.services.medical import encrypt_anew, erase_medical, erase_overdue_medical
from workshops.words import counted


class Command(BaseCommand):
    help = "Erase medical answers, or encrypt them anew with the first of FIELD_KEYS."

    def add_arguments(self, parser):
        actions = parser.add_subparsers(dest="action", required=True)
        erase = actions.add_parser("erase", help="Erase what may be kept no longer.")
        erase.add_argument(
            "--workshop", type=int, help="Erase all answers for the workshop of that number, now."
        )
        actions.add_parser(
            "encrypt", help="Encrypt all answers with the first key; then older keys may go."
        )

    def handle(self, *, action, **options):
        if action == "encrypt":
            self._encrypt()
        elif (pk := options["workshop"]) is None:
            self._erased(erase_overdue_medical(by=None, now=timezone.now()))
        elif workshop := Workshop.objects.filter(pk=pk).first():
            self._erased(erase_medical(by=None, workshop=workshop))
        else:
            raise CommandError(f"There is no workshop of number {pk}.")

    def _erased(self, count: int) -> None:
        self.stdout.write(f"Erased the medical answers of {_people(count)}.")

    def _encrypt(self) -> None:
        done, lost = encrypt_anew()
        self.stdout.write(f"Encrypted the medical answers of {_people(done)} with the first key.")
        if lost:
            self.stdout.write(
                f"{counted(lost, 'answer', 'answers')} no key of FIELD_KEYS reads: left as before."
            )


def _people(count: int) -> str:
    return counted(count, "person", "people")

"""Django's makemessages, set for our one catalogue: ``makemessages -l es`` is all there is to type.

The file keeps no line number and no date, so that it changes only where a message does.
"""

import re
from pathlib import Path

from django.core.management.commands import makemessages

OURS = {
    "extensions": ["html", "txt", "py", "css"],
    "ignore_patterns": ["tests", "var"],
    "add_location": "file",
    "no_wrap": True,
    "no_obsolete": True,
}
DATES = re.compile(r'^"(?:POT-Creation|PO-Revision)-Date: .*\n', re.MULTILINE)


class Command(makemessages.Command):
    def handle(self, *args, **options):
        return super().handle(*args, **{**options, **OURS})

    def write_po_file(self, potfile, locale):
        """Write the language's file, without the dates of this run."""
        super().write_po_file(potfile, locale)
        folder = Path(potfile).parent / locale / "LC_MESSAGES"
        catalogue = folder / f"{self.domain}.po"
        text = catalogue.read_text(encoding="utf-8")
        catalogue.write_text(DATES.sub("", text), encoding="utf-8")

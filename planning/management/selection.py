"""Which sets a command is to print, and into which folder; in words, which there are not."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from django.core.management.base import CommandError

from planning import selectors
from planning.models import PlannedSet
from workshops.models import Workshop
from workshops.models.base import in_zone

REFUSED = 2  # the exit code of input nothing can be printed from
MOST_DIGITS = 18  # of a number the database can hold


@dataclass(frozen=True)
class Selection:
    """What was asked for, as typed."""

    workshops: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()
    first: date | None = None
    last: date | None = None
    all: bool = False

    @property
    def pack(self) -> str:
        """The file of all sets of a folder: of some it must not take the place of that of all."""
        return "chosen-sets.pdf" if self.sets else "all-sets.pdf"

    @property
    def by_day(self) -> bool:
        return self.all or self.first is not None or self.last is not None


def selected(wanted: Selection, out: Path) -> dict[Path, list[int]]:
    """Return the sets by folder, each in the order of its day.

    One workshop goes straight into ``out``; of several, and of any number by day, each has its
    own folder there. Raises CommandError when anything asked for is not there.
    """
    ways = [bool(wanted.workshops), bool(wanted.sets), wanted.by_day]
    if sum(ways) != 1:
        _refuse("name what to print: WORKSHOP_ID, or --set SET_ID, or --all, --from and --to.")
    if wanted.sets:
        chosen = _by_workshop(wanted.sets)
    elif wanted.workshops:
        chosen = {pk: _sets_of(pk) for pk in _known_workshops(wanted.workshops)}
    else:
        chosen = _by_day(wanted)
    if len(chosen) == 1 and not wanted.by_day:
        return {out: next(iter(chosen.values()))}
    return {out / f"workshop-{pk}": set_ids for pk, set_ids in chosen.items()}


def _known_workshops(typed: tuple[str, ...]) -> list[int]:
    known = set(Workshop.objects.filter(pk__in=_numbers(typed)).values_list("pk", flat=True))
    for word in typed:
        if not _numbers([word]) or int(word) not in known:
            _refuse(
                f"WORKSHOP_ID: there is no workshop {word!r}: set_plan --list names the "
                "workshops that have sets."
            )
    return list(dict.fromkeys(map(int, typed)))


def _sets_of(workshop_id: int) -> list[int]:
    set_ids = selectors.sets_of(workshop_id)
    if not set_ids:
        _refuse(
            f"WORKSHOP_ID: workshop {workshop_id} has no sets: enter one in the admin under "
            "planned sets."
        )
    return set_ids


def _by_workshop(typed: tuple[str, ...]) -> dict[int, list[int]]:
    rows = PlannedSet.objects.filter(pk__in=_numbers(typed)).order_by(
        "workshop__start_at", "workshop_id", "position", "pk"
    )
    known = dict(rows.values_list("pk", "workshop_id"))
    for word in typed:
        if not _numbers([word]) or int(word) not in known:
            _refuse(f"--set: there is no set {word!r}: set_plan --list names the sets.")
    found: dict[int, list[int]] = {}
    for set_id, workshop_id in known.items():
        found.setdefault(workshop_id, []).append(set_id)
    return found


def _by_day(wanted: Selection) -> dict[int, list[int]]:
    """Return the sets of the workshops that begin then, on the clock of their place."""
    found = {}
    for workshop in Workshop.objects.order_by("start_at", "pk"):
        day = in_zone(workshop.start_at, workshop.timezone_name).date()
        early = wanted.first and day < wanted.first
        if early or (wanted.last and day > wanted.last):
            continue
        if set_ids := selectors.sets_of(workshop.pk):
            found[workshop.pk] = set_ids
    if not found:
        _refuse("no workshop that begins then has sets: set_plan --list names the sets.")
    return found


def _numbers(typed) -> list[int]:
    """Return what can be the number of a record."""
    return [
        int(word)
        for word in typed
        if word.isascii() and word.isdecimal() and len(word) <= MOST_DIGITS
    ]


def _refuse(message: str):
    raise CommandError(message, returncode=REFUSED)

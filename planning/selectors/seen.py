"""Measurements as the records hold them, and which of them count for a figure of the house."""

from dataclasses import dataclass, field
from datetime import datetime

from planning.learn.witness import Witness
from planning.models import CountsFrom, LeftOut


@dataclass(frozen=True)
class Seen:
    """One measurement of one figure."""

    figure: str
    key: str  # "flash-reading:12"
    at: datetime
    changed_at: datetime  # the newest of all records it was read from
    witness: Witness | None  # None: it says nothing of the figure, ``why`` says so
    why: str = ""
    set_id: int | None = None  # None: at home
    detail: object = None  # what was read, for the page that shows it


@dataclass(frozen=True)
class Choices:
    """What the house wants left out, and from when on its figures count."""

    left_out: dict[tuple[str, str], LeftOut] = field(default_factory=dict)
    counts_from: dict[str, CountsFrom] = field(default_factory=dict)

    def counts(self, seen: Seen) -> bool:
        """Return whether a measurement goes into its figure."""
        if seen.witness is None or (seen.figure, seen.key) in self.left_out:
            return False
        begun = self.counts_from.get(seen.figure)
        return begun is None or seen.at >= begun.from_at

    def changed_at(self, figure: str) -> list[datetime]:
        """Return when what the house chose for a figure was last changed."""
        times = [one.changed_at for (of, _key), one in self.left_out.items() if of == figure]
        begun = self.counts_from.get(figure)
        return times + ([begun.changed_at] if begun else [])


def choices() -> Choices:
    """Return the house's choices for all figures."""
    return Choices(
        {(one.figure, one.witness): one for one in LeftOut.objects.all()},
        {one.figure: one for one in CountsFrom.objects.all()},
    )

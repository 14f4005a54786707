"""What workshop days brought, each currency for itself."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from statistics import median


@dataclass(frozen=True)
class DayMoney:
    """One workshop that was held: agreed prices without tax, costs, and over how many days."""

    workshop_id: int
    currency: str
    days: int
    takings: Decimal
    costs: Decimal

    @property
    def result(self) -> Decimal:
        return self.takings - self.costs

    @property
    def per_day(self) -> Decimal:
        return self.takings / self.days


@dataclass(frozen=True)
class Takings:
    """The workshops of one currency in all, and a day of theirs: the middle one and the ends."""

    currency: str
    workshops: int
    days: int
    takings: Decimal
    costs: Decimal
    a_day: Decimal  # the middle one
    least_a_day: Decimal
    most_a_day: Decimal

    @property
    def result(self) -> Decimal:
        return self.takings - self.costs


def takings(rows: Iterable[DayMoney]) -> list[Takings]:
    """Return a line for each currency, by its name; no rates of exchange are known here."""
    found: dict[str, list[DayMoney]] = {}
    for row in rows:
        found.setdefault(row.currency, []).append(row)
    return [_takings(currency, found[currency]) for currency in sorted(found)]


def _takings(currency: str, rows: list[DayMoney]) -> Takings:
    days = [row.per_day for row in rows]
    return Takings(
        currency=currency,
        workshops=len(rows),
        days=sum(row.days for row in rows),
        takings=sum((row.takings for row in rows), Decimal(0)),
        costs=sum((row.costs for row in rows), Decimal(0)),
        a_day=median(days),
        least_a_day=min(days),
        most_a_day=max(days),
    )

"""Records -> a workshop's day compared, with how the house writes figures at each of its sets."""

from dataclasses import dataclass, replace

from django.core.exceptions import ValidationError

from planning.after.totals import DayComparison, compare_day
from planning.figures import Figures
from planning.refused import in_words
from planning.selectors.after import Plans, faults_of, set_days
from planning.sheets.options import PrintOptions
from workshops.models import Workshop


@dataclass(frozen=True)
class ComparedDay:
    """A workshop planned against actual, by its records; words are made of it later."""

    title: str
    timezone: str
    day: DayComparison
    zones: tuple[str, ...]  # of the place of each set


def compared_day(workshop: Workshop, options: PrintOptions) -> ComparedDay:
    """Return the comparison; why a set has no plan is said in the language that is active."""
    days = [
        replace(day, reason=_reason(plans, options.figures(day.timezone)))
        for day, plans in set_days(workshop)
    ]
    return ComparedDay(
        title=workshop.title,
        timezone=workshop.timezone_name,
        day=compare_day(days, faults_of(workshop)),
        zones=tuple(day.timezone for day in days),
    )


def _reason(plans: Plans, say: Figures) -> str:
    if plans.reason is None:
        return ""
    if isinstance(plans.reason, ValidationError):
        return " ".join(plans.reason.messages)
    return in_words(plans.reason, say)

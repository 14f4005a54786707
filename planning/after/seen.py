"""What is known of a set after its day, from all who noted it, as one frozen value."""

from dataclasses import dataclass
from datetime import datetime

from planning.after.frames import SetFrames
from planning.after.results import SetTally
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.plan.words import gettext_noop as _

# Where an actual figure comes from; a page says these words beside it.
COUNTED = _("counted")
NOTED = _("noted")
READ = _("read")
LOCKED = _("locked")
FROM_FRAMES = _("from frames")
LATER = _("typed later")
METERED = _("metered")
NOT_NOTED = _("not noted")

Value = float | datetime


@dataclass(frozen=True)
class Pair:
    """A figure as planned and as it was; ``actual`` is None, without a source, where not noted."""

    planned: Value | None
    actual: Value | None = None
    sources: tuple[str, ...] = ()

    @property
    def over(self) -> float | None:
        """How much more it was than planned, of instants in minutes; None where either lacks."""
        if self.planned is None or self.actual is None:
            return None
        more = self.actual - self.planned
        return more.total_seconds() / 60.0 if isinstance(self.actual, datetime) else more


@dataclass(frozen=True)
class Recipe:
    """The recipe locked last; shares of full power by the light's name."""

    f_number: float
    shutter_s: float
    iso: float
    powers: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class TurnEnd:
    """A turn given, noted when it ended."""

    station: str
    at: datetime


@dataclass(frozen=True)
class SetDay:
    """One set: its plan, its tally, its frames, and what was metered and locked."""

    number: int
    place: str
    timezone: str
    tally: SetTally
    plan: SetPlan | None = None  # as it stood before anything was metered or noted on the day
    inputs: SetInputs | None = None
    reason: str = ""  # why there is no plan
    metered: SetPlan | None = None  # the same plan with the readings taken on the set
    recipe: Recipe | None = None
    turn_ends: tuple[TurnEnd, ...] = ()  # without those typed in later: they have planned times
    frames: SetFrames | None = None
    later: frozenset[str] = (
        frozenset()
    )  # "times", "turns", "frames", "flashes", "packs" or "recipe"


WHENCE = {"times": NOTED, "gusts": NOTED, "packs": READ, "recipe": LOCKED}


def told(day: SetDay, figure: str, value: object) -> tuple[str, ...]:
    """Return whence a figure noted by hand comes; nothing where there is none."""
    if value is None:
        return ()
    return (LATER,) if figure in day.later else (WHENCE.get(figure, COUNTED),)


@dataclass(frozen=True)
class Fault:
    """A unit that came back with a fault."""

    at: datetime
    tag: str
    kind: str
    person: str
    words: str

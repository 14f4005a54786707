"""One set as planned beside as it was, in figures: what ``compare`` makes and pages read."""

from dataclasses import dataclass
from datetime import datetime

from planning.after.results import Misfire
from planning.after.seen import Pair
from planning.plan.inputs import LightInputs
from planning.plan.result import Caution
from planning.plan.words import Words


@dataclass(frozen=True)
class Answered:
    """A caution of the plan, and what was noted that answers to it; empty: nothing was."""

    caution: Caution
    words: Words
    noted: bool


@dataclass(frozen=True)
class HeadRow:
    """What one lamp was to do and did."""

    light: str
    strobe: str
    flashes: Pair
    full_power: Pair  # the same in flashes at full power
    power: float | None
    power_source: str  # locked, planned, empty without any
    charge: Pair  # share of one pack's charge
    within_share: float  # how near the charge used can be told
    tags: tuple[str, ...]
    swaps: int | None


@dataclass(frozen=True)
class PersonRow:
    """What one attendee was to have and had on one set."""

    booking_id: int
    name: str
    turns: Pair
    missed: int | None
    frames: Pair
    files: int | None  # frames of own turns by their files, where a hand counted otherwise
    misfires: int


@dataclass(frozen=True)
class Base:
    """The base reading as estimated and as metered, both at the planned shutter and ISO."""

    f_number: Pair
    shutter_s: float
    iso: float
    low_stops: float  # spread of the estimate, negative
    high_stops: float
    moved_stops: float | None = None  # positive: it was brighter


@dataclass(frozen=True)
class RecipePart:
    """Aperture, shutter, ISO or one lamp's power; ``stops`` more light than planned."""

    what: str  # aperture, shutter, iso, power
    light: str
    value: Pair
    stops: float | None
    head: LightInputs | None = None  # of a power: the lamp, whose steps and scale it is told in


@dataclass(frozen=True)
class Limit:
    """A gust from which a stand asks for something, by the light's name."""

    light: str
    what: str  # more ballast, hold, modifier off, strike
    gust_m_s: float
    passed: bool | None  # by the strongest gust met; None: none was noted


@dataclass(frozen=True)
class Wind:
    """Gusts met beside the gust forecast and the limits of the stands."""

    gust: Pair  # forecast, strongest met
    forecast_source: str  # forecast, from the mean, none
    met: tuple[tuple[datetime, float], ...]
    limits: tuple[Limit, ...]


@dataclass(frozen=True)
class SetComparison:
    """One set, planned against actual."""

    set_id: int
    number: int
    title: str
    place: str
    timezone: str
    reason: str  # why there is no plan to compare with
    began: Pair
    ended: Pair
    minutes: Pair
    turns: Pair
    turn_min: Pair  # from turn to turn, the change between them included
    frames: Pair
    people: tuple[PersonRow, ...]
    heads: tuple[HeadRow, ...]
    base: Base | None
    recipe: tuple[RecipePart, ...]
    wind: Wind
    sky: str  # forecast; empty: none
    skies: tuple[tuple[datetime, str], ...]
    cautions: tuple[Answered, ...]
    misfires: tuple[Misfire, ...]
    near_misses: tuple[tuple[datetime, str], ...]
    notes: tuple[tuple[datetime, str], ...]
    missing: tuple[str, ...]

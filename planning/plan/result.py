"""What a plan says: one frozen object, full precision, units in the names.

The names are a contract: ``as_dict`` beside prints them as they stand here.
"""

from dataclasses import dataclass
from datetime import datetime

from planning.plan.result_sky import AmbientRow, LateRow, SkyRow, SunRow
from planning.plan.words import Words


@dataclass(frozen=True)
class SetHead:
    id: int
    title: str
    workshop: str
    location: str
    start_at: datetime
    end_at: datetime
    channel: str
    job: str
    revision: str
    inputs_changed_at: datetime | None


@dataclass(frozen=True)
class LadderStep:
    shutter_s: float
    mark: str
    ambient_background_stops: float
    spill_stops: float | None  # None: nothing behind to light
    background_stops: float
    face_stops: float
    shadow_stops: float | None  # None: no light at all on that side
    ratio: float | None  # lit to shadow, 4.0 reads 4:1
    hand_held: bool
    hold_power: float | None  # key power that holds the face where it was; None: cannot
    stops_here: Words  # why the ladder ends at this step, empty while it goes on


@dataclass(frozen=True)
class CorrectionRow:
    base_mark: str
    working_mark: str
    power_mark: str
    distance_m: float | None  # None: no cord is short enough
    planned: bool  # the row the plan stands on


@dataclass(frozen=True)
class ScheduleRow:
    at: datetime
    shutter_s: float
    mark: str
    iso: float
    flash_stops: float  # change of the flash against the first row
    hand_held: bool


@dataclass(frozen=True)
class Option:
    name: str  # as planned, nd, hss, shade
    camera_f_number: float
    meter_f_number: float
    shutter_s: float
    nd_stops: float
    trigger: str  # simple, advanced
    power: float
    feasible: bool
    reason: Words
    near_m: float
    far_m: float | None  # None: to infinity
    flashes_per_battery: float | None


@dataclass(frozen=True)
class Remedy:
    what: Words
    number: float | None
    unit: str


@dataclass(frozen=True)
class BodyLine:
    """A body that cannot use the group's line as it stands, with its own."""

    attendee: str
    camera: str
    reason: Words
    shutter_mark: str
    iso_mark: str
    f_mark: str


@dataclass(frozen=True)
class Exposure:
    method: str  # sync first, aperture first
    iso: float
    sync_s: float
    start_s: float
    base_kind: str
    placement_stops: float
    base_f_number: float
    stops_under: float
    closed_for_flash_stops: float
    working_f_number: float
    working_mark: str
    ladder: tuple[LadderStep, ...]
    correction: tuple[CorrectionRow, ...]
    schedule: tuple[ScheduleRow, ...]
    options: tuple[Option, ...]
    remedies: tuple[Remedy, ...]
    base_exact_f_number: float
    base_source: str
    face_ambient_f_number: float  # the face's own light, flash off, at start_s
    camera_fits: Words  # why the lens cannot give the working aperture, empty when it can
    white_balance_k: float
    least_gap_m: float | None  # behind the subject, puts the key's spill three stops down
    ladder_end: Words
    re_meter_min: float | None  # minutes for a third of a stop at the fastest; None: steady
    stops_per_10_min: float
    sync_cost_stops: float  # what the slowest body in the group costs against the next
    slowest_body: str
    own_lines: tuple[BodyLine, ...]


@dataclass(frozen=True)
class Stand:
    lamp_height_m: float
    gust_m_s: float | None
    force_n: float | None
    tipping_speed_m_s: float
    ballast_kg: float | None  # the need, hung at the centre
    ballast_on_foot_kg: float | None  # the need, laid on the windward foot
    bag_kg: float  # what is hung
    verdict: str  # bag, hold, modifier off, strike, no forecast
    fall_toward_deg: float | None
    clear_circle_m: float
    need_hung_kg: float | None  # slope, overhang and swinging wind counted
    need_on_foot_kg: float | None  # None: no bag on a foot holds the other edges
    safety_factor: float | None  # on the moment, with what is hung, weakest edge
    reason: Words
    off_above_m_s: float | None  # the gust from which the modifier comes off
    gust_source: str  # forecast, from the mean, none
    bag_holds_to_m_s: float  # with the safety factor; slope, overhang, swinging wind counted
    hold_above_m_s: float | None  # somebody holds; None: it comes off before that
    strike_above_m_s: float  # the house's limit, whatever hangs on it


@dataclass(frozen=True)
class FallOff:
    """How the lamp fades over the body and along the cord."""

    face_stops: float
    waist_stops: float
    feet_stops: float
    ten_cm_stops: float
    beam_cover_m: float | None


@dataclass(frozen=True)
class Light:
    name: str
    role: str
    target_stops: float
    guide_number_m: float
    guide_number_source: str
    guide_number_spread_stops: float
    source_diameter_m: float
    source_offset_m: float
    distance_m: float
    reading_f_number: float  # this lamp alone, dome toward the lamp
    all_in_f_number: float  # what the meter shows with everything, dome toward the lens
    power: float
    power_mark: str
    residual_stops: float  # marked power minus the need
    margin_stops: float  # full power minus the need
    in_frame: bool
    sun_side: str
    matching_height_m: float | None
    stand: Stand | None  # None: hand held
    shown_f_number: float  # this lamp alone as its head can be set
    shown_all_in_f_number: float
    reading_mark: str  # of what the meter will show
    all_in_mark: str
    set_power: float  # what power_mark says
    margin_low_stops: float  # the margin at the low end of the guide number
    dome_weight: float
    angle_deg: float
    direction_deg: float  # true bearing from the subject to the lamp
    modifier: str
    gel: str
    colour_k: float  # the flash through its gel
    fall_off: FallOff
    sun_side_changes_at: datetime | None
    sun_side_then: str
    ground_stops: float | None  # flash on the ground against the sun there; None: no sun
    guide_number_readings: int
    guide_number_days: int
    guide_number_told: Words  # "own measurement, 5 readings, ±0.2 stop"
    verdict: str  # fits, may be too weak, too weak, too strong, nothing to do: ...


@dataclass(frozen=True)
class BatteryRow:
    strobe: str
    flashes: float
    full_power_flashes: float
    watt_hours: float
    charge_share: float | None
    batteries: int | None
    along: int | None  # packs that come along
    swap_after_flashes: float | None
    source: str  # own: flashes counted by the house; estimate: from watt-hours
    battery: str
    flashes_at_full: float | None  # of one charge in this weather; None: no pack
    flashes_within_stops: float | None  # None: not learned from drawdowns
    flashes_told: Words


@dataclass(frozen=True)
class Tone:
    surface: str
    shutter_s: float
    stops: float
    state: str  # blown, holds, blocked


@dataclass(frozen=True)
class Turn:
    attendee: str
    trigger: str
    live_trigger: bool
    round: int
    order: int  # place in its round
    start_at: datetime  # of a turn given: when it was noted
    minutes: float
    on_deck: str  # who comes next, at this station; empty: nobody
    holders: tuple[str, ...]  # of the house first; as many as hands are wanted, or as are free
    log: str  # empty: the instructor keeps it
    station: str = ""
    given: bool = False
    over: bool = False  # ends when the talk must have begun
    re_meter: bool = False  # the base is metered again before this turn
    re_meter_min: float | None = None  # for a third of a stop at that hour; None: steady


@dataclass(frozen=True)
class Caution:
    code: str
    level: str  # stop, act, note
    text: Words
    source: Words
    harm: bool = False  # somebody can be hurt; else the picture or the clock suffers


@dataclass(frozen=True)
class WaterPlan:
    clear_by_at: datetime | None  # the path floods within the margin from here on
    strike_from_at: datetime | None
    height_at_start_m: float | None
    height_at_end_m: float | None
    rising: bool
    stands_flood_at: datetime | None  # None: not in the table, or no height recorded


@dataclass(frozen=True)
class Bearings:
    camera_true_deg: float
    camera_compass_deg: float | None  # None: no declination recorded
    declination_deg: float | None


@dataclass(frozen=True)
class OwnRow:
    """A figure of the plan that the house measured itself."""

    figure: Words
    value: float
    source: str  # own
    within_stops: float  # nine times in ten; a doubling is 1
    readings: int
    told: Words  # "own measurement, 5 readings, ±0.2 stop"
    of_lamp: bool = False  # a head's: told where heads are


@dataclass(frozen=True)
class SetPlan:
    set: SetHead
    sun: tuple[SunRow, ...]
    ambient: tuple[AmbientRow, ...]
    exposure: Exposure
    lights: tuple[Light, ...]
    battery: tuple[BatteryRow, ...]
    tones: tuple[Tone, ...]
    turns: tuple[Turn, ...]
    cautions: tuple[Caution, ...]
    water: WaterPlan | None
    bearings: Bearings
    late: tuple[LateRow, ...]
    skies: tuple[SkyRow, ...]  # empty while the sun is down or hidden
    own: tuple[OwnRow, ...]  # what of it the house measured itself

"""What a plan is computed from: frozen values read from the records, and nothing else.

``planning.selectors.set_inputs`` fills these; ``planning.plan.evaluate`` reads them.
Angles are degrees clockwise from true north, instants carry a time zone, shutters are
seconds. ``None`` says "not recorded", never zero.
"""

from dataclasses import dataclass
from datetime import date, datetime

from planning.physics.sun import Place
from planning.physics.water import TurningPoint


@dataclass(frozen=True)
class HouseRules:
    """The house's own limits; every one a field of the House record, with its default there."""

    safety_factor: float  # on the overturning moment
    hold_force_n: float  # from here a holder on the stand
    modifier_off_force_n: float  # above this the modifier comes off
    gust_limit_m_s: float  # above this everything is struck
    carry_cap_kg: float  # ballast a stand that somebody will really carry
    gust_factor_inland: float  # gust over mean wind where no gust is forecast
    gust_factor_sea: float
    sync_outlier_stops: float  # a body costing the group this much gets its own line
    tide_margin_min: float
    test_flash_share: float  # meter and test pops on top of the frames


@dataclass(frozen=True)
class Landmark:
    name: str
    bearing_deg: float  # true, from the set
    distance_m: float | None = None


@dataclass(frozen=True)
class LocationInputs:
    name: str
    place: Place
    timezone: str  # IANA name
    declination_deg: float | None = None  # east positive
    declination_on: date | None = None
    horizon: tuple[tuple[float, float], ...] = ()  # (azimuth_deg, elevation_deg), rising azimuth
    ground_reflectance: float = 0.2
    slope_deg: float = 0.0
    footing: str = ""  # "firm", "sand", "mud", ... as the record words it
    wind_exposure_factor: float = 1.0  # crest, pier, bridge, gap: 1.3 to 1.5
    at_sea: bool = False  # which gust factor applies when only the mean is known
    sky_cover_share: float = 0.0  # of the sky dome hidden by walls and trees
    under_trees: bool = False
    water: str = "none"  # none, still, river, tidal
    path_low_point_m: float | None = None  # above the tide table's datum
    stand_height_m: float | None = None
    water_bearing_deg: float | None = None  # from the set to the water's edge
    water_distance_m: float | None = None
    walk_min: float = 0.0
    head_limit: int | None = None  # of the permit, model and helpers included
    landmarks: tuple[Landmark, ...] = ()
    emergency: str = ""
    hazards: str = ""


@dataclass(frozen=True)
class ForecastInputs:
    source: str
    taken_at: datetime
    sky: str  # clear, partly, overcast
    temperature_c: float | None = None
    humidity_percent: float | None = None
    wind_m_s: float | None = None  # mean at 10 m
    gust_m_s: float | None = None
    wind_from_deg: float | None = None
    thunder: bool = False
    uv_index: float | None = None
    pressure_hpa: float | None = None
    rain_mm_h: float | None = None  # the most of these hours


@dataclass(frozen=True)
class CameraInputs:
    """One body with its owner's trigger, as the group's sync and the options need it."""

    owner: str
    name: str
    sync_s: float  # exact member of the series
    fastest_shutter_s: float
    lowest_iso: float
    curtain_s: float | None = None  # shortest curtain travel; None: the sync time
    sensor_width_mm: float = 36.0
    sensor_height_mm: float = 24.0
    shoe: str = "standard"  # standard, other, none
    centre_contact: bool = True
    electronic_only: bool = False
    flash_system: str = ""
    measured_sync_s: float | None = None  # from a rehearsal, with its trigger: beats the rest


@dataclass(frozen=True)
class TriggerInputs:
    name: str
    advanced: bool
    sync_penalty_stops: float
    fits: str = ""  # flash system it fits, empty for any standard shoe
    channel: str = ""


@dataclass(frozen=True)
class TriedInputs:
    """What a rehearsal found of one attendee's camera with one trigger, over all lamps."""

    trigger: str  # by the name of its TriggerInputs
    fires: bool
    banded: bool = False  # a dark band, and no shutter found without one
    measured_sync_s: float | None = None


@dataclass(frozen=True)
class AttendeeInputs:
    name: str  # as printed on the sheet, no two alike
    camera: CameraInputs | None = None
    trigger: str = ""  # the unit settled for this person, by the name of its TriggerInputs
    tried: tuple[TriedInputs, ...] = ()
    arrives_at: datetime | None = None  # None: here from the start
    leaves_at: datetime | None = None  # None: stays to the end
    turns_behind: int = 0  # turns fewer than whoever had most, on the sets before this one
    under_age: bool = False
    guardian: str = ""


@dataclass(frozen=True)
class BatteryInputs:
    name: str
    capacity_wh: float
    health_share: float = 1.0
    charged_count: int = 1  # packs of this kind that come along for this strobe


@dataclass(frozen=True)
class LightInputs:
    """One lamp of a set: head, modifier, stand and where they stand."""

    name: str
    role: str  # key, fill, rim, background
    strobe: str
    energy_ws: float
    distance_m: float  # front fabric to face, along the cord
    angle_deg: float  # seen from the subject, from the camera's direction, positive to camera right
    lamp_height_m: float
    target_stops: float = 0.0
    guide_number_m: float | None = None  # far field, with the modifier; None: guessed from W.s
    guide_number_source: str = "estimate"
    guide_number_spread_stops: float | None = None
    guide_number_readings: int = 0
    guide_number_days: int = 0
    modifier: str = ""
    modifier_stops: float = 0.0  # against the standard reflector, a loss is negative
    gel: str = ""
    gel_loss_stops: float = 0.0
    gel_shift_mired: float = 0.0
    source_diameter_m: float = 0.0
    source_offset_m: float = 0.0
    beam_deg: float | None = None
    face_area_m2: float = 0.0  # presented to the wind, head included
    face_width_m: float = 0.0
    drag_coefficient: float = 1.42
    least_power: float = 1 / 256
    power_step_stops: float = 1 / 3
    power_scale: str = "fraction"  # fraction, ten
    flash_duration_s: float | None = None  # t0.1 at full
    recycle_s: float | None = None  # at full
    overheat_flashes: int | None = None  # the maker's count per ten minutes at full
    idle_w: float = 0.0
    modelling_w: float = 0.0
    hss: bool = False
    hss_overhead_stops: float = 1.0
    mains: bool = False
    flashes_at_full: float | None = None  # counted by the house, one charge of a new, warm pack
    flashes_within_stops: float | None = None  # learned of these very packs: their age is in it
    flashes_readings: int = 0  # drawdowns it was learned from; 0: counted
    flashes_days: int = 0
    battery: BatteryInputs | None = None
    hand_held: bool = False
    stand: str = ""
    stand_mass_kg: float = 0.0
    top_mass_kg: float = 0.0  # head and modifier
    leg_radius_m: float = 0.0
    top_height_m: float | None = None
    rated_load_kg: float | None = None
    overhang_m: float = 0.0  # box's centre of mass ahead of the pole
    overhang_mass_kg: float = 0.0
    bag_kg: float = 0.0  # hung at the centre


@dataclass(frozen=True)
class ReadingInputs:
    """A meter reading taken at the place: what was read, where, how."""

    kind: str  # incident, spot, sky
    plane: str  # backdrop, face, shade, sky
    ev100: float  # exact, as the meter's own calibration gives it
    at: datetime
    meter: str = ""
    spread_stops: float = 0.2
    source: str = "metered"  # metered: for this set; own: an earlier day, same spot
    sky: str = ""  # own only: the sky word then; it counts under the same word again


@dataclass(frozen=True)
class GivenTurnInputs:
    """A turn that somebody has had on this set already."""

    attendee: str
    at: datetime
    round: int = 1
    station: str = ""
    missed: bool = False  # called, and not there


@dataclass(frozen=True)
class PointInputs:
    """A teaching point: the library's code, and the house's own words where it has any."""

    code: str  # empty: the house's own point, all of it in its words
    name: str = ""
    objective: str = ""
    demo: str = ""  # one step a line
    task: str = ""
    vary: str = ""
    faults: str = ""  # one a line, "fault: cure"
    critique: str = ""
    exercise: str = ""


@dataclass(frozen=True)
class FilterInputs:
    name: str
    stops: float


@dataclass(frozen=True)
class LearnedInputs:
    """What a figure rests on where the house measured it itself."""

    within_stops: float  # nine times in ten; a doubling is 1
    readings: int
    days: int = 0


@dataclass(frozen=True)
class DaylightInputs:
    """How the house's readings of daylight stand to the equations under one sky."""

    sky: str  # clear, partly, overcast
    moved_stops: float  # added to the estimate
    own: LearnedInputs


@dataclass(frozen=True)
class SetInputs:
    id: int
    title: str
    workshop: str
    start_at: datetime
    end_at: datetime
    house: HouseRules
    location: LocationInputs
    camera: CameraInputs  # the instructor's body: frame, curtain, fastest shutter
    camera_facing_deg: float
    focal_mm: float
    camera_distance_m: float
    widest_f_number: float
    smallest_f_number: float
    iso: float  # the lowest the group works at
    highest_iso: float
    slowest_hand_held_s: float
    channel: str = ""
    job: str = "key"  # key, fill, rim
    base_kind: str = "incident"  # incident, spot, sky
    placement_stops: float = 0.0
    stops_under: float = 1.0
    backdrop: str = ""
    backdrop_facing_deg: float | None = None  # None: toward the camera
    backdrop_tilt_deg: float = 90.0
    backdrop_reflectance: float = 0.18
    backdrop_in_sun: bool = True
    gap_behind_m: float | None = None  # subject to backdrop; None: open sky or far away
    sky_patch_elevation_deg: float = 20.0
    subject_in_sun: bool = True
    face_height_m: float = 1.55
    subject_height_m: float = 1.75
    skin_reflectance: float = 0.30
    wardrobe: str = ""
    wardrobe_reflectance: float = 0.18
    least_ratio: float | None = None
    wanted_f_number: float | None = None  # a wider aperture than the plan gives
    given_f_number: float | None = None  # low light: the aperture to work at
    given_iso: float | None = None
    white_balance_k: float = 5500.0
    lights: tuple[LightInputs, ...] = ()
    triggers: tuple[TriggerInputs, ...] = ()
    attendees: tuple[AttendeeInputs, ...] = ()
    strobe_sensitive: bool = False  # somebody of the day; who, and why, does not come this far
    other_heads: int = 0  # instructor, model, helpers: they count for the permit
    helpers: tuple[str, ...] = ()  # of the house, by name: they hold before attendees do
    forecast: ForecastInputs | None = None
    tide: tuple[TurningPoint, ...] = ()
    readings: tuple[ReadingInputs, ...] = ()
    daylight: tuple[DaylightInputs, ...] = ()  # one a sky that was metered before
    filters: tuple[FilterInputs, ...] = ()
    frames_per_attendee: int = 25
    frames_own: LearnedInputs | None = None  # None: entered, or the usual figure
    demo_frames: int = 40
    rig_min: float = 12.0
    brief_min: float = 3.0
    demo_min: float = 10.0
    turn_min: float = 5.0
    turn_own: LearnedInputs | None = None
    changeover_min: float = 1.0
    critique_min: float = 8.0
    strike_min: float = 8.0
    rounds: int = 1
    stations: tuple[str, ...] = ()  # names where several work side by side
    given: tuple[GivenTurnInputs, ...] = ()  # turns of this set given so far
    points: tuple[PointInputs, ...] = ()  # the main point first
    latest_at: datetime | None = None  # over by then, whatever happens
    set_index: int = 0  # position in the day, shifts the order of turns
    model_minutes_limit: float | None = None
    notes: str = ""
    objective: str = ""
    inputs_changed_at: datetime | None = None
    revision: str = ""

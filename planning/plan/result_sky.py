"""What a plan says of sun, sky and light: as planned, begun late, and when the sky changes."""

from dataclasses import dataclass
from datetime import datetime

from planning.plan.words import Words


@dataclass(frozen=True)
class SunRow:
    at: datetime
    elevation_deg: float
    geometric_elevation_deg: float
    azimuth_deg: float
    from_camera_deg: float  # -180 to 180, positive to camera right
    shadow_toward_deg: float | None
    shadow_length_ratio: float | None
    above_horizon_profile: bool
    stands: str  # ahead, side, behind (the photographer), down
    compass_deg: float | None
    shadow_m: float | None  # of the subject


@dataclass(frozen=True)
class SkyState:
    """One of the two states of a partly cloudy sky."""

    name: str  # sun out, cloud over
    subject_ev100: float
    background_ev100: float


@dataclass(frozen=True)
class AmbientRow:
    at: datetime
    sky: str
    source: str  # metered, own, estimate: of background_ev100
    subject_ev100: float
    shade_side_ev100: float
    background_ev100: float
    sky_ev100: float
    low_stops: float  # spread of background_ev100, negative
    high_stops: float
    subject_source: str
    subject_low_stops: float
    subject_high_stops: float
    moved_stops: float  # background_ev100 since the start
    states: tuple[SkyState, ...] = ()


@dataclass(frozen=True)
class Line:
    """What camera and key are set to in another light, and how far it is from the plan's."""

    base_moved_stops: float  # the base against the plan's start
    low_stops: float  # spread of the base, negative
    high_stops: float
    source: str  # metered, own, estimate: of the base
    method: str
    base_mark: str
    working_mark: str
    shutter_s: float
    shutter_mark: str
    iso: float
    hand_held: bool
    power_mark: str  # of the key; empty without a lamp
    power_verdict: str
    camera_fits: Words
    shutter_alone_mark: str  # aperture and flash left as planned; empty: no such shutter


@dataclass(frozen=True)
class LateRow:
    """The set begun so many minutes late."""

    minutes: int
    at: datetime
    sun: SunRow
    sun_gone_at: datetime | None  # when it goes behind the horizon while the late set runs
    key_sun_side: str  # same, opposite, behind subject, none; empty without a lamp
    key_sun_side_planned: str
    line: Line | None  # None: too dark for an estimate, meter it
    turns: int  # planned, those given already left out
    turns_fit: int  # whole ones before the planned end, or a limit that comes sooner
    over_min: float  # how far all of them run past the planned end; negative: time to spare
    passed: tuple[Words, ...]  # what the late set runs past, gravest first


@dataclass(frozen=True)
class SkyRow:
    """The set under one of two skies: the sun out, or a cloud over it."""

    name: str  # sun out, cloud over
    planned: bool  # the sky the plan stands on
    line: Line
    face_moved_stops: float  # the face's own light against the plan's

"""One worked day as inputs, and the awkward cases a sheet must survive. All of it invented.

The light is the "same sun" day: wall and face both read f/11 at 1/160, ISO 100, one stop
under; an octa 0.9 m, f/22 at full at 2.0 m, stands 2.0 m away.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from planning.physics.exposure import ev100
from planning.physics.flash import guide_number_m
from planning.physics.sun import Place
from planning.physics.water import TurningPoint
from planning.plan.inputs import (
    AttendeeInputs,
    BatteryInputs,
    CameraInputs,
    FilterInputs,
    ForecastInputs,
    Landmark,
    LightInputs,
    LocationInputs,
    ReadingInputs,
    SetInputs,
    TriggerInputs,
)
from tests.planning.day import SET

START = datetime(2026, 9, 12, 13, 10, tzinfo=UTC)  # 14:10 in London
SIXTEENTH = 2 ** (-22 / 3)  # 1/160 as an exact member of the series
NAMES = ("Ines", "Bodo", "Chiara", "Dag", "Edda", "Farid", "Greta", "Hal")
SYNCS_S = (2**-8, 2 ** (-23 / 3), 2**-8, 2 ** (-23 / 3), 2**-8, 2**-8, 2 ** (-23 / 3), 2**-8)
LOWEST_ISO = (100, 64, 200, 100, 100, 200, 100, 100)

HOME_CAMERA = CameraInputs(
    owner="Mara",
    name="Full-frame 24",
    sync_s=2 ** (-23 / 3),
    fastest_shutter_s=2**-13,
    lowest_iso=100,
)
SIMPLE = TriggerInputs(name="Simple A", advanced=False, sync_penalty_stops=1 / 3, channel="7")
ADVANCED = TriggerInputs(name="Advanced", advanced=True, sync_penalty_stops=0.0, channel="7")

OCTA = LightInputs(
    name="Octa",
    role="key",
    strobe="Strobe 200",
    energy_ws=200,
    distance_m=2.0,
    angle_deg=-45,
    lamp_height_m=2.3,
    guide_number_m=guide_number_m(22.627, 2.0, source_diameter_m=0.9),
    guide_number_source="own",
    guide_number_spread_stops=0.2,
    guide_number_readings=4,
    modifier="octa 90 cm",
    source_diameter_m=0.9,
    face_area_m2=0.64,
    face_width_m=0.9,
    flash_duration_s=1 / 220,
    recycle_s=1.8,
    hss=True,
    battery=BatteryInputs(name="Pack 75", capacity_wh=75, health_share=0.9, charged_count=2),
    stand="Stand 280",
    stand_mass_kg=2.6,
    top_mass_kg=2.4,
    leg_radius_m=0.5,
    top_height_m=2.8,
    rated_load_kg=6,
    overhang_m=0.3,
    overhang_mass_kg=1.2,
    bag_kg=8,
)
RIM = replace(
    OCTA,
    name="Rim",
    role="rim",
    strobe="Strobe 60",
    energy_ws=60,
    angle_deg=140,
    distance_m=2.6,
    lamp_height_m=2.4,
    target_stops=0.5,
    guide_number_m=None,
    guide_number_source="estimate",
    guide_number_spread_stops=None,
    modifier="deep reflector",
    modifier_stops=1.0,
    source_diameter_m=0.0,
    face_area_m2=0.05,
    face_width_m=0.18,
    battery=BatteryInputs(name="Pack 30", capacity_wh=30),
    bag_kg=4,
)
FILL = replace(
    OCTA,
    name="Fill",
    role="fill",
    strobe="Strobe 600",
    energy_ws=600,
    angle_deg=15,
    distance_m=3.0,
    lamp_height_m=1.9,
    target_stops=-2.0,
    guide_number_source="metered",
    modifier="umbrella 110 cm, white, shot through",
    source_diameter_m=1.1,
    face_area_m2=0.95,
    face_width_m=1.1,
)


def attendees(count: int) -> tuple[AttendeeInputs, ...]:
    return tuple(
        AttendeeInputs(
            name=NAMES[index],
            camera=CameraInputs(
                owner=NAMES[index],
                name=f"Body {index + 1}",
                sync_s=SYNCS_S[index],
                fastest_shutter_s=2**-12,
                lowest_iso=LOWEST_ISO[index],
            ),
        )
        for index in range(count)
    )


def location(**changes) -> LocationInputs:
    given = {
        "name": "Old slate quarry",
        "place": Place(53.12, -4.08),
        "timezone": "Europe/London",
        "declination_deg": -0.8,
        "ground_reflectance": 0.2,
        "footing": "firm",
        "walk_min": 12,
        "landmarks": (
            Landmark("engine-house chimney", 312),
            Landmark("weir", 96, 140),
        ),
        "emergency": "112 or 999; grid name on the gate board; nearest emergency department "
        "22 minutes by road; signal at the car park only.",
        "hazards": "Loose slate at the foot of the wall.",
    }
    return LocationInputs(**{**given, **changes})


BASE_EV100 = ev100(2 ** (7 / 2), SIXTEENTH)
READING = ReadingInputs(kind="incident", plane="backdrop", ev100=BASE_EV100, at=START)
SLATE_WALL = {
    "id": 2,
    "title": "Slate wall",
    "workshop": "One stop under in the quarry",
    "start_at": START,
    "end_at": START + timedelta(minutes=75),
    "house": SET.house,
    "location": location(),
    "camera": HOME_CAMERA,
    "camera_facing_deg": 320.0,
    "focal_mm": 85,
    "camera_distance_m": 3.2,
    "widest_f_number": 2 ** (1 / 2) * 2,
    "smallest_f_number": 2 ** (9 / 2),
    "iso": 100,
    "highest_iso": 1600,
    "slowest_hand_held_s": 2**-4,
    "channel": "7",
    "backdrop": "slate wall",
    "backdrop_reflectance": 0.14,
    "gap_behind_m": 1.0,
    "wardrobe": "dark grey wool coat",
    "wardrobe_reflectance": 0.06,
    "wanted_f_number": 2 ** (3 / 2),
    "lights": (OCTA,),
    "triggers": (SIMPLE, replace(SIMPLE, name="Simple B"), ADVANCED),
    "attendees": attendees(6),
    "other_heads": 3,
    "helpers": 2,
    "forecast": ForecastInputs(
        source="national weather service, 12 km grid",
        taken_at=START - timedelta(hours=9),
        sky="clear",
        temperature_c=17,
        humidity_percent=60,
        wind_m_s=5,
        gust_m_s=9,
        wind_from_deg=250,
        uv_index=4,
    ),
    "readings": (READING, replace(READING, plane="face")),
    "filters": (FilterInputs("ND 2", 2.0), FilterInputs("ND 3", 3.0)),
    "set_index": 1,
    "objective": "See that the shutter alone moves the wall while the face stays put.",
    "notes": "Meter the wall with the flash off, close one stop, then bring the octa up. "
    "Let everybody walk the ladder once before the first portrait.",
    "inputs_changed_at": datetime(2026, 9, 10, 18, 30, tzinfo=UTC),
    "revision": "4f2a91c",
}


def slate_wall(**changes) -> SetInputs:
    """The worked set: one octa, six attendees, a metered base of f/11."""
    return SetInputs(**{**SLATE_WALL, **changes})


def full_beach(**changes) -> SetInputs:
    """Everything at once: three lights, eight attendees, tide, partly cloudy, estimates."""
    day = START.replace(hour=0, minute=0)
    given = {
        "id": 3,
        "title": "Groyne at the ebb",
        "location": location(
            name="North beach",
            footing="sand",
            at_sea=True,
            water="tidal",
            path_low_point_m=2.1,
            stand_height_m=2.9,
            water_bearing_deg=300,
            water_distance_m=9.0,
            head_limit=12,
            landmarks=(
                Landmark("harbour light", 14, 900),
                Landmark("chapel tower", 128, 1400),
                Landmark("radio mast", 200, 2600),
            ),
        ),
        "lights": (OCTA, FILL, RIM),
        "attendees": attendees(8),
        "readings": (),
        "gap_behind_m": None,
        "backdrop": "open sky over the sea",
        "base_kind": "sky",
        "placement_stops": 1.0,
        "forecast": replace(
            slate_wall().forecast, sky="partly", gust_m_s=13, thunder=True, temperature_c=9
        ),
        "tide": (
            TurningPoint(day + timedelta(hours=3, minutes=40), 4.4),
            TurningPoint(day + timedelta(hours=9, minutes=50), 0.9),
            TurningPoint(day + timedelta(hours=16, minutes=5), 4.6),
            TurningPoint(day + timedelta(hours=22, minutes=20), 0.8),
        ),
    }
    return slate_wall(**{**given, **changes})

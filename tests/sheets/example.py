"""The plain set of ``tests.planning.day`` with all a sheet can carry, and an awkward one.

What differs from that day stands here and nothing else; what a sheet shows of either comes
from the real plan.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from planning.physics.exposure import parse_f_mark, parse_shutter_mark
from planning.physics.water import TurningPoint
from planning.plan.inputs import (
    AttendeeInputs,
    BatteryInputs,
    FilterInputs,
    Landmark,
    PointInputs,
    SetInputs,
)
from tests.planning import day

NAMES = ("Ines", "Bodo", "Chiara", "Dag", "Edda", "Farid", "Greta", "Hal")
SYNCS = ("1/250", "1/200", "1/250", "1/200", "1/250", "1/250", "1/200", "1/250")
LOWEST_ISO = (100, 64, 200, 100, 100, 200, 100, 100)
SIMPLE = replace(day.SIMPLE, name="Simple A", sync_penalty_stops=1 / 3, channel="7")

OCTA = replace(
    day.OCTA,
    name="Octa",
    strobe="Strobe 200",
    energy_ws=200,
    angle_deg=-45,
    modifier="octa 90 cm",
    flash_duration_s=1 / 220,
    recycle_s=1.8,
    drag_coefficient=1.42,
    battery=BatteryInputs(name="Pack 75", capacity_wh=75, health_share=0.9, charged_count=2),
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
    bodies = zip(NAMES, SYNCS, LOWEST_ISO, strict=True)
    return tuple(
        AttendeeInputs(
            name,
            replace(
                day.CAMERA,
                owner=name,
                name=f"Body {name}",
                sync_s=parse_shutter_mark(sync),
                lowest_iso=lowest_iso,
            ),
        )
        for name, sync, lowest_iso in list(bodies)[:count]
    )


def location(**changes):
    given = {
        "name": "Old slate quarry",
        "footing": "firm",
        "walk_min": 12,
        "landmarks": (Landmark("engine-house chimney", 312), Landmark("weir", 96, 140)),
        "emergency": "112 or 999; grid name on the gate board; nearest emergency department "
        "22 minutes by road; signal at the car park only.",
        "hazards": "Loose slate at the foot of the wall.",
    }
    return replace(day.SET.location, **{**given, **changes})


def slate_wall(**changes) -> SetInputs:
    """The plain set with an octa off the axis, a stronger wind, people of unlike cameras."""
    given = {
        "id": 2,
        "workshop": "One stop under in the quarry",
        "location": location(),
        "camera_facing_deg": 320.0,
        "camera_distance_m": 3.2,
        "slowest_hand_held_s": parse_shutter_mark("1/15"),
        "channel": "7",
        "backdrop": "slate wall",
        "backdrop_reflectance": 0.14,
        "wardrobe": "dark grey wool coat",
        "wardrobe_reflectance": 0.06,
        "wanted_f_number": parse_f_mark("2.8"),
        "lights": (OCTA,),
        "triggers": (SIMPLE, replace(SIMPLE, name="Simple B"), day.ADVANCED),
        "attendees": attendees(6),
        "other_heads": 3,
        "helpers": ("Oda", "Per"),
        "forecast": replace(day.SET.forecast, wind_m_s=5, gust_m_s=9, uv_index=4),
        "filters": (FilterInputs("ND 2", 2.0), FilterInputs("ND 3", 3.0)),
        "set_index": 1,
        "objective": "See that the shutter alone moves the wall while the face stays put.",
        "notes": "Meter the wall with the flash off, close one stop, then bring the octa up. "
        "Let everybody walk the ladder once before the first portrait.",
        "inputs_changed_at": datetime(2026, 9, 10, 18, 30, tzinfo=UTC),
        "revision": "4f2a91c",
    }
    return replace(day.SET, **{**given, **changes})


def full_beach(**changes) -> SetInputs:
    """Everything at once: three lights, eight attendees, tide, partly cloudy, estimates."""
    midnight = day.START.replace(hour=0, minute=0)
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
            TurningPoint(midnight + timedelta(hours=4, minutes=40), 4.4),
            TurningPoint(midnight + timedelta(hours=10, minutes=50), 0.9),
            TurningPoint(midnight + timedelta(hours=17, minutes=5), 4.6),
            TurningPoint(midnight + timedelta(hours=23, minutes=20), 0.8),
        ),
    }
    return slate_wall(**{**given, **changes})


def three_lights(**changes) -> SetInputs:
    """A full set in working weather: three lights, eight attendees, a lesson, nothing metered."""
    forecast = replace(slate_wall().forecast, sky="partly", gust_m_s=6.0, wind_m_s=3.0)
    given = {
        "lights": (OCTA, FILL, RIM),
        "attendees": attendees(8),
        "readings": (),
        "forecast": forecast,
        "points": (PointInputs("story"),),
    }
    return slate_wall(**{**given, **changes})

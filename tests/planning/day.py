"""A plain set to vary in tests: a slate wall on a hill in June, six people, one octa.

Every figure is round and fixed; tests change what they are about with ``dataclasses.replace``.
"""

import math
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from planning.physics.exposure import ev100, parse_f_mark, parse_shutter_mark
from planning.physics.sun import Place
from planning.plan.inputs import (
    AttendeeInputs,
    BatteryInputs,
    CameraInputs,
    ForecastInputs,
    HouseRules,
    LightInputs,
    LocationInputs,
    ReadingInputs,
    SetInputs,
    TriggerInputs,
)

ZONE = ZoneInfo("Europe/London")
START = datetime(2026, 6, 21, 14, 10, tzinfo=ZONE)
END = datetime(2026, 6, 21, 15, 25, tzinfo=ZONE)

CAMERA = CameraInputs(
    owner="Ines",
    name="Body A",
    sync_s=parse_shutter_mark("1/160"),
    fastest_shutter_s=parse_shutter_mark("1/4000"),
    lowest_iso=100.0,
    curtain_s=parse_shutter_mark("1/250"),
    flash_system="north",
)
SIMPLE = TriggerInputs("T1", advanced=False, sync_penalty_stops=0.0)
ADVANCED = TriggerInputs("A1", advanced=True, sync_penalty_stops=0.0, fits="north")
PEOPLE = ("Abel", "Bea", "Cyd", "Dov", "Eka", "Fay")


def guide_number_from(f_mark: str, distance_m: float, diameter_m: float) -> float:
    """The far-field guide number of a face metered at full power."""
    return parse_f_mark(f_mark) * math.hypot(distance_m, diameter_m / 2)


OCTA = LightInputs(
    name="octa",
    role="key",
    strobe="S600",
    energy_ws=600.0,
    distance_m=2.0,
    angle_deg=0.0,
    lamp_height_m=2.3,
    guide_number_m=guide_number_from("f/22", 2.0, 0.9),
    guide_number_source="own",
    guide_number_spread_stops=0.2,
    modifier="octa 90",
    source_diameter_m=0.9,
    face_area_m2=0.64,
    face_width_m=0.9,
    drag_coefficient=1.2,
    hss=True,
    stand="tall",
    stand_mass_kg=3.0,
    top_mass_kg=4.0,
    leg_radius_m=0.5,
    top_height_m=3.0,
    bag_kg=10.0,
    battery=BatteryInputs("P97", 97.0),
)


def reading(kind: str, plane: str, f_mark: str, shutter: str = "1/160") -> ReadingInputs:
    return ReadingInputs(
        kind, plane, ev100(parse_f_mark(f_mark), parse_shutter_mark(shutter)), START
    )


SET = SetInputs(
    id=1,
    title="Slate wall",
    workshop="Midsummer",
    start_at=START,
    end_at=END,
    house=HouseRules(
        safety_factor=1.5,
        hold_force_n=40.0,
        modifier_off_force_n=80.0,
        gust_limit_m_s=11.0,
        carry_cap_kg=25.0,
        gust_factor_inland=1.7,
        gust_factor_sea=1.4,
        sync_outlier_stops=1.0,
        tide_margin_min=60.0,
        test_flash_share=0.1,
    ),
    location=LocationInputs(
        name="Quarry", place=Place(51.0, -3.0), timezone="Europe/London", declination_deg=-1.0
    ),
    camera=CAMERA,
    camera_facing_deg=30.0,
    focal_mm=85.0,
    camera_distance_m=4.0,
    widest_f_number=parse_f_mark("2.8"),
    smallest_f_number=parse_f_mark("22"),
    iso=100.0,
    highest_iso=1600.0,
    slowest_hand_held_s=parse_shutter_mark("1/30"),
    gap_behind_m=1.0,
    lights=(OCTA,),
    triggers=(SIMPLE, ADVANCED),
    attendees=tuple(AttendeeInputs(name, replace(CAMERA, owner=name)) for name in PEOPLE),
    forecast=ForecastInputs(
        source="evening bulletin",
        taken_at=START,
        sky="clear",
        temperature_c=20.0,
        humidity_percent=60.0,
        wind_m_s=2.0,
        gust_m_s=3.0,
        wind_from_deg=250.0,
    ),
    readings=(reading("incident", "backdrop", "f/11"), reading("incident", "face", "f/11")),
)

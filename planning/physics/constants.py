"""Every figure from the world, once: unit in the name, source beside it.

"From memory" marks a value recalled and not yet confirmed on the page; "common practice"
a habit of the trade without a source.
"""

# --- Sun, daylight, sky ---------------------------------------------------------------

# USNO, "Rise, Set, and Twilight Definitions": 34' of refraction and 16' of semidiameter put
# the disc's upper edge on the horizon; civil twilight ends at 6 degrees.
SUNRISE_ELEVATION_DEG = -50 / 60
CIVIL_TWILIGHT_ELEVATION_DEG = -6.0
# The series' own span: the NOAA solar calculator states 1901 to 2099.
SUN_FIRST_YEAR = 1901
SUN_LAST_YEAR = 2099
# Meeus, *Astronomical Algorithms*, ch. 25: what the sun's light lags behind, in longitude.
ABERRATION_DEG = 0.00569
# NOAA solar calculator, refraction from true elevation in seconds of arc: above 5 degrees
# 58.1/tan - 0.07/tan^3 + 0.000086/tan^5; to the horizon a polynomial of the elevation.
REFRACTION_UPPER_ARCSEC = (58.1, -0.07, 0.000086)
REFRACTION_HORIZON_ARCSEC = (1735.0, -518.2, 103.4, -12.79, 0.711)

# --- Exposure, flash, optics, tone, colour --------------------------------------------

REFLECTED_CALIBRATION = 12.5  # reflected light, cd/m2; ISO 2720:1974 allows 10.6 to 13.4
INCIDENT_CALIBRATION_FLAT = 250.0  # incident light, lx, flat receptor; ISO 2720:1974 allows 240 to 400
INCIDENT_CALIBRATION_DOME = 330.0  # incident light, lx, hemispherical receptor; from memory

GREY_REFLECTANCE = 0.18  # mid-grey card
BLOWN_STOPS = 3.0  # above mid-grey a tone is clean white; common practice
BLOCKED_STOPS = -4.5  # below mid-grey a tone is black; common practice

ANCHOR_GUIDE_NUMBER_M = 80.0  # standard reflector, ISO 100, of the anchor head; makers' sheets
ANCHOR_ENERGY_WS = 600.0
ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS = 1.0  # published anchors scaled to 600 W.s: GN 57 to 118 m
HIGH_SPEED_OVERHEAD_STOPS = 1.0  # until measured; 0.5 to 1.5 between heads, common practice

CONFUSION_DIAGONAL_SHARE = 1 / 1500  # circle of confusion of the frame's diagonal; common practice

# --- Wind, water, weather, battery ----------------------------------------------------

GRAVITY_M_S2 = 9.80665  # standard acceleration, CGPM 1901
AIR_DENSITY_KG_M3 = 1.225  # sea level, 15 C; ISO 2533:1975 standard atmosphere
MOMENT_SAFETY_FACTOR = 1.5  # IStructE, Temporary Demountable Structures; from memory
GUST_OFF_AXIS_DEG = 45.0  # how far a gust swings from the forecast direction; common practice
# Lowest mean speed, m/s, of Beaufort 1 to 12; WMO Manual on Codes, table 1100.
BEAUFORT_FROM_M_S = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)

TIDE_TWELFTHS = (1, 2, 3, 3, 2, 1)  # of the range in each sixth of the half cycle; seamanship rule

# --- The plan's own rules -------------------------------------------------------------
# Common practice, no source, unless a line says otherwise.

PLANE_SPREAD_STOPS = 0.4  # a surface never faces quite where the plan says
REFLECTANCE_SPREAD_STOPS = 0.5  # a guessed tone of stone, wood, plaster
METER_SPREAD_STOPS = 0.2
OWN_READING_SPREAD_STOPS = 0.3  # an earlier reading at the same spot, sun and sky word
SAME_SUN_ELEVATION_DEG = 5.0  # how near the sun must stand for such a reading to count
SAME_SUN_AZIMUTH_DEG = 15.0
TWILIGHT_FLOOR_DEG = -12.0  # the daylight equations end here
LADDER_UPWARD_STEPS = 3  # a start one under leaves about three stops of upward trim
LADDER_MOST_STEPS = 6
WHITE_CLOTH_REFLECTANCE = 0.90  # +2.32 stops above mid-grey
BLACK_CLOTH_REFLECTANCE = 0.04
SUN_AHEAD_DEG = 45.0  # nearer than this to the camera's axis the subject is backlit
SUN_BEHIND_DEG = 135.0
LENS_FLARE_DEG = 30.0  # the sun this near the axis and low shines into the lens
HIGH_SUN_DEG = 45.0  # above this match the sun's side only, not its height
TWO_SUNS_STOPS = 2.0  # a second shadow shows when flash and sun are this near on the ground
FLASH_NEAR_FACE_M = 0.5
HSS_SPREAD_STOPS = 0.5
FLASHES_PER_CHARGE_CAP = 8.0  # low power runs out of time before it runs out of flashes
CELL_CABIN_WH = 100.0  # IATA / ICAO passenger baggage limits, dated 2026 in the caution
CELL_APPROVAL_WH = 160.0

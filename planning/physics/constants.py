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

# IES, "Recommended Practice for the Calculation of Daylight Availability", J. IES 13(4), 1984
# (RP-21). Beam constants seen in two codes; A, B, C from memory, the overcast row agreeing
# with Krochmann's zenith luminance. Clouds in tenths: clear 0 to 3, partly 4 to 7, overcast 8 on.
SOLAR_ILLUMINANCE_LX = 127_500.0  # beam above the air, Sun at its mean distance
SUN_DISTANCE_SHARE = 0.034  # yearly swing of that beam
SUN_NEAREST_DAY = 2
BEAM_EXTINCTION = {"clear": 0.21, "partly": 0.80, "overcast": None}  # per air mass; None: no beam
SKY_A_LX = {"clear": 800.0, "partly": 300.0, "overcast": 300.0}
SKY_B_LX = {"clear": 15_500.0, "partly": 45_000.0, "overcast": 21_000.0}
SKY_C = {"clear": 0.5, "partly": 1.0, "overcast": 1.0}
# Kasten and Young, Applied Optics 28(22) 4735, 1989.
AIR_MASS_A = 0.50572
AIR_MASS_B_DEG = 6.07995
AIR_MASS_C = 1.6364
# USNO Circular 171 (Janiczek and DeYoung, 1987), sun only, clear sky: log10 of lux as a cubic
# of elevation / 90, by bands from the elevation named up. Seen in two codes.
TWILIGHT_LOG10_LX = (
    (-12.0, (2.70, 12.17, -431.69, -1899.83)),
    (-5.0, (2.88, 21.81, -258.11, -858.36)),
    (-0.8, (2.88, 22.26, -207.64, 1034.30)),
)
TWILIGHT_JOIN_HALF_WIDTH_DEG = 0.25  # bands miss each other by 0.4 %: faded across the join
DAYLIGHT_FLOOR_DEG = -12.0
IES_FLOOR_DEG = 5.0  # below, the equations' air is too thick or too thin for a low sun
TWILIGHT_RATIO_FLOOR_DEG = -0.8
# What cloud leaves of clear twilight: overcast dusk is 1 to 2 stops darker; common practice.
TWILIGHT_SHARE = {"clear": 1.0, "partly": 0.7, "overcast": 0.35}

# How far an hour's light on the level strays from the equations, in stops: 5th percentile,
# median, 95th, per band of the sun's elevation. Learned from the typical years of Sand Point
# and Miami (NREL TMY3 703165, TMY2 12839, modelled illuminance, each site weighing alike;
# above 60 degrees Miami alone) by tests/physics/learn_spread.py.
SPREAD_BAND_EDGES_DEG = (0.0, 5.0, 10.0, 20.0, 35.0, 60.0, 90.0)
SPREAD_STOPS = {
    "clear": (
        (-1.00, -0.36, 0.06),
        (-0.86, -0.38, 0.06),
        (-0.59, -0.22, 0.07),
        (-0.49, -0.14, -0.02),
        (-0.37, -0.13, -0.03),
        (-0.30, -0.09, -0.04),
    ),
    "partly": (
        (-0.52, 0.10, 0.83),
        (-0.44, 0.19, 0.67),
        (-0.34, 0.32, 0.69),
        (-0.37, 0.21, 0.60),
        (-0.46, 0.06, 0.35),
        (-0.40, 0.03, 0.20),
    ),
    "overcast": (
        (-0.51, 0.58, 1.56),
        (-0.31, 0.57, 1.37),
        (-0.18, 0.86, 1.72),
        (0.05, 1.06, 1.99),
        (0.20, 1.18, 2.16),
        (0.50, 1.84, 2.31),
    ),
}

# CIE S 011:2003 / ISO 15469:2004, standard general sky, table 1: gradation a, b; indicatrix
# c, d, e. From memory; type 12 gives the older CIE clear sky's 0.91, 10, -3, 0.45.
CIE_SKY_TYPES = {
    1: (4.0, -0.70, 0.0, -1.0, 0.0),
    2: (4.0, -0.70, 2.0, -1.5, 0.15),
    3: (1.1, -0.80, 0.0, -1.0, 0.0),
    4: (1.1, -0.80, 2.0, -1.5, 0.15),
    5: (0.0, -1.0, 0.0, -1.0, 0.0),
    6: (0.0, -1.0, 2.0, -1.5, 0.15),
    7: (0.0, -1.0, 5.0, -2.5, 0.30),
    8: (0.0, -1.0, 10.0, -3.0, 0.45),
    9: (-1.0, -0.55, 2.0, -1.5, 0.15),
    10: (-1.0, -0.55, 5.0, -2.5, 0.30),
    11: (-1.0, -0.55, 10.0, -3.0, 0.45),
    12: (-1.0, -0.32, 10.0, -3.0, 0.45),
    13: (-1.0, -0.32, 16.0, -3.0, 0.30),
    14: (-1.0, -0.15, 16.0, -3.0, 0.30),
    15: (-1.0, -0.15, 24.0, -2.8, 0.15),
}
CIE_TYPE_OF_SKY = {"clear": 12, "partly": 7, "overcast": 1}  # our choice of type per cloud word
SUN_AUREOLE_DEG = 10.0  # nearer the disc no pattern is trusted

# --- Exposure, flash, optics, tone, colour --------------------------------------------

REFLECTED_CALIBRATION = 12.5  # reflected light, cd/m2; ISO 2720:1974 allows 10.6 to 13.4
INCIDENT_CALIBRATION_FLAT = (
    250.0  # incident light, lx, flat receptor; ISO 2720:1974 allows 240 to 400
)

GREY_REFLECTANCE = 0.18  # mid-grey card
BLOWN_STOPS = 3.0  # above mid-grey a tone is clean white; common practice
BLOCKED_STOPS = -4.5  # below mid-grey a tone is black; common practice

ANCHOR_GUIDE_NUMBER_M = 80.0  # standard reflector, ISO 100, of the anchor head; makers' sheets
ANCHOR_ENERGY_WS = 600.0
ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS = 1.0  # four published, as 600 W.s: GN 57 to 118 m

# A full-size hot-shoe flash of 76 W.s, zoomed to 50 mm, and what a white umbrella costs it when
# shot through; both measured, published in the trade.
HOT_SHOE_GUIDE_NUMBER_M = 42.0
HOT_SHOE_UMBRELLA_STOPS = -1.7

CONFUSION_DIAGONAL_SHARE = 1 / 1500  # circle of confusion of the frame's diagonal; common practice

# --- Wind, water, weather, battery ----------------------------------------------------

GRAVITY_M_S2 = 9.80665  # standard acceleration, CGPM 1901
AIR_DENSITY_KG_M3 = 1.225  # sea level, 15 C; ISO 2533:1975 standard atmosphere
MOMENT_SAFETY_FACTOR = 1.5  # IStructE, Temporary Demountable Structures; from memory
GUST_OFF_AXIS_DEG = 45.0  # how far a gust swings from the forecast direction; common practice
# Lowest mean speed, m/s, of Beaufort 1 to 12; WMO Manual on Codes, table 1100.
BEAUFORT_FROM_M_S = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)

TIDE_TWELFTHS = (1, 2, 3, 3, 2, 1)  # of the range in each sixth of the half cycle; seamanship rule

# Rothfusz, NWS SR 90-23 (1990), degrees Fahrenheit and percent, the factors of
# 1, T, R, TR, T2, R2, T2R, TR2, T2R2.
HEAT_INDEX_COEFFICIENTS = (
    -42.379,
    2.04901523,
    10.14333127,
    -0.22475541,
    -0.00683783,
    -0.05481717,
    0.00122874,
    0.00085282,
    -0.00000199,
)
HEAT_INDEX_FROM_F = 80.0  # below this the simple formula stands
# NWS heat index safety chart, newer set; the older one has 105 and 130 for the last two.
HEAT_INDEX_BANDS_F = (
    (80.0, "caution"),
    (90.0, "extreme caution"),
    (103.0, "danger"),
    (125.0, "extreme danger"),
)
# NWS and Environment Canada 2001, Celsius and km/h: 1, T, V^0.16, T V^0.16.
WIND_CHILL_COEFFICIENTS = (13.12, 0.6215, -11.37, 0.3965)
WIND_CHILL_TO_C = 10.0  # 50 F
WIND_CHILL_FROM_KM_H = 4.8  # 3 mph
# WHO, WMO, UNEP, ICNIRP, Global Solar UV Index: a practical guide (2002).
UV_INDEX_BANDS = (
    (0.0, "low"),
    (3.0, "moderate"),
    (6.0, "high"),
    (8.0, "very high"),
    (11.0, "extreme"),
)
UV_PROTECTION_FROM = 3.0
LIGHTNING_WAIT_MIN = 30.0  # after the last thunder; NWS: any thunder is near enough to strike

CHARGER_EFFICIENCY = 0.75  # battery to capacitor; 0.75 to 0.85, from memory
# (temperature C, low, high share of capacity) of lithium-ion cells, apart by the rate drawn;
# from memory.
COLD_SHARE_BANDS = (
    (-20.0, 0.50, 0.60),
    (-10.0, 0.70, 0.85),
    (0.0, 0.80, 0.90),
    (20.0, 1.0, 1.0),
)

# --- The plan's own rules -------------------------------------------------------------
# Common practice, no source, unless a line says otherwise.

PLANE_SPREAD_STOPS = 0.4  # a surface never faces quite where the plan says
REFLECTANCE_SPREAD_STOPS = 0.5  # a guessed tone of stone, wood, plaster
METER_SPREAD_STOPS = 0.2
OWN_READING_SPREAD_STOPS = 0.3  # an earlier reading at the same spot, sun and sky word
SAME_SUN_ELEVATION_DEG = 5.0  # how near the sun must stand for such a reading to count
SAME_SUN_AZIMUTH_DEG = 15.0
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
FLASH_NEAR_FACE_POWER = 0.5  # of full, from which that near is too much
HSS_SPREAD_STOPS = 0.5
FLASHES_PER_CHARGE_CAP = 8.0  # low power runs out of time before it runs out of flashes
CELL_CABIN_WH = 100.0  # IATA / ICAO passenger baggage limits, dated 2026 in the caution
CELL_APPROVAL_WH = 160.0
SAME_STOPS = 0.1  # differences under a tenth are not spoken of
WAIST_SHARE = 0.6  # of the standing height, for the fall-off on the body
COLD_MODEL_C = 10.0  # below this a lightly dressed model needs a coat between frames
TREE_GUST_M_S = 8.0  # Beaufort 5, where woodland groups begin to leave
FLASH_COLOUR_K = 5500.0  # a strobe without gel
OWN_GUIDE_NUMBER_SPREAD_STOPS = 0.3  # an own reading whose spread nobody wrote down
TIDE_MOST_HALF_CYCLE_H = 16.0  # longer between high and low: a row of the table is missing
PRESSURE_MEAN_HPA = 1013.25  # ISO 2533 standard atmosphere
PRESSURE_M_PER_HPA = 0.01  # the sea rises about a centimetre for each hPa below it
LOW_PRESSURE_HPA = 1000.0  # from here down the rise is worth a word
DECLINATION_YEARS = 5.0  # it drifts a degree or so in this time

# Filling lithium packs: common practice, no source; the maker's figure or a timed one beats it.
CHARGE_EFFICIENCY = 0.9  # of what the charger gives, into the pack
CHARGE_TAPER = 1.25  # constant voltage at the end takes about a quarter more
CHARGE_OWN_SPREAD = 1.1  # age and cold beside a figure of the maker or a watch
CHARGE_POWER_SPREAD = 1.3
CHARGE_GUESS_MIN = 60.0  # with nothing but the size known: 40 Wh about 100 minutes, 95 about 155
CHARGE_GUESS_MIN_A_WH = 1.0
CHARGE_GUESS_SPREAD = 1.6

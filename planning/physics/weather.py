"""How heat and cold feel, and the words the warnings use for heat and ultraviolet."""

import math

from planning.physics.constants import (
    HEAT_INDEX_BANDS_F,
    HEAT_INDEX_COEFFICIENTS,
    HEAT_INDEX_FROM_F,
    UV_INDEX_BANDS,
    WIND_CHILL_COEFFICIENTS,
    WIND_CHILL_FROM_KM_H,
    WIND_CHILL_TO_C,
)
from planning.physics.ranges import require_between, require_not_negative


def heat_index_c(temperature_c: float, humidity_percent: float) -> float:
    """Return the heat index in degrees Celsius, in shade; below about 27 C the simple formula.

    Raises OutOfRange outside -40 to 60 C or 0 to 100 % of relative humidity.

    Source: Rothfusz, NWS Southern Region SR 90-23 (1990), with the two adjustments of the
    NWS Weather Prediction Center. The printed NWS chart leaves the humid one out.
    """
    require_between(-40, 60, temperature_c=temperature_c)
    require_between(0, 100, humidity_percent=humidity_percent)
    air_f, humidity = temperature_c * 9 / 5 + 32, humidity_percent
    simple_f = 0.5 * (air_f + 61 + (air_f - 68) * 1.2 + humidity * 0.094)
    mean_f = (simple_f + air_f) / 2
    if mean_f < HEAT_INDEX_FROM_F:
        return _celsius(mean_f)
    return _celsius(_rothfusz_f(air_f, humidity) + _adjustment_f(air_f, humidity))


def wind_chill_c(temperature_c: float, wind_km_h: float) -> float:
    """Return the wind chill in degrees Celsius for the forecast's wind, 10 m above ground.

    Above 10 C, or in wind of 4.8 km/h or less, the index is not defined and the air
    temperature comes back. Raises OutOfRange outside -90 to 60 C, or for negative wind.

    Source: NWS and Environment Canada, wind chill temperature index (2001).
    """
    require_between(-90, 60, temperature_c=temperature_c)
    require_not_negative(wind_km_h=wind_km_h)
    if temperature_c > WIND_CHILL_TO_C or wind_km_h <= WIND_CHILL_FROM_KM_H:
        return temperature_c
    constant, per_c, per_wind, per_both = WIND_CHILL_COEFFICIENTS
    wind = wind_km_h**0.16
    return constant + per_c * temperature_c + per_wind * wind + per_both * temperature_c * wind


def heat_band(heat_index_c: float) -> str:
    """Return the NWS word for a heat index; empty below the first band.

    "caution" from 80 F, "extreme caution" from 90, "danger" from 103, "extreme danger" from
    125, the newer of two published sets. Raises OutOfRange outside -100 to 150 C.
    """
    require_between(-100, 150, heat_index_c=heat_index_c)
    # 103 F typed in Celsius comes back as 102.999...: a millionth of a degree lets it count.
    return _band(HEAT_INDEX_BANDS_F, heat_index_c * 9 / 5 + 32 + 1e-6)


def uv_band(uv_index: float) -> str:
    """Return the word for a UV index, rounded half up to a whole number first.

    "low", "moderate" from 3, "high" from 6, "very high" from 8, "extreme" from 11. Raises
    OutOfRange for a negative index.

    Source: WHO, WMO, UNEP, ICNIRP, Global Solar UV Index (2002).
    """
    require_not_negative(uv_index=uv_index)
    return _band(UV_INDEX_BANDS, math.floor(uv_index + 0.5))


def _rothfusz_f(air_f: float, humidity: float) -> float:
    terms = (
        1.0,
        air_f,
        humidity,
        air_f * humidity,
        air_f**2,
        humidity**2,
        air_f**2 * humidity,
        air_f * humidity**2,
        air_f**2 * humidity**2,
    )
    return sum(a * b for a, b in zip(HEAT_INDEX_COEFFICIENTS, terms, strict=True))


def _adjustment_f(air_f: float, humidity: float) -> float:
    if humidity < 13 and 80 <= air_f <= 112:
        return -(13 - humidity) / 4 * math.sqrt((17 - abs(air_f - 95)) / 17)
    if humidity > 85 and 80 <= air_f <= 87:
        return (humidity - 85) / 10 * (87 - air_f) / 5
    return 0.0


def _band(bands: tuple[tuple[float, str], ...], value: float) -> str:
    return next((word for lowest, word in reversed(bands) if value >= lowest), "")


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) * 5 / 9

"""The leaf of a season: one side, whatever the place, the paper, the clock and the language."""

from datetime import date
from io import BytesIO
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from planning.lesson.season import WantedSun, season
from planning.physics.sun import Place
from planning.sheets.options import PrintOptions
from planning.sheets.season import season_pdf

LISBON = (Place(38.72, -9.14), "Europe/Lisbon")
SVALBARD = (Place(78.22, 15.65), "Arctic/Longyearbyen")
TEETH = tuple((10.0 * step, 5 + 8 * abs(step * 7 % 11 - 5) / 5) for step in range(36))
LONG = "A place with a name that goes on and on along the whole of the long shore of a bay"
CROWDED = PrintOptions(paper="letter", clock="12", language="es", house=LONG)
YEAR = (date(2027, 1, 1), date(2027, 12, 31))


def leaf(place, span, wanted, horizon, options) -> bytes:
    where, zone = place
    days = season(where, ZoneInfo(zone), *span, wanted, horizon)
    return season_pdf(days, wanted, options, place=LONG, timezone=zone, has_horizon=bool(horizon))


@pytest.mark.parametrize("options", [PrintOptions(), CROWDED], ids=["A4", "crowded"])
@pytest.mark.parametrize(
    ("place", "span", "wanted", "horizon"),
    [
        (LISBON, YEAR, WantedSun(200, 250, 5, 25), ()),
        (SVALBARD, YEAR, WantedSun(300, 60, -2, 15), TEETH),
        (LISBON, (date(2027, 3, 10), date(2027, 4, 15)), WantedSun(0, 360, 5, 25), TEETH),
        (LISBON, (date(2027, 3, 10), date(2027, 3, 10)), WantedSun(0, 360, 5, 25), ()),
        (SVALBARD, (date(2027, 12, 1), date(2027, 12, 31)), WantedSun(), ()),
    ],
    ids=["a year", "many spans a date", "five weeks", "a day", "no light"],
)
def test_it_keeps_to_one_side(place, span, wanted, horizon, options):
    pages = PdfReader(BytesIO(leaf(place, span, wanted, horizon, options))).pages
    assert len(pages) == 1


def test_the_same_question_gives_the_same_bytes():
    asked = (LISBON, YEAR, WantedSun(200, 250, 5, 25), (), PrintOptions())
    assert leaf(*asked) == leaf(*asked)

"""What 2,000 measurements cost a plan, beside none: python -m tests.benchmarks.learning

Both are timed in one run, on a database in memory; the ratio is what counts. "First" is a plan in
a process that has learned nothing yet, "again" every later one.
"""

import os
import statistics
import time
from datetime import timedelta

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshops.settings")
django.setup()

from django.db import connection  # noqa: E402
from django.test.utils import (  # noqa: E402
    CaptureQueriesContext,
    setup_databases,
    setup_test_environment,
    teardown_databases,
)

from planning.learn import drawdown, estimate  # noqa: E402
from planning.plan import evaluate  # noqa: E402
from planning.selectors import own_daylight, set_inputs  # noqa: E402
from tests import factories as make  # noqa: E402

DAYS, READINGS, DRAWDOWNS, TURNS, SKIES = 200, 900, 300, 600, 200
TIMES = 9


def witnesses(light, unit) -> int:
    """Enter 2,000 measurements on as many sets as there are days; return how many."""
    place, count = light.planned_set.location, 0
    for day in range(DAYS):
        if day % 20 == 0:
            person = make.BookingFactory(workshop=make.WorkshopFactory())
        start = make.SET_START - timedelta(days=day + 1)
        planned = make.SetFactory(
            workshop=person.workshop, position=day % 20 + 1, location=place, start_at=start,
            end_at=start + timedelta(hours=1), camera=light.planned_set.camera,
        )  # fmt: skip
        make.LightFactory(
            planned_set=planned, name="octa", strobe=light.strobe, modifier=light.modifier,
            stand=light.stand,
        )  # fmt: skip

        def note(kind, minutes, planned=planned, start=start, **what):
            at = start + timedelta(minutes=minutes)
            make.EventFactory(planned_set=planned, kind=kind, at=at, **what)

        for number in range(day, READINGS, DAYS):
            make.FlashReadingFactory(
                planned_set=planned, at=start, tenths=number % 3, meter=None, power=0.25
            )
            count += 1
        for _number in range(day, DRAWDOWNS, DAYS):
            recipe = {"f_number": 16.0, "shutter_s": 1 / 128, "iso": 100.0, "power": 0.5}
            note("pack in", 0, unit=unit, charge_share=1.0, light_name="octa")
            note("recipe locked", 1, light_name="octa", **recipe)
            note("flashes", 50, count=100 + day % 7, light_name="octa")
            note("pack out", 51, unit=unit, charge_share=0.9, light_name="octa")
            count += 1
        for number in range(day, TURNS, DAYS):
            note("turn given", 10 + 5 * (number // DAYS), booking=person)
            count += 1
        for _number in range(day, SKIES, DAYS):
            note("sky seen", 0, sky="clear")
            make.ReadingFactory(planned_set=planned, at=start, plane="face")
            count += 1
    return count


def timed(light) -> tuple[float, float, int]:
    """Return seconds of a first plan, the median of later ones, and the questions asked."""
    estimate._learned.cache_clear()
    drawdown._learned.cache_clear()
    own_daylight._estimated.cache_clear()
    spans = []
    for _time in range(TIMES):
        begun = time.process_time()
        evaluate(set_inputs(light.planned_set_id))
        spans.append(time.process_time() - begun)
    with CaptureQueriesContext(connection) as asked:
        set_inputs(light.planned_set_id)
    return spans[0], statistics.median(spans[1:]), len(asked)


def main() -> None:
    setup_test_environment()
    kept = setup_databases(verbosity=0, interactive=False)
    try:
        light = make.LightFactory(name="octa", planned_set__position=1)
        unit = make.UnitFactory(kind=light.strobe.battery_kind)
        make.ReservationFactory(workshop=light.planned_set.workshop, unit=unit)
        type(light.planned_set).objects.update(turn_min=None, frames_per_attendee=None)
        evaluate(set_inputs(light.planned_set_id))  # whatever is imported late
        none = timed(light)
        count = witnesses(light, unit)
        many = timed(light)
    finally:
        teardown_databases(kept, verbosity=0)
    print(f"{'':14}{'first':>10}{'again':>10}{'queries':>9}")
    for name, (first, again, queries) in ((" none", none), (f"{count:5}", many)):
        print(f"{name:14}{first * 1000:8.0f} ms{again * 1000:7.0f} ms{queries:9}")
    print(f"ratio         {many[0] / none[0]:10.2f}{many[1] / none[1]:10.2f}")


if __name__ == "__main__":
    main()

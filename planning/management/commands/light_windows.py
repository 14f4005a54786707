"""``manage.py light_windows LOCATION``: on which dates the sun stands where it is wanted."""

import json
import os
from datetime import date, timedelta
from pathlib import Path

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils import timezone

from planning.lesson.season import MOST_DAYS, SeasonDay, WantedSun, best, enough
from planning.physics.constants import SUN_LAST_YEAR
from planning.physics.errors import OutOfRange
from planning.physics.ranges import require_between
from planning.physics.sun import check_year
from planning.season import horizon_words, none_words, spans_words, wanted_words
from planning.selectors.light import light_season, location_named
from planning.sheets.options import PAPERS, print_options
from workshops.models import Location
from workshops.models.base import in_zone
from workshops.selectors.house import house

REFUSED = 2  # the exit code of a question that has no answer
BEST = 10


class Command(BaseCommand):
    help = (
        "Print the dates and hours at which the sun stands where a set wants it, over the "
        "location's horizon: the best dates first, then every date that has some."
    )

    def run_from_argv(self, argv):
        super().run_from_argv(_joined(argv))

    def add_arguments(self, parser):
        parser.add_argument(
            "location", metavar="LOCATION", help="number, name, or a part of the name"
        )
        parser.add_argument(
            "--from", dest="first", metavar="DATE", help="first date, as 2027-05-08; else today"
        )
        parser.add_argument(
            "--to",
            dest="last",
            metavar="DATE",
            help="last date, included; else a year from the first",
        )
        parser.add_argument(
            "--arc",
            metavar="A:B",
            default="0:360",
            help="degrees true, clockwise: 200:250 is south-west; else all round",
        )
        parser.add_argument(
            "--elevation",
            metavar="LOW:HIGH",
            default="0:90",
            help="degrees over the level horizon, 5:25 or, for twilight, -6:0; else 0:90",
        )
        parser.add_argument(
            "--least", metavar="MINUTES", default="0", help="leave out dates with less"
        )
        parser.add_argument("--json", action="store_true", help="full precision, units in the keys")
        parser.add_argument("--pdf", metavar="FILE", help="write the chart there, one leaf")
        parser.add_argument("--paper", choices=sorted(PAPERS), help="if not the house's")

    def handle(self, *, location, **options):
        try:
            place = location_named(location)
            wanted = _wanted(options["arc"], options["elevation"])
            first, last = _dates(place, options["first"], options["last"])
            least_min = _number(options["least"], "--least", "minutes, such as 30")
            require_between(0, 1440, **{"--least": least_min})
            days = enough(light_season(place, wanted, first, last), least_min)
        except DatabaseError as reason:
            self._refuse(f"The database holds no records yet ({reason}): run the demo, or migrate.")
        except (OutOfRange, ValidationError) as refusal:
            self._refuse(refusal)
        lit = [day for day in days if day.windows]
        if options["pdf"]:
            self._write_pdf(options, days, wanted, place)
        if options["json"]:
            answer = _as_dict(place, wanted, days, lit)
            self.stdout.write(json.dumps(answer, indent=2, ensure_ascii=False, allow_nan=False))
        else:
            self._print(place, wanted, days, lit)

    def _print(self, place: Location, wanted: WantedSun, days, lit: list[SeasonDay]) -> None:
        say = print_options(house()).figures(place.timezone_name)
        span = f"{days[0].day.isoformat()} to {days[-1].day.isoformat()}"
        told = horizon_words(days, wanted, has_horizon=bool(place.horizon))
        self.stdout.write(f"{place.name} ({place.timezone_name}), {span}")
        self.stdout.write(f"{wanted_words(wanted, say)}. {told}".rstrip())
        self.stdout.write("Reckoned, not seen: cloud decides on the day.")
        self.stdout.write(none_words(days) or f"{len(lit)} of {len(days)} dates")
        for heading, rows in (("Best dates", best(lit, BEST)), ("All dates", lit)):
            if rows:
                self.stdout.write(f"\n{heading}")
            for day in rows:
                hidden = f", {say.whole_minutes(day.hidden_min)} min hidden" if day.hidden else ""
                minutes = f"{say.whole_minutes(day.light_min):>4} min"
                spans = spans_words(day.windows, say)
                self.stdout.write(f"  {day.day.isoformat()}  {minutes}  {spans}{hidden}")

    def _write_pdf(self, options, days, wanted: WantedSun, place: Location) -> None:
        from planning.sheets.season import season_pdf
        from planning.sheets.worker import SheetFailed

        path = Path(options["pdf"])
        part = path.with_name(f".{path.name}.part")
        try:
            content = season_pdf(
                days,
                wanted,
                print_options(house(), paper=options["paper"]),
                place=place.name,
                timezone=place.timezone_name,
                has_horizon=bool(place.horizon),
            )
            part.write_bytes(content)
            os.replace(part, path)
        except SheetFailed as reason:
            self._refuse(f"--pdf: {reason}")
        except OSError as reason:
            part.unlink(missing_ok=True)
            self._refuse(f"--pdf: {path} cannot be written ({reason.strerror}).")
        self.stderr.write(f"The chart is in {path}")

    def _refuse(self, reason):
        raise CommandError(str(reason), returncode=REFUSED)


def _joined(argv: list[str]) -> list[str]:
    """Return the words with "--elevation -6:0" as one: alone, -6:0 looks like an option."""
    words: list[str] = []
    for word in argv:
        follows = words and words[-1] in ("--arc", "--elevation", "--least")
        if follows and word[:1] == "-" and word[1:2].isdigit():
            words[-1] += f"={word}"
        else:
            words.append(word)
    return words


def _wanted(arc: str, elevation: str) -> WantedSun:
    arc_deg = _pair(arc, "--arc", "two directions such as 200:250", 0, 360)
    heights_deg = _pair(elevation, "--elevation", "two heights such as 5:25", -90, 90)
    if heights_deg[0] >= heights_deg[1]:
        raise OutOfRange(f"--elevation must be a lower and a higher height, not {elevation!r}")
    return WantedSun(*arc_deg, *heights_deg)


def _pair(
    text: str, option: str, wanted: str, low_deg: float, high_deg: float
) -> tuple[float, float]:
    first, colon, last = text.partition(":")
    if not colon:
        raise OutOfRange(f"{option} must be {wanted}, not {text!r}")
    pair = _number(first, option, wanted, text), _number(last, option, wanted, text)
    for value_deg in pair:
        require_between(low_deg, high_deg, **{option: value_deg})
    return pair


def _number(text: str, option: str, wanted: str, whole: str = "") -> float:
    try:
        return float(text)
    except ValueError:
        raise OutOfRange(f"{option} must be {wanted}, not {whole or text!r}") from None


def _dates(place: Location, first: str | None, last: str | None) -> tuple[date, date]:
    today = in_zone(timezone.now(), place.timezone_name).date()
    begins = _date(first, "--from") if first else today
    check_year("--from", begins.year)
    a_year_on = min(begins + timedelta(days=MOST_DAYS - 2), date(SUN_LAST_YEAR, 12, 31))
    ends = _date(last, "--to") if last else a_year_on
    check_year("--to", ends.year)
    if ends < begins:
        raise OutOfRange(f"--to {ends} lies before --from {begins}: turn them round")
    if (ends - begins).days >= MOST_DAYS:
        raise OutOfRange(f"--to {ends} lies more than a year after --from {begins}")
    return begins, ends


def _date(text: str, option: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise OutOfRange(f"{option} must be a date such as 2027-05-08, not {text!r}") from None


def _as_dict(place: Location, wanted: WantedSun, days, lit: list[SeasonDay]) -> dict:
    return {
        "location": {
            "id": place.pk,
            "name": place.name,
            "timezone": place.timezone_name,
            "latitude_deg": place.latitude_deg,
            "longitude_deg": place.longitude_deg,
            "horizon_deg": [[azimuth, height] for azimuth, height in place.horizon],
        },
        "from": days[0].day.isoformat(),
        "to": days[-1].day.isoformat(),
        "wanted": {
            "from_deg": wanted.from_deg,
            "to_deg": wanted.to_deg,
            "elevation_min_deg": wanted.low_deg,
            "elevation_max_deg": wanted.high_deg,
        },
        "source": "estimate",
        "edge_spread_s": 20,
        "dates_asked": len(days),
        "best": [day.day.isoformat() for day in best(lit, BEST)],
        "dates": [_day(day) for day in lit],
    }


def _day(day: SeasonDay) -> dict:
    return {
        "date": day.day.isoformat(),
        "light_min": day.light_min,
        "hidden_min": day.hidden_min,
        "windows": [
            {
                "start_at": window.start_at.isoformat(),
                "end_at": window.end_at.isoformat(),
                "light_min": window.length / timedelta(minutes=1),
            }
            for window in day.windows
        ],
    }

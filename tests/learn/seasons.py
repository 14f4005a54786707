"""Seasons with a truth that is known: what a house would have metered, and whether it was learned.

Everything is drawn from one generator with a fixed seed, so that every run is the same.
"""

import math
import random
from dataclasses import dataclass

from planning.learn.drawdown import Drawdown, learned_flashes
from planning.learn.estimate import learned
from planning.learn.flash import FlashMetered, learned_guide, teaches
from planning.learn.habits import FLASHES, FRAMES_EACH, GUIDE_NUMBER
from planning.learn.witness import Learned, Prior, Witness

METER_STOPS, MARK_STOPS, BLUNDER_SHARE = 0.1, 0.05, 0.04
POWERS = ("", "1.0", "2.0")


@dataclass(frozen=True)
class Season:
    """How a season of flash readings goes; truth and prior in stops."""

    readings: int
    noise: float
    day: float
    prior_off: float
    prior_within: float = 0.7
    meters: int = 1

    def truth_held(self, draw: random.Random) -> tuple[bool, float]:
        """Return whether the truth, 0, lies within the stated spread, and that spread."""
        figure = self._figure(draw)
        return abs(figure.middle) <= figure.within, figure.within

    def _figure(self, draw: random.Random) -> Learned:
        calibrations = [draw.gauss(0.0, METER_STOPS) for _meter in range(self.meters)]
        marks = {power: draw.gauss(0.0, MARK_STOPS) if power else 0.0 for power in POWERS}
        rows, left, day = [], 0, 0
        odd = meter = 0
        for number in range(self.readings):
            if not left:
                day, left = day + 1, draw.choice((1, 2, 3, 5))
                odd, meter = draw.gauss(0.0, self.day), draw.randrange(self.meters)
            left -= 1
            power = draw.choice(POWERS)
            value = calibrations[meter] + marks[power] + odd + draw.gauss(0.0, self.noise)
            if draw.random() < BLUNDER_SHARE:
                value += draw.choice((-1, 1)) * draw.uniform(1.0, 2.0)
            rows.append(Witness(f"r{number}", f"d{day:03}", value, str(meter), power))
        return learned(Prior(self.prior_off, self.prior_within), rows, GUIDE_NUMBER)


@dataclass(frozen=True)
class Daylit:
    """How a season of readings goes in which the day is ``ratio`` times as bright as the lamp.

    Several ratios are drawn from, one for each reading; at 0 it is dark and no daylight noted.
    """

    readings: int
    noise: float
    ratio: float | tuple[float, ...]
    day: float = 0.1
    prior_off: float = 1.0
    marks: bool = False  # daylight is noted on a third-stop mark
    change: float = 0.1  # of the daylight, from one reading to the next
    whole_marks: int = 0  # the reading with flash is noted on so many marks a stop; 0: as it is

    def truth_held(self, draw: random.Random) -> tuple[bool, float]:
        figure = self.figure(draw)
        return abs(figure.middle) <= figure.within, figure.within

    def figure(self, draw: random.Random) -> Learned:
        """Return what was learned of a lamp of 1 m, 0 in stops."""
        calibration = draw.gauss(0.0, METER_STOPS)
        rows, odd = [], 0.0
        for number in range(self.readings):
            if number % 2 == 0:
                odd = draw.gauss(0.0, self.day)
            power = draw.choice((1.0, 0.5, 0.25))
            alone = math.sqrt(power) * 2.0 ** (odd / 2.0)
            many = isinstance(self.ratio, tuple)
            ratio = draw.choice(self.ratio) if many else self.ratio
            daylight = alone * math.sqrt(ratio)
            changed = 2.0 ** (draw.gauss(0.0, self.change) / 2.0)
            read = [
                light * 2.0 ** ((calibration + draw.gauss(0.0, self.noise)) / 2.0)
                for light in (math.hypot(alone, daylight * changed), daylight)
            ]
            if self.whole_marks:
                read[0] = on_mark(read[0], self.whole_marks)
            if self.marks and ratio:
                read[1] = on_mark(read[1], 3)
            if read[1] < read[0]:
                day = f"d{number // 2:03}"
                alone_f = read[1] if ratio else None
                rows.append(
                    FlashMetered(
                        f"r{number}", day, read[0], 100.0, power, 1.0, daylight_f_number=alone_f
                    )
                )
        prior = Prior(self.prior_off, 0.7)
        return learned_guide(prior, [one for one in rows if teaches(one)], GUIDE_NUMBER)


@dataclass(frozen=True)
class Charges:
    """How a season of drawdowns goes; ``step`` is what the pack shows in, ``bend`` its gauge's."""

    drawdowns: int
    noise: float
    prior_off: float
    step: float = 0.01
    used: tuple[float, float] = (0.2, 0.9)
    from_full: bool = True
    bend: float | None = None  # standard deviation at half charge; None: the usual one

    def truth_held(self, draw: random.Random) -> tuple[bool, float]:
        truth = math.log2(200.0)
        prior = Prior(truth + self.prior_off, 0.5)
        usual = 0.25 * self.step / 2.0 if self.step > 0.1 else 0.01
        bend = draw.gauss(0.0, usual if self.bend is None else self.bend)
        rows = [self._drawdown(draw, truth, number, bend) for number in range(self.drawdowns)]
        figure = learned_flashes(prior, rows, FLASHES)
        return abs(figure.middle - truth) <= figure.within, figure.within

    def _drawdown(self, draw: random.Random, truth: float, number: int, bend: float) -> Drawdown:
        first = 1.0 if self.from_full else draw.uniform(0.6, 1.0)
        used = min(draw.uniform(*self.used), first - 0.02)
        flashes = max(1.0, round(used * 2.0 ** (truth + draw.gauss(0.0, self.noise))))
        if draw.random() < BLUNDER_SHARE:
            flashes = max(1.0, flashes * 2.0 ** (draw.choice((-1, 1)) * draw.uniform(1.0, 2.0)))
        bent = [share + bend * 4.0 * share * (1.0 - share) for share in (first, first - used)]
        shown = [round(share / self.step) * self.step for share in bent]
        within = self.step / 2.0 if self.step > 0.1 else 0.01
        return Drawdown(
            f"k{number}", f"d{number:03}", flashes, min(shown[0], 1.0), shown[1], within
        )


@dataclass(frozen=True)
class Groups:
    """How a season of frames goes: ``attendees`` on each of so many sets, each set a day."""

    sets: int
    attendees: int
    noise: float  # of one attendee, as in a log-normal distribution
    day: float = 0.25
    prior_off: float = 1.0

    def truth_held(self, draw: random.Random) -> tuple[bool, float]:
        figure, truth = self.figure(draw)
        return abs(figure.middle - truth) <= figure.within, figure.within

    def figure(self, draw: random.Random) -> tuple[Learned, float]:
        """Return what was learned, and what a plan wants: frames a head on a usual day, in log2.

        A plan takes the figure times the attendees, so the truth is their mean and not the
        middle one: of a log-normal it stands exp(s^2 / 2) above (Johnson, Kotz, Balakrishnan,
        Continuous Univariate Distributions, vol. 1, 2nd ed., 1994, section 14.3).
        """
        middle = math.log2(20.0) + draw.gauss(0.0, 0.3)
        truth = middle + self.noise**2 * math.log(2.0) / 2.0
        rows = []
        for number in range(self.sets):
            day = middle + draw.gauss(0.0, self.day)
            counts = [
                max(1, round(2.0 ** (day + draw.gauss(0.0, self.noise))))
                for _attendee in range(self.attendees)
            ]
            mean = math.log2(math.fsum(counts) / len(counts))
            ratio = len(counts) ** -0.5
            rows.append(Witness(f"s{number}", f"d{number:03}", mean, noise_ratio=ratio))
        return learned(Prior(math.log2(20.0) + self.prior_off, 1.0), rows, FRAMES_EACH), truth


def on_mark(f_number: float, marks: int) -> float:
    """Return the nearest of ``marks`` marks a stop."""
    return 2.0 ** (round(2.0 * marks * math.log2(f_number)) / 2.0 / marks)


def coverage(kind, cells: list[dict], times: int, seed: int = 20270508) -> tuple[float, float]:
    """Return how often the truth was held over all cells, and the mean stated spread."""
    draw = random.Random(seed)
    held = widths = 0.0
    for cell in cells:
        season = kind(**cell)
        for _time in range(times):
            inside, within = season.truth_held(draw)
            held += inside
            widths += within
    count = len(cells) * times
    return held / count, widths / count

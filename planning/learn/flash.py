"""A flash reading -> what it says of a guide number, with the daylight taken out of it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from planning.learn.estimate import Z_CENTRAL, learned
from planning.learn.witness import Habits, Learned, Prior, Witness, normal_share
from planning.physics.flash import dome_weight, guide_number_m
from planning.physics.ranges import require_not_negative, require_positive

# Readings with daylight are laid anew about the figure they made, until it stays where it is.
MOST_ROUNDS, SETTLED_STOPS = 6, 0.005
# Daylight 4.7 times the lamp: what is left is the error of two readings. To refuse more would be
# worse: readings that happened to come out high would stay, and every lamp seem stronger. In
# simulated seasons the truth is held up to twice the lamp; what stands between counts for little.
LEAST_ABOVE_DAYLIGHT_STOPS = 0.28
# Where a reading errs by a fifth of a stop, daylight changes by a tenth from one to the next
# (standard deviations; common practice, no source), and is noted on a third-stop mark (a width
# over root 12). So much noisier is the one without flash.
DAYLIGHT_NOISE_RATIO = math.hypot(0.2, 0.1, 1.0 / 3.0 / math.sqrt(12.0)) / 0.2
# How much higher the readings stand that teach depends on how the daylights of a house lie, which
# nobody knows: all by as much where all are as bright as this one, hardly at all where daylights
# of every brightness are as likely (each that falls away is made up by one from the other side).
# Most of it is taken off, and as much stays stated as an error that all share (``learned_guide``):
# no source, from simulated seasons with priors a stop off either way.
CHOSEN_SHARE = 0.75
BEST_DAYLIGHT_ROUNDS = 4
FARTHEST_CUT = 8.0  # standard deviations: beyond, the normal distribution underflows


@dataclass(frozen=True)
class FlashMetered:
    """One lamp as it was metered; f-numbers by the project's own meter constant."""

    key: str
    day: str
    f_number: float
    iso: float
    power: float
    distance_m: float
    source_diameter_m: float = 0.0
    source_offset_m: float = 0.0
    gel_loss_stops: float = 0.0
    meter: str = ""
    to_lens: bool = False  # dome toward the lens, the lamp ``angle_deg`` aside
    angle_deg: float = 0.0
    daylight_f_number: float | None = None  # alone, same shutter and ISO; None: dark enough


def above_daylight_stops(f_number: float, daylight_f_number: float) -> float:
    """Return how far the whole reading stands above its daylight.

    Raises OutOfRange for an f-number not above 0.
    """
    require_positive(f_number=f_number, daylight_f_number=daylight_f_number)
    return 2.0 * math.log2(f_number / daylight_f_number)


def daylight_over_flash(reading: FlashMetered) -> float | None:
    """Return how many times as bright as the lamp the daylight was; None where none is left."""
    if reading.daylight_f_number is None:
        return 0.0
    whole = 2.0 ** above_daylight_stops(reading.f_number, reading.daylight_f_number)
    return 1.0 / (whole - 1.0) if whole > 1.0 else None


def teaches(reading: FlashMetered) -> bool:
    """Return whether enough of the reading is flash to say anything of the lamp."""
    if reading.daylight_f_number is None:
        return True
    above = above_daylight_stops(reading.f_number, reading.daylight_f_number)
    return above > LEAST_ABOVE_DAYLIGHT_STOPS


def learned_guide(prior: Prior, readings: Iterable[FlashMetered], habits: Habits) -> Learned:
    """Return the guide number that a prior and flash readings make, in stops.

    A meter errs in the whole it reads, and what is left after the daylight errs unevenly: one
    that came out low would seem the noisier and count for less, so that the lamp seemed stronger
    than it is. Each is therefore laid about the figure itself, as in Gauss-Newton's method
    (Nocedal, Wright, Numerical Optimization, 2nd ed., 10.3).
    """
    found = tuple(readings)
    figure = learned(prior, [guide_witness(one) for one in found], habits)
    if all(one.daylight_f_number is None for one in found):
        return figure
    for _round in range(MOST_ROUNDS):
        before, noise = figure.middle, figure.noise
        laid = [about(one, before, noise) for one in found]
        figure = learned(prior, [one for one, _lowered in laid], habits)
        if abs(figure.middle - before) < SETTLED_STOPS:
            break
    # How much the readings were chosen for standing high does not average out.
    weights = dict(figure.weights)
    shared = math.fsum(weights[one.key] * lowered for one, lowered in laid)
    return replace(figure, within=math.hypot(figure.within, Z_CENTRAL * shared))


def about(reading: FlashMetered, middle: float, noise: float) -> tuple[Witness, float]:
    """Return what a reading says of a guide number that is ``middle`` or near, in stops.

    The whole it would read by that, against the whole it read; a stop of the lamp moves the whole
    by the flash's share of it. Both readings err, and the daylight changes, so it is put where it
    goes best with both (total least squares: Golub, Van Loan, Matrix Computations, 4th ed., 6.3).
    Readings that came out too near their daylight are not here (``teaches``), so the others stand
    too high on average: ``noise`` is what one errs by. The second is by how much the reading was
    lowered for that. Without daylight it is ``guide_witness``.
    """
    if reading.daylight_f_number is None:
        return guide_witness(reading), 0.0
    alone = guide_witness(replace(reading, daylight_f_number=None))
    flash = 2.0 ** (middle - alone.value)  # of the whole as read
    daylight = (reading.daylight_f_number / reading.f_number) ** 2
    changing = DAYLIGHT_NOISE_RATIO**2
    for _round in range(BEST_DAYLIGHT_ROUNDS):
        share = daylight / (daylight + flash)
        off = -math.log2(daylight + flash)
        moved = math.log2(daylight * (reading.f_number / reading.daylight_f_number) ** 2)
        best = (off + share * moved) * share * changing / (1.0 + changing * share**2)
        daylight *= 2.0 ** (best - moved)
    whole_left = -math.log2(daylight + flash) + share * moved
    chosen = CHOSEN_SHARE * chosen_above_stops(-math.log2(share), noise)
    chosen *= (1.0 + changing * share) / (1.0 + changing)
    value = middle + (whole_left - chosen) / (1.0 - share)
    return replace(alone, value=value, noise_ratio=beside(share)), chosen / (1.0 - share)


def beside(daylight_share: float) -> float:
    """Return how many times noisier flash is beside so much daylight than alone."""
    return math.hypot(1.0, DAYLIGHT_NOISE_RATIO * daylight_share) / (1.0 - daylight_share)


def chosen_above_stops(above: float, noise: float) -> float:
    """Return how much higher above daylight readings that teach stand than all would on average.

    ``above`` is where they would stand without error, ``noise`` that of one reading with flash.
    Source: the mean of a normal cut off below, Johnson, Kotz, Balakrishnan, Continuous Univariate
    Distributions, vol. 1, 2nd ed., 1994, section 10.1.
    """
    deviation = math.hypot(1.0, DAYLIGHT_NOISE_RATIO) * noise
    z = (LEAST_ABOVE_DAYLIGHT_STOPS - above) / deviation
    if z > FARTHEST_CUT:
        return deviation * z  # what is left stands just above the cut
    density = math.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
    return deviation * density / normal_share(-z)


def guide_witness(reading: FlashMetered) -> Witness:
    """Return the far-field guide number behind a reading, in stops (2 log2 of metres).

    Light adds: flash^2 = whole^2 - daylight^2 in f-numbers. A dome toward the lens reads
    (1 + cos a) / 2 of a lamp aside. What a gel takes is given back. The error of both readings
    grows by the share of the daylight in the whole: that of whole^2 and of daylight^2, which also
    changed a little, over what is left. Raises OutOfRange as ``guide_number_m`` does, or where the
    daylight leaves nothing.
    """
    share = 0.0
    if reading.daylight_f_number is not None:
        require_positive(f_number=reading.f_number)
        share = (reading.daylight_f_number / reading.f_number) ** 2
        require_not_negative(flash_share=1.0 - share)
    weight = dome_weight(reading.angle_deg) if reading.to_lens else 1.0
    number_m = guide_number_m(
        reading.f_number * math.sqrt((1.0 - share) / weight) if weight else 0.0,
        reading.distance_m,
        reading.iso,
        reading.power,
        reading.source_diameter_m,
        reading.source_offset_m,
    )
    return Witness(
        key=reading.key,
        day=reading.day,
        value=2.0 * math.log2(number_m) + reading.gel_loss_stops,
        meter=reading.meter,
        mark="" if reading.power >= 1.0 else f"{-math.log2(reading.power):.1f}",
        noise_ratio=beside(share),
    )

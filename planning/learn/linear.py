"""The normal linear model under an own figure: what readings say once their noise is known.

reading = truth + day + meter + mark + noise, all normal with known deviations. The shared errors
are integrated out in closed form: normal equations, the day's error by the Sherman-Morrison
formula, meters and marks by elimination.

Source: Gelman et al., Bayesian Data Analysis, 3rd ed., 2013, chapter 14 (a prior as a further
row of a linear model); Golub, Van Loan, Matrix Computations, 4th ed., 2013, section 2.1.4.
"""

import itertools
import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from planning.learn.witness import Habits, Witness


@dataclass(frozen=True)
class Cell:
    """Readings of one day, meter and mark: all the model needs to know of them."""

    columns: tuple[int, ...]  # the truth's, the meter's, the mark's
    count: int
    weight: float  # of the mean, in readings
    mean: float
    scatter: float  # weighted squares around the mean


@dataclass(frozen=True)
class Readings:
    """Readings laid out for the model, with those that are taken for blunders apart."""

    days: tuple[tuple[Cell, ...], ...]
    wrong: tuple[float, ...]  # their values
    shared: tuple[float, ...]  # precision of each shared error, one for every meter and mark
    blunder: float  # standard deviation of a blunder


@dataclass(frozen=True)
class Given:
    """What the readings alone say of the truth, as a normal."""

    precision: float
    mean: float
    log_like: float  # at the mean


def laid_out(right: Iterable[Witness], wrong: Iterable[Witness], habits: Habits) -> Readings:
    """Return readings in cells; ``right`` comes sorted by day, meter and mark."""
    columns: dict[tuple[str, str], int] = {("truth", ""): 0}
    days = defaultdict(list)
    for (day, meter, mark), group in itertools.groupby(
        right, key=lambda one: (one.day, one.meter, one.mark)
    ):
        names = [("meter", meter)] if habits.meter else []
        names += [("mark", mark)] if habits.mark and mark else []
        own = tuple(columns.setdefault(name, len(columns)) for name in names)
        rows = [(one.value, one.noise_ratio**-2) for one in group]
        weight = math.fsum(part for _value, part in rows)
        mean = math.fsum(value * part for value, part in rows) / weight
        scatter = math.fsum(part * (value - mean) ** 2 for value, part in rows)
        days[day].append(Cell((0, *own), len(rows), weight, mean, scatter))
    errors = {"meter": habits.meter, "mark": habits.mark}
    return Readings(
        days=tuple(tuple(cells) for cells in days.values()),
        wrong=tuple(one.value for one in wrong),
        shared=tuple(errors[kind] ** -2 for kind, _name in list(columns)[1:]),
        blunder=habits.blunder,
    )


def given(readings: Readings, noise: float, day: float) -> Given:
    """Return what the readings say if these are the deviations of noise and day's error."""
    equations = _Equations(readings)
    for cells in readings.days:
        equations.add_day(cells, noise, day**2)
    return equations.solved()


class _Equations:
    """Normal equations: the truth's column first, then the shared errors'."""

    def __init__(self, readings: Readings):
        self.size = len(readings.shared) + 1
        self.matrix = [[0.0] * self.size for _row in range(self.size)]
        self.right = [0.0] * self.size
        self.square = 0.0
        self.log_like = 0.5 * math.fsum(map(math.log, readings.shared))
        for column, precision in enumerate(readings.shared, 1):
            self.matrix[column][column] = precision
        for value in readings.wrong:  # it still says roughly where the truth lies
            self.matrix[0][0] += readings.blunder**-2
            self.right[0] += value / readings.blunder**2
            self.square += (value / readings.blunder) ** 2
            self.log_like -= math.log(readings.blunder)

    def add_day(self, cells: tuple[Cell, ...], noise: float, day_2: float) -> None:
        """Take in the cells of one day, what they share as a day integrated out."""
        matrix, right = self.matrix, self.right
        sums, sum_right, sum_weight = [0.0] * self.size, 0.0, 0.0
        for cell in cells:
            weight = cell.weight / noise**2
            self.log_like -= cell.count * math.log(noise)
            self.square += cell.scatter / noise**2 + weight * cell.mean**2
            sum_weight += weight
            sum_right += weight * cell.mean
            for row in cell.columns:
                right[row] += weight * cell.mean
                sums[row] += weight
                for column in cell.columns:
                    matrix[row][column] += weight
        inflated = 1.0 + day_2 * sum_weight
        self.log_like -= 0.5 * math.log(inflated)
        off = day_2 / inflated
        self.square -= off * sum_right**2
        touched = [row for row in range(self.size) if sums[row]]
        for row in touched:
            right[row] -= off * sums[row] * sum_right
            for column in touched:
                matrix[row][column] -= off * sums[row] * sums[column]

    def solved(self) -> Given:
        """Eliminate from the last column to the truth's."""
        matrix, right = self.matrix, self.right
        for last in range(self.size - 1, 0, -1):
            pivot = matrix[last][last]
            self.log_like -= 0.5 * math.log(pivot)
            self.square -= right[last] ** 2 / pivot
            for row in range(last):
                part = matrix[row][last] / pivot
                right[row] -= part * right[last]
                for column in range(last):
                    matrix[row][column] -= part * matrix[last][column]
        precision = matrix[0][0]
        mean = right[0] / precision
        left_over = max(self.square - mean * right[0], 0.0)
        return Given(precision, mean, self.log_like - 0.5 * left_over)

"""Which teaching points there are, and on which sets they are taught."""

from dataclasses import dataclass

from django.db.models import Q

from planning.lesson.figure_names import filled
from planning.lesson.points import PARTS
from planning.models import PlannedSet, TeachingPoint
from planning.plan.inputs import PointInputs


@dataclass(frozen=True)
class PointLine:
    """One line of the list of points."""

    point: TeachingPoint
    objective: str
    sets: int
    own_parts: tuple[str, ...]  # of a library's point: what the house says in its own words


def point_lines() -> list[PointLine]:
    """Return every point in its order, with how many sets teach it."""
    counts: dict[int, int] = {}
    for pair in PlannedSet.objects.values_list("main_point", "second_point"):
        for pk in pair:
            if pk is not None:
                counts[pk] = counts.get(pk, 0) + 1
    return [
        PointLine(point, _objective(point), counts.get(point.pk, 0), _own_parts(point))
        for point in TeachingPoint.objects.all()
    ]


def _objective(point: TeachingPoint) -> str:
    """Return what a point is for where no set gives it figures."""
    text = point.part("objective")
    return filled(text, {}) or text


def _own_parts(point: TeachingPoint) -> tuple[str, ...]:
    if not point.code:
        return ()
    names = [name for name in ("name", *PARTS) if getattr(point, name)]
    return tuple(str(point._meta.get_field(name).verbose_name) for name in names)


def sets_that_teach(point: TeachingPoint):
    """Return the sets that teach a point, as their main one or in passing."""
    rows = PlannedSet.objects.select_related("workshop").order_by("-start_at", "pk")
    return rows.filter(Q(main_point=point) | Q(second_point=point))


def inputs_of_point(point: TeachingPoint) -> PointInputs:
    """Return a point as a plan's inputs carry it, saved or not."""
    words = {name: getattr(point, name) for name in ("name", *PARTS)}
    return PointInputs(code=point.code or "", **words)

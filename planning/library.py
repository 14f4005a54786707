"""Keeps a row for every teaching point of the library, so that sets can point at it."""

from django.apps import apps as as_now

from planning.lesson.points import POINTS


def lay(*, using: str, apps=as_now, **kwargs) -> None:
    """Add the rows that are missing; called after every migrate and flush (which names no apps).

    A row says nothing of its own until the house edits it, so no change is written down.
    """
    try:
        model = apps.get_model("planning", "TeachingPoint")
    except LookupError:  # migrated back to before there were any
        return
    rows = model.objects.using(using)
    known = set(rows.values_list("code", flat=True))
    rows.bulk_create(
        [
            model(code=point.code, position=10 * order)
            for order, point in enumerate(POINTS, start=1)
            if point.code not in known
        ],
        ignore_conflicts=True,
    )

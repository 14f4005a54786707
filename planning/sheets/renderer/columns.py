"""Two columns: balanced from the least height that can hold them, not from half of all they hold.

WeasyPrint begins at half the height of everything in one column and lays out both anew for each
little step up from there, a lesson some twenty-five times. What may not be broken tells beforehand
that no height below a certain one will do; begun there, the first or second layout fits.
"""

from collections import deque
from collections.abc import Iterator
from itertools import pairwise
from math import inf

from weasyprint.formatting_structure.boxes import LineBox, ReplacedBox
from weasyprint.layout import block

_block_box_layout = block.block_box_layout
_made: deque = deque(maxlen=2)  # the columns laid out last


def block_box_layout(context, box, bottom_space, *arguments, **more):
    """Lay out a block as WeasyPrint's does, and keep what became of it if it is a column."""
    made = _block_box_layout(context, box, bottom_space, *arguments, **more)
    if box.is_column and bottom_space != inf:  # to infinity it only looks what would come next
        _made.append(made[0])
    return made


def sum_to_balance(heights: list[float]) -> float:
    """Return, for the ``sum`` of WeasyPrint, twice the height from which two columns are tried."""
    columns = list(_made)[-len(heights) :]
    if not 1 <= len(columns) == len(heights) or None in columns:
        return sum(heights)
    parts: list[tuple[float, float, bool]] = []
    for number, column in enumerate(columns, start=1):
        below = parts[-1][1] if parts else 0.0
        top = column.content_box_y()
        parts += [
            (a - top + below, b - top + below, may)
            for a, b, may in _parts(column, number == len(columns))
        ]
    return max(sum(heights), 2 * _least_height(parts))


def _least_height(parts: list[tuple[float, float, bool]]) -> float:
    """Return a height below which these parts, one under the other, fill more than two columns."""
    if not parts:
        return 0.0
    end = parts[-1][1]
    broken = [
        max(bottom, end - next_top)
        for (_top, bottom, may_break), (next_top, _bottom, _may) in pairwise(parts)
        if may_break
    ]
    return min([end, *broken])


def _parts(box, whole_box: bool) -> Iterator[tuple[float, float, bool]]:
    """Yield top and bottom of each part that stays whole, and whether a column may end below it."""
    for child in box.children:
        if not child.is_in_normal_flow():
            continue
        if isinstance(child, LineBox):
            yield child.position_y, child.position_y + child.height, True
            continue
        whole = child.style["break_inside"].startswith("avoid")
        complete = whole_box or child is not box.children[-1]
        parts = [] if whole or isinstance(child, ReplacedBox) else list(_parts(child, complete))
        if not parts:
            top = child.border_box_y()
            parts = [(top, top + child.border_height(), True)]
        yield from parts[:-1]
        top, bottom, may_break = parts[-1]
        if complete:
            bottom = child.border_box_y() + child.border_height()  # with what pads it below
        yield top, bottom, may_break and not child.style["break_after"].startswith("avoid")

"""SetInputs, SetPlan and a house's options -> what the set sheet's template shows.

Nothing is computed or rounded here: figures go through ``figures``, texts are cut to what
the paper holds, and lists are shared between the front and the continued page.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import UTC, datetime

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import override

from planning.drawings.ladder import HEAD_MM, MOST_ROWS, ladder
from planning.drawings.plan_view import empty_view, plan_view
from planning.figures import Figures
from planning.lesson_text import lesson, objective
from planning.plan.inputs import SetInputs
from planning.plan.result import Caution, SetPlan
from planning.sheets import back, front, late
from planning.sheets.front import Room
from planning.sheets.letters import missing_signs
from planning.sheets.options import CLIP_MM, FOOT_MM, SIDE_MM, PrintOptions
from planning.templatetags import figures
from planning.templatetags.figures import cut

LADDER_COLUMN_MM = 74.0
COLUMN_GAP_MM = 3.0
LADDER_WORDS_MM = 24.0  # heading, head row and last line of the ladder's column
LADDER_LINE_MM = 5.0
ROOMS = (  # tried in this order until the front fits its side
    Room(94.0, turns=16),
    Room(84.0, turns=16),
    Room(78.0, tight=True, pencil_mm=11.0),
    Room(68.0, tight=True, pencil_mm=10.0),
    Room(66.0, tight=True, dense=True, pencil_mm=9.5),
    Room(66.0, tight=True, dense=True, pencil_mm=9.5, turns=4, bodies=2),
    Room(60.0, tight=True, dense=True, pencil_mm=9.5, lights=2, turns=0, bodies=1, stops=3),
)
OVER_RUN = "over-run"  # the caution that stands whole under the turns
OWN_LINES = "bodies"  # the caution that sends its reader to the back: here it stands already
MOST_PLAN_VIEW_MM = 138.0
MOST_PENCIL_MM = 26.0


@dataclass(frozen=True)
class BackRoom:
    """How large the lesson and the rest of the back are set, and what of it gives way."""

    lesson_points: float
    points: float
    share: float  # of the roomiest back's height, the middle one of the examples with a lesson
    short: bool = False  # without the tables of sun, heads and tones, common faults, sources
    dense: bool = False  # short, and its lines closer
    lean: bool = False  # dense, and without the exercise for home, the numbers and every source
    bare: bool = False  # lean, without what to vary and what front or stands have said already
    flows: bool = False  # on to a continued page, and what the front had no room for after it


ROOMY_BACK = BackRoom(10.0, 9.0, 1.0)
SMALLER_BACKS = (
    BackRoom(9.8, 8.6, 0.93),
    BackRoom(9.5, 8.2, 0.88),
    BackRoom(9.3, 8.0, 0.85),
    BackRoom(9.5, 8.4, 0.77, short=True),
    BackRoom(9.2, 8.0, 0.73, short=True),
    BackRoom(9.2, 8.0, 0.64, short=True, dense=True),
    BackRoom(9.0, 8.0, 0.59, short=True, dense=True, lean=True),
    BackRoom(9.0, 8.0, 0.54, short=True, dense=True, lean=True, bare=True),
)
OVERFLOWING_BACK = BackRoom(9.8, 8.6, 0.93, flows=True)
# Lines break where they like: what is predicted to miss by less is tried, the last room in any
# case that is not hopeless.
MISSED_MM, LAST_MISSED_MM = 2.0, 20.0


def smaller_backs(
    used_mm: float, height_mm: float, after: BackRoom = ROOMY_BACK
) -> Iterator[BackRoom]:
    """Yield the rooms after the one that took ``used_mm``, in which the back may fit."""
    rooms = (ROOMY_BACK, *SMALLER_BACKS)
    for back_room in rooms[rooms.index(after) + 1 :]:
        missed_mm = used_mm * back_room.share / after.share - height_mm
        if missed_mm <= (LAST_MISSED_MM if back_room is rooms[-1] else MISSED_MM):
            yield back_room


def roomier(room: Room, free_mm: float) -> Room:
    """Return the room with what is left of the side given to the plan view, then the pencil."""
    grown_mm = max(0.0, min(MOST_PLAN_VIEW_MM - room.plan_view_mm, free_mm))
    pencil_mm = min(MOST_PENCIL_MM, room.pencil_mm + free_mm - grown_mm)
    return replace(room, plan_view_mm=room.plan_view_mm + grown_mm, pencil_mm=pencil_mm)


def style(options: PrintOptions, *, is_back: bool) -> dict:
    """Return the context of the style sheet; nothing of a single set is in it."""
    return {
        "options": options,
        "is_back": is_back,
        "clip_mm": CLIP_MM,
        "side_mm": SIDE_MM,
        "foot_mm": FOOT_MM,
        "ladder_mm": LADDER_COLUMN_MM,
    }


def front_page(
    plan: SetPlan, inputs: SetInputs, options: PrintOptions, room: Room, *, drawn: bool = True
) -> dict:
    """Return the context of the front with ``room`` for so much.

    Call it, as the back's, with the house's language active: words are made here. Where only
    the height counts, an empty frame stands for the plan view when it is not ``drawn``.
    """
    say = options.figures(inputs.location.timezone)
    size = {
        "width_mm": options.text_width_mm - LADDER_COLUMN_MM - COLUMN_GAP_MM,
        "height_mm": room.plan_view_mm,
    }
    view = plan_view(plan, inputs, say, **size) if drawn else empty_view(**size)
    shown = _shared_lists(plan, inputs, room, say)
    return {
        **_common(plan, inputs, options, say),
        **{name: rows for name, (rows, _more) in shown.items()},
        **{f"more_{name}": more for name, (_rows, more) in shown.items()},
        "room": room,
        "base_spread": _base_spread(plan, say),
        "over_run": next((one.text for one in plan.cautions if one.code == OVER_RUN), ""),
        "own_distance": len({row.distance_m for row in plan.exposure.correction}) > 1,
        # Both drawings escape every text they are given.
        "plan_view": mark_safe(view.svg),
        "plan_view_rest": ["; ".join(label.lines) for label in view.left_over],
        "ladder": mark_safe(_ladder(plan, say, room)),
    }


def back_page(
    plan: SetPlan, inputs: SetInputs, options: PrintOptions, room: Room, back_room: BackRoom
) -> dict:
    """Return the context of the back, and of what the front had no room for."""
    say = options.figures(inputs.location.timezone)
    shown = _shared_lists(plan, inputs, room, say)
    row = plan.ambient[0]
    points = lesson(plan, inputs, say)
    return {
        **_common(plan, inputs, options, say),
        **{f"more_{name}": more for name, (_rows, more) in shown.items()},
        "back_room": back_room,
        "points": points,
        "aim": objective(plan, inputs, say),
        "base_told": back.base_told(plan, say) if points else "",
        "numbers": back.number_lines(plan, inputs, say, taught=bool(points)),
        "key_head": back.key_head(inputs),
        "ways": [(back.option_name(way.name), way) for way in plan.exposure.options],
        "remedies": [figures.remedy(remedy, say) for remedy in plan.exposure.remedies],
        "tones": back.tone_table(plan, say),
        "cautions": list(_cautions(plan, bare=back_room.bare)),
        "sun": [] if back_room.short else back.sun_rows(plan, say),
        "bodies": front.own_lines(plan),
        "heads": list(zip(plan.battery, plan.lights, strict=True)),
        "late": late.strip(plan, say),
        "stands": late.stand_lines(plan),
        "base_spread": _base_spread(plan, say),
        "face_source": row.subject_source,
        "face_spread": back.spread_words(row.subject_low_stops, row.subject_high_stops, say),
        "missing_signs": missing_signs(_texts(inputs)),
    }


def _cautions(plan: SetPlan, *, bare: bool) -> Iterator[Caution]:
    """The back's cautions; a ``bare`` one leaves what front and stands' table tell whole."""
    stands = [light.stand for light in plan.lights if light.stand is not None]
    told = {OWN_LINES}
    if bare:
        told.add(OVER_RUN)
        if all(stand.gust_m_s is not None for stand in stands):
            told.update(("wind-hold", "wind-modifier-off", "wind-strike"))
    yield from (one for one in back.sorted_cautions(plan) if one.code not in told)


def _texts(part: object) -> Iterator[str]:
    """Every text of the inputs, whatever record it came from."""
    if isinstance(part, str):
        yield part
    elif isinstance(part, tuple):
        for one in part:
            yield from _texts(one)
    elif is_dataclass(part):
        for field in fields(part):
            yield from _texts(getattr(part, field.name))


def _common(plan: SetPlan, inputs: SetInputs, options: PrintOptions, say: Figures) -> dict:
    number = inputs.set_index + 1  # the place of the set in its day
    return {
        "plan": plan,
        "inputs": inputs,
        "options": options,
        "say": say,
        "number": number,
        "title": " ".join([_("Set"), str(number), cut(plan.set.title, 60)]),
        "changed_iso": _iso(inputs.inputs_changed_at),
    }


def _shared_lists(plan: SetPlan, inputs: SetInputs, room: Room, say: Figures) -> dict:
    """Return each list of the front in two parts: what it has room for, and the rest."""
    lists = {
        "stops": (front.stop_line(plan, inputs, say), room.stops),
        "bodies": (front.own_lines(plan), room.bodies),
        "blocks": (front.light_blocks(plan, inputs, say), room.lights),
        "turns": (front.turn_lines(plan), room.turns),
    }
    return {name: (rows[:count], rows[count:]) for name, (rows, count) in lists.items()}


def _base_spread(plan: SetPlan, say: Figures) -> str:
    if not plan.ambient:
        return ""
    row = plan.ambient[0]
    return back.spread_words(row.low_stops, row.high_stops, say)


def _ladder(plan: SetPlan, say: Figures, room: Room) -> str:
    steps = max(1, len(plan.exposure.ladder))
    free_mm = room.plan_view_mm - LADDER_WORDS_MM - steps * LADDER_LINE_MM - HEAD_MM
    return ladder(
        front.patch_tones(plan),
        say,
        front.shutter_marks(plan),
        width_mm=LADDER_COLUMN_MM,
        row_mm=max(7.2, min(14.0, free_mm / min(steps, MOST_ROWS))),
    )


def _iso(at: datetime | None) -> str:
    return f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}" if at else ""


def in_language(options: PrintOptions):
    """Return a context in which words and decimal marks are the house's."""
    return override(options.language)

"""SetInputs, SetPlan and a house's options -> what the set sheet's template shows.

Nothing is computed or rounded here: figures go through ``figures``, texts are cut to what
the paper holds, and lists are shared between the front and the continued page.
"""

from datetime import UTC, datetime

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import override

from planning.drawings.ladder import ladder
from planning.drawings.plan_view import plan_view
from planning.plan.inputs import SetInputs
from planning.plan.result import SetPlan
from planning.sheets import back, front
from planning.sheets.front import Room
from planning.sheets.options import PrintOptions
from planning.templatetags.figures import Figures, cut

LADDER_COLUMN_MM = 74.0
COLUMN_GAP_MM = 3.0
LADDER_ROW_MM = 8.0
ROOMS = (  # tried in this order until the front fits its side
    Room(96.0),
    Room(84.0),
    Room(76.0, tight=True),
    Room(66.0, tight=True),
    Room(66.0, tight=True, turns=4, bodies=2, stops=4),
    Room(60.0, tight=True, lights=2, turns=0, bodies=1, stops=3),
)


def set_sheet(plan: SetPlan, inputs: SetInputs, options: PrintOptions, room: Room) -> dict:
    """Return the context of one set sheet whose front has ``room`` for so much.

    Call it with the house's language active: figures and words are made here.
    """
    say = options.figures(inputs.location.timezone)
    return {
        "plan": plan,
        "inputs": inputs,
        "options": options,
        "say": say,
        "room": room,
        "title": f"{_('Set')} {set_number(inputs)} {cut(plan.set.title, 60)}",
        "number": set_number(inputs),
        "changed_iso": _iso(inputs.inputs_changed_at),
        **_front(plan, inputs, options, room, say),
        **_back(plan, inputs, say),
    }


def _iso(at: datetime | None) -> str:
    return f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}" if at else ""


def set_number(inputs: SetInputs) -> int:
    """Return the place of the set in its day, counted from 1."""
    return inputs.set_index + 1


def _front(
    plan: SetPlan, inputs: SetInputs, options: PrintOptions, room: Room, say: Figures
) -> dict:
    blocks = front.light_blocks(plan, inputs)
    bodies = front.own_lines(plan)
    stops = front.stop_line(plan, inputs, say)
    view = plan_view(
        plan,
        inputs,
        say,
        width_mm=options.text_width_mm - LADDER_COLUMN_MM - COLUMN_GAP_MM,
        height_mm=room.plan_view_mm,
    )
    patches = ladder(
        front.patch_tones(plan),
        say,
        front.shutter_marks(plan),
        width_mm=LADDER_COLUMN_MM,
        row_mm=7.2 if room.tight else LADDER_ROW_MM,
    )
    return {
        "stops": stops[: room.stops],
        "more_stops": stops[room.stops :],
        "bodies": bodies[: room.bodies],
        "more_bodies": bodies[room.bodies :],
        "blocks": blocks[: room.lights],
        "more_blocks": blocks[room.lights :],
        "turns": plan.turns[: room.turns],
        "more_turns": plan.turns[room.turns :],
        "live_triggers": sum(turn.live_trigger for turn in plan.turns),
        "own_distance": len({row.distance_m for row in plan.exposure.correction}) > 1,
        # Both drawings escape every text they are given.
        "plan_view": mark_safe(view.svg),
        "plan_view_rest": ["; ".join(label.lines) for label in view.left_over],
        "ladder": mark_safe(patches),
    }


def _back(plan: SetPlan, inputs: SetInputs, say: Figures) -> dict:
    row = plan.ambient[0] if plan.ambient else None
    return {
        "lesson": back.lesson_lines(plan, inputs, say),
        "remedies": [back.remedy_words(remedy, say) for remedy in plan.exposure.remedies],
        "tones": back.tone_rows(plan, say),
        "cautions": back.sorted_cautions(plan),
        "sun": back.sun_rows(plan, inputs, say),
        "heads": list(zip(plan.battery, plan.lights, strict=True)),
        "base_spread": back.spread_words(row.low_stops, row.high_stops, say) if row else "",
        "face_spread": back.spread_words(row.subject_low_stops, row.subject_high_stops, say)
        if row
        else "",
        "states": row.states if row else (),
        "stands": [light for light in plan.lights if light.stand is not None],
        "face_source": row.subject_source if row else "",
    }


def in_language(options: PrintOptions):
    """Return a context in which words and decimal marks are the house's."""
    return override(options.language)

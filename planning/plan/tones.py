"""Where sky, backdrop, skin and cloth stand in the picture, down the ladder."""

from planning.physics.tone import tone_state
from planning.plan.exposure import Settled
from planning.plan.inputs import SetInputs
from planning.plan.ladder import Mix, backdrop_tones, surfaces
from planning.plan.result import LadderStep, Tone


def tones(
    inputs: SetInputs, settled: Settled, light: Mix, rows: tuple[LadderStep, ...]
) -> tuple[Tone, ...]:
    """Return every surface at every ladder step, in stops from mid-grey, named in words."""
    return tuple(
        Tone(surface, row.shutter_s, stops, tone_state(stops))
        for step, row in enumerate(rows)
        for surface, stops in [
            *backdrop_tones(inputs, settled, light, step),
            *surfaces(inputs, light, step),
        ]
    )

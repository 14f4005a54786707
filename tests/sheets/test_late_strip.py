"""The strip for a late start: lamps by their own names, the rule of the side for the key alone."""

from dataclasses import replace

import pytest

from planning.figures import Figures
from planning.plan import evaluate
from planning.sheets.late import strip
from tests.planning.day import OCTA, SET

SAY = Figures(timezone="Europe/London")


def lines(role: str) -> str:
    weak = replace(OCTA, name="umbrella", role=role, guide_number_m=9.0, target_stops=0.0)
    inputs = replace(
        SET, job=role, stops_under=0.0 if role == "fill" else 1.0, readings=(), lights=(weak,)
    )
    plan = evaluate(inputs)
    across = replace(plan.late[0], key_sun_side="opposite", key_sun_side_planned="same")
    return " ".join(strip(replace(plan, late=(across, *plan.late[1:])), SAY).lines)


@pytest.mark.parametrize("role", ["key", "rim"])
def test_a_lamp_that_is_too_weak_then_is_called_by_its_name(role):
    assert "umbrella: too weak" in lines(role)
    assert "the key: " not in lines(role)


def test_two_shadows_are_the_keys_alone():
    # Light-method.md: the rule of the sun's side is for the lamp that stands in for the sun.
    assert "the key stands across from the sun then" in lines("key")
    assert "stands across" not in lines("rim")
    assert "stands across" not in lines("fill")

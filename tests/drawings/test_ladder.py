"""The ladder says in words what its greys show."""

from xml.etree import ElementTree

import pytest

from planning.drawings.ladder import MOST_ROWS, grey, ladder
from planning.figures import Figures
from planning.plan.result import Tone

SAY = Figures()
MARKS = {2**-7: "1/125", 2**-6: "1/60"}


def texts(svg: str) -> list[str]:
    root = ElementTree.fromstring(svg)
    return [node.text for node in root.iter() if node.tag.endswith("text")]


def test_each_patch_carries_its_stops_and_what_is_lost_its_word():
    tones = [
        Tone("skin lit", 2**-7, 0.7, "holds"),
        Tone("white cloth lit", 2**-7, 3.4, "blown"),
        Tone("skin lit", 2**-6, 1.3, "holds"),
        Tone("white cloth lit", 2**-6, -4.8, "blocked"),
    ]
    words = texts(ladder(tones, SAY, MARKS, width_mm=74))
    assert {"+0.7", "+3.4", "+1.3", "\N{MINUS SIGN}4.8", "1/125", "1/60"} <= set(words)
    assert words.count("blown") == 1
    assert words.count("blocked") == 1
    assert "holds" not in words


def test_a_long_ladder_keeps_its_ends():
    tones = [Tone("sky", 2.0 ** (step - 9), float(step), "holds") for step in range(12)]
    marks = {tone.shutter_s: f"step {n}" for n, tone in enumerate(tones)}
    shown = [word for word in texts(ladder(tones, SAY, marks, width_mm=74)) if "step" in word]
    assert len(shown) == MOST_ROWS
    assert shown[0] == "step 0"
    assert shown[-1] == "step 11"


def test_no_tones_is_no_drawing():
    assert ladder([], SAY, {}, width_mm=74) == ""


def test_mid_grey_is_the_srgb_code_of_18_percent():
    # IEC 61966-2-1: 0.18 linear is coded 0.4614, that is 118 of 255.
    assert grey(0.0) == "#767676"


@pytest.mark.parametrize(("stops", "ink"), [(3.0, "#ffffff"), (9.0, "#ffffff"), (-4.5, "#000000")])
def test_lost_ends_are_paper_and_ink(stops, ink):
    assert grey(stops) == ink


def test_brighter_is_never_darker():
    levels = [int(grey(tenth / 10)[1:3], 16) for tenth in range(-60, 60)]
    assert levels == sorted(levels)


def test_a_long_surface_name_is_cut_to_its_column():
    tones = [Tone("x" * 400, 2**-7, 0.0, "holds"), Tone("<b>&", 2**-7, 0.0, "holds")]
    svg = ladder(tones, SAY, MARKS, width_mm=74)
    assert "x" * 60 not in svg
    assert "<b>" not in svg

"""The library of teaching points: what a set can teach, in words and with places for figures."""

from dataclasses import dataclass

PARTS = ("objective", "demo", "task", "vary", "faults", "critique", "exercise")


@dataclass(frozen=True)
class Point:
    """One teaching point; every text is marked for translation, ``{names}`` stand for figures."""

    code: str
    name: str
    objective: str = ""
    demo: str = ""  # one step a line
    task: str = ""
    vary: str = ""
    faults: str = ""  # one a line, "fault: cure"
    critique: str = ""
    exercise: str = ""


def _(message: str) -> str:
    """Mark a sentence for the translators; whoever shows it translates it."""
    return message


POINTS = (
    Point("one-under", _("Base reading and one under")),
    Point("shutter-trims", _("The shutter trims the background")),
    Point("distance", _("Distance and fall-off")),
    Point("hard-soft", _("Hard and soft, near and far")),
    Point("sun-side", _("The sun's side")),
    Point("dark-on-bright", _("Dark on bright, dark on dark")),
    Point("hss-or-nd", _("High-speed sync against ND")),
    Point("depth", _("Depth of field outdoors")),
    Point("ratio", _("Ratio and fill")),
    Point("gels", _("Gels at dusk")),
    Point("motion", _("Motion and flash duration")),
    Point("height-lines", _("Camera height and leading lines")),
    Point("story", _("Telling a story with props and sequence")),
    Point("two-people", _("Light for two or more people")),
    Point("last-light", _("Last light")),
)
LIBRARY = {point.code: point for point in POINTS}

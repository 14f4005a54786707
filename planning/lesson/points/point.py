"""What a teaching point is, and how its text is read part by part."""

from collections.abc import Callable
from dataclasses import dataclass

PARTS = ("objective", "demo", "task", "vary", "faults", "critique", "exercise")


def _(message: str) -> str:
    """Mark a sentence for the translators; whoever shows it translates it."""
    return message


@dataclass(frozen=True)
class Point:
    """One teaching point: every line a text of its own, ``{names}`` stand for figures.

    The names are those of ``planning.lesson.figure_names``. A line with " | " says the first of
    its ways that asks for no figure the set lacks.
    """

    code: str
    name: str
    objective: tuple[str, ...]  # one sentence
    demo: tuple[str, ...]  # one step each
    task: tuple[str, ...]
    vary: tuple[str, ...]
    faults: tuple[str, ...]  # "fault: cure"
    critique: tuple[str, ...]
    exercise: tuple[str, ...]  # one paragraph

    def text(self, part: str, translate: Callable[[str], str] = str) -> str:
        """Return one part, one line a line, or the name, in the words ``translate`` makes."""
        said = getattr(self, part)
        lines = (said,) if isinstance(said, str) else said
        return "\n".join(translate(line) for line in lines)

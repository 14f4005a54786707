"""A set no plan can be made of: the field to change, and a sentence that a page can translate."""

from planning.physics.errors import OutOfRange
from planning.plan.words import Words, say


class NoPlan(OutOfRange):
    """The first input a plan cannot stand on.

    ``field`` is the input's own name, which ``str()`` says; a page says the label of the form
    instead. ``part`` names the light, camera or place it belongs to, empty for the set itself.
    """

    def __init__(self, field: str, words: Words, *, part: str = "", is_light: bool = False):
        self.field, self.words, self.part = field, words, part
        where = f"light {part!r}: " if is_light else f"{part}: " if part else ""
        super().__init__(f"{where}{field}: {words}")


def no_plan(
    field: str, message: str, *, part: str = "", is_light: bool = False, **figures
) -> NoPlan:
    """Return the refusal, its figures as ``say`` takes them."""
    return NoPlan(field, say(message, **figures), part=part, is_light=is_light)

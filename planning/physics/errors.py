"""The one refusal of the physics."""


class OutOfRange(ValueError):
    """An input no formula here covers; the message names it and says the range."""

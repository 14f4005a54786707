"""A text that could not be read, with what to enter instead. Pure."""


def gettext_noop(message: str) -> str:
    """Mark a sentence for the translators; it is translated where it is shown."""
    return message


class NotUnderstood(ValueError):
    """Says in ``message``, with places for ``figures``, what to enter; ``str()`` is English."""

    def __init__(self, message: str, **figures: object):
        self.message, self.figures = message, figures
        super().__init__(message % figures if figures else message)

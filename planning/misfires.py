"""What helps against each cause of a misfire, in words for whoever it happened to."""

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from planning.models import TallyEvent

Cause = TallyEvent.Cause
# Checks of the trade, the quickest first; common practice, no source.
CURES = {
    Cause.CHANNEL: gettext_lazy("Set channel and group on trigger and head to the same."),
    Cause.CONTACT: gettext_lazy("Push the trigger fully home, lock it, wipe the contact dry."),
    Cause.CELL: gettext_lazy("Put a fresh cell into the trigger before the day, carry a spare."),
    Cause.CAMERA: gettext_lazy(
        "Mechanical shutter, silent mode off, flash firing allowed in the camera’s menu."
    ),
    Cause.SHUTTER: gettext_lazy("Go back to the sync speed or slower."),
    Cause.BODY: gettext_lazy("Try this body with this trigger before the day, or borrow another."),
    Cause.RECYCLE: gettext_lazy("Wait for the ready sign, or turn the power down."),
    Cause.HEAD: gettext_lazy("Let it cool, wake it, or change the pack."),
    Cause.RANGE: gettext_lazy("Go nearer, or lift the trigger clear of bodies and metal."),
    Cause.OTHER: gettext_lazy("Ask who taught you; write down what it was."),
    Cause.UNKNOWN: gettext_lazy("Change one thing at a time: channel, contact, cell, trigger."),
}


def cure_words(cause: str) -> str:
    """Return what helps; empty for a cause that is none."""
    return str(CURES[cause]) if cause in CURES else ""


def own_misfire_words(cause: str, trigger: str, count: int) -> str:
    """Return why a lamp did not fire, how often, with what, and what helps."""
    label = str(Cause(cause).label) if cause in Cause.values else cause
    told = {"cause": label, "trigger": trigger, "n": count, "cure": cure_words(cause)}
    if count > 1 and trigger:
        words = _("{n} times with {trigger}: {cause}. {cure}")
    elif count > 1:
        words = _("{n} times: {cause}. {cure}")
    elif trigger:
        words = _("with {trigger}: {cause}. {cure}")
    else:
        words = "{cause}. {cure}"
    return capfirst(words.format(**told))

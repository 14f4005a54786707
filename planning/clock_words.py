"""How wrong a camera's clock is, and how that is known, in words."""

import re
from datetime import datetime, time

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from planning.after import clock_doubts
from planning.after.clock_doubts import Fit
from planning.after.clock_jumps import BACK, SHARED, ZONES, Jump
from planning.after.clocks import AS_CAMERA_SAYS, AS_PLACE, FIT, HAND, NO_TIME, SHOWN
from workshops.models.base import in_zone
from workshops.words import NO_BREAK, NOT_KNOWN, number_text

SAME_S = 0.5  # a camera writes whole seconds
WAYS = {
    SHOWN: gettext_lazy("from a frame of the clock page"),
    HAND: gettext_lazy("by hand"),
    FIT: gettext_lazy("by best fit to the turns"),
    AS_CAMERA_SAYS: gettext_lazy("a guess: as the camera says"),
    AS_PLACE: gettext_lazy("a guess: it keeps the clock of the place"),
    NO_TIME: gettext_lazy("no time in the files"),
}
SPREADS = {
    SHOWN: gettext_lazy("within a second"),
    HAND: gettext_lazy("as near as somebody read it"),
    FIT: gettext_lazy("within about 4 minutes"),
    AS_CAMERA_SAYS: gettext_lazy("zone and drift unchecked: it may be hours out"),
    AS_PLACE: gettext_lazy("nobody checked: it may be hours out"),
}
DOUBTS = {
    clock_doubts.FEW_FRAMES: gettext_lazy("too few frames fall into own turns to tell"),
    clock_doubts.PLANNED_ONLY: gettext_lazy(
        "nobody noted these turns, and a day that ran late looks like a wrong clock"
    ),
    clock_doubts.FEW_TURNS: gettext_lazy(
        "too few turns with frames: two do where a zone or the date is wrong, "
        "any other clock takes three"
    ),
    clock_doubts.NOT_SHARP: gettext_lazy("many offsets fit as well, some minutes apart"),
    clock_doubts.AMBIGUOUS: gettext_lazy("another offset explains the frames about as well"),
    clock_doubts.SOMEBODY_ELSE: gettext_lazy(
        "they fit another attendee’s turns as well: look whose frames they are"
    ),
    clock_doubts.SCATTERED: gettext_lazy(
        "as many frames were taken outside own turns as in them, so there is no rhythm"
    ),
}

JUMPS = {
    SHARED: gettext_lazy(
        "Its file numbers go on while its clock goes to and fro: most likely these are frames of "
        "two bodies that write no serial number. Bring in each person’s frames as theirs, and put "
        "those that stand in a wrong set into theirs by hand."
    ),
    BACK: gettext_lazy(
        "Between %(before)s and %(after)s its clock goes back by %(span)s: it was set anew, so one "
        "figure cannot be right for all. Find its clock for the longer part, and put the frames "
        "of the other into their sets by hand."
    ),
    ZONES: gettext_lazy(
        "Between %(before)s and %(after)s the offset it writes changes: look whether its clock was "
        "set anew, and put frames that stand in a wrong set into theirs by hand."
    ),
}


def clock_seconds(at: datetime | None, zone_name: str) -> str:
    """Return the clock of a place to the second, on 24 hours as the clock page shows it."""
    return NOT_KNOWN if at is None else f"{in_zone(at, zone_name):%H:%M:%S}"


def camera_clock(at: datetime | None) -> str:
    """Return date and hour as the camera wrote them."""
    return _("no time") if at is None else f"{at:%Y-%m-%d %H:%M:%S}"


def span_text(seconds: float) -> str:
    """Return a length without its sign: "1 h 2 min 5 s", "3 days 2 h", "0 s"."""
    whole = round(abs(seconds))
    days, rest = divmod(whole, 86400)
    hours, rest = divmod(rest, 3600)
    minutes, left = divmod(rest, 60)
    parts = []
    if days:
        parts.append(ngettext("%(n)d day", "%(n)d days", days) % {"n": days})
    parts += [
        f"{count}{NO_BREAK}{unit}"
        for count, unit in ((hours, _("h")), (minutes, _("min")), (left, _("s")))
        if count
    ]
    return " ".join(parts) if parts else f"0{NO_BREAK}{_('s')}"


def ahead_text(ahead_s: float | None) -> str:
    """Return how a camera stands against the clock of the place."""
    if ahead_s is None:
        return NOT_KNOWN
    if abs(ahead_s) < SAME_S:
        return _("on the clock of the place")
    told = {"span": span_text(ahead_s)}
    if ahead_s > 0:
        return _("%(span)s ahead of the clock of the place") % told
    return _("%(span)s behind the clock of the place") % told


def about_text(ahead_s: float) -> str:
    """Return how a camera stands against the clock of the place, to the minute, as a fit tells."""
    return ahead_text(60.0 * round(ahead_s / 60.0))


def fit_evidence(found: Fit, place_offset_s: float) -> list[str]:
    """Return what a best fit rests on, a sentence each."""
    told = {
        "moments": found.moments,
        "in_turns": found.in_turns,
        "hit": found.turns_hit,
        "turns": found.turns,
    }
    lines = [
        _(
            "Of %(moments)d moments of photographing %(in_turns)d fall into own turns; "
            "%(hit)d of %(turns)d own turns have at least three."
        )
        % told
    ]
    if found.second_add_s is not None:
        score = {
            "second": about_text(-(found.second_add_s + place_offset_s)),
            "best_score": number_text(found.score, 0),
            "second_score": number_text(found.second_score, 0),
        }
        lines.append(
            _(
                "The next best, %(second)s, scores %(second_score)s against %(best_score)s "
                "(moments in own turns, less a part of those elsewhere)."
            )
            % score
        )
    minutes = {"n": round(found.within_s / 60)}
    lines.append(_("It is good to about %(n)d minutes either way.") % minutes)
    lines.append(_("If these frames are somebody else’s, it is wrong by a turn or more."))
    return lines


def read_clock(text: str) -> time:
    """Return a time of day typed as it is shown: "09:58:12"; seconds may be left out.

    Raises ValidationError in words for anything else.
    """
    found = re.fullmatch(r"(\d{1,2})[:.](\d{2})(?:[:.](\d{2}))?", text.strip())
    if found:
        hour, minute, second = (int(part or 0) for part in found.groups())
        if hour < 24 and minute < 60 and second < 60:
            return time(hour, minute, second)
    raise ValidationError(_("Enter a time on 24 hours, such as 09:58:12."))


def read_span(text: str) -> int:
    """Return seconds typed as "1:02:00" or "1 h 2 min 5 s". Raises ValidationError in words.

    "37:08" is refused: it was meant as minutes, and would be read as hours.
    """
    text = text.strip().lower()
    found = re.fullmatch(r"(\d{1,2}):(\d{2})(?::(\d{2}))?", text)
    if not found:
        found = text and re.fullmatch(
            r"(?:(\d{1,6}) *h)? *(?:(\d{1,6}) *min)? *(?:(\d{1,6}) *s)?", text
        )
    if found:
        hours, minutes, seconds = (int(part or 0) for part in found.groups())
        if ":" not in text or (hours < 24 and minutes < 60 and seconds < 60):
            return hours * 3600 + minutes * 60 + seconds
    raise ValidationError(_("Enter hours, minutes and seconds, such as 1:02:00."))


def jump_text(found: Jump | None) -> str:
    """Return what tells against one clock for all frames of a body, and what to do."""
    if found is None:
        return ""
    told = {"before": found.before, "after": found.after, "span": span_text(found.back_s)}
    return JUMPS[found.kind] % told

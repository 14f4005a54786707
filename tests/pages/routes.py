"""Every route of the site with an example address, read from the URL configuration itself.

A new route without an example fails the tests that walk them all: say here what it is shown with.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Model
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from planning.models import (
    CountsFrom,
    FlashReading,
    FrameLot,
    LeftOut,
    PlannedSet,
    Reading,
    SetPicture,
    TeachingPoint,
)
from planning.season_tables import CODES
from workshops import models
from workshops.services.links import token

# Routes anybody may open, logged in or not.
OPEN = {
    "log-in", "password-reset", "password-reset-sent", "password-reset-confirm", "healthz",
    "favicon", "calendar-feed",
}  # fmt: skip
# Routes that a signed link opens; without one there is nothing at them, for anybody.
LINKED = {
    "questionnaire-open", "questionnaire", "questionnaire-thanks", "offer-open", "offer",
    "handout-open", "handout", "handout-pdf", "handout-certificate",
    "feedback-open", "feedback", "feedback-thanks",
}  # fmt: skip
# Routes of one's own account: no right beyond being logged in.
OWN = {
    "start", "account", "password-change", "log-out", "calendar-link-new", "calendar-link-end",
}  # fmt: skip
# What an instructor opens of the own workshops; of anybody else's it is not found.
TEACHES = {
    "workshop", "workshop-sheets", "sets", "set-new", "set-new-plan", "set", "set-plan",
    "set-sheet", "set-copy", "set-delete", "reading-new", "reading-delete", "person",
    "set-turns", "tally", "tally-paper", "workshop-tallies", "workshop-here",
    "flash-reading-new", "flash-reading-delete",
    "workshop-match", "match-settle", "rehearsal", "workshop-kit",
    "workshop-frames", "frames-settle", "frame-lot-delete",
    "workshop-weather", "weather-agreed", "workshop-charging", "charging-sheet",
    "workshop-day", "sets-move", "set-pin", "break-new", "break-edit", "break-delete",
    "suggested-kit", "workshop-risk", "workshop-tally", "set-tally", "recipe", "day-sheet",
    "workshop-handouts", "booking-handout", "set-pictures", "picture", "picture-delete",
    "workshop-after", "after-sheet",
    "camera-new", "camera-edit", "workshop-close", "workshop-feedback", "workshop-feedback-csv",
    "workshop-feedback-xlsx", "booking-certificate",
    "workshop-clock", "clock-now", "frames-clocks", "frames-clock", "frames-sets",
}  # fmt: skip
# What every instructor opens: lists bounded to the own workshops, places and kit of the house.
TEACHES_ALL = {
    "workshops", "people", "locations", "location-new", "location", "location-edit",
    "location-delete", "forecasts-in", "forecast-changes",
    "forecast-new", "forecast-edit", "forecast-delete", "tide-new",
    "tide-delete", "landmark-new", "landmark-edit", "landmark-delete", "recce-reading-new",
    "way-new", "way-edit", "way-delete",
    "horizon-drawing", "horizon-preview", "labels", "kit", "kind", "kind-edit", "unit-edit",
    "guide-number-new", "guide-number-delete", "points", "point-new",
    "point", "point-delete", "location-risk", "location-light",
    "location-light-sheet", "season", "season-csv", "season-xlsx",
    "learnt", "learnt-figure",
}  # fmt: skip
# What a helper opens of the own workshops.
HELPS = {"workshop-checkouts", "sign-out-sheet"}
HELPS_ALL = {"handed-out", "unit-page"}
# Read by whoever leads the workshop, and by nobody else.
LEADS = {"medical-answers"}
# Routes that only do something: they answer POST alone.
POST_ONLY = {
    "leave-out-delete",
    "sets-move",
    "message-again", "calendar-link-new", "calendar-link-end",
    "log-out", "account-invite", "match-settle", "booking-confirm", "booking-state",
    "frames-settle",
    "set-pin", "booking-offer", "booking-accept", "booking-withdraw", "set-copy",
    "set-plan", "set-new-plan", "horizon-preview", "list-import", "list-forget",
}  # fmt: skip
# Routes that answer with something other than a page.
NO_PAGE = {
    "calendar-feed", "clock-now",
    "set-sheet", "workshop-sheets", "healthz", "favicon", "horizon-drawing", "invoice-sheet",
    "payment-receipt", "sign-out-sheet", "workshop-risk", "workshop-tally", "set-tally",
    "location-risk", "day-sheet", "booking-handout", "location-light-sheet", "picture",
    "charging-sheet", "after-sheet",
    "people-csv", "people-xlsx", "kit-csv", "kit-xlsx", "workshop-csv", "workshop-xlsx",
    "workshop-feedback-csv", "workshop-feedback-xlsx", "booking-certificate",
    "season-csv", "season-xlsx",
}  # fmt: skip

KINDS = ("strobe", "modifier", "stand", "trigger", "nd-filter")
# The record an address speaks of: by the whole name, else by what stands before the last dash.
RECORD = {
    "account": models.User,
    "workshop": models.Workshop,
    "message": models.Message,
    "workshop-kit": models.Workshop,
    "suggested-kit": models.Workshop,
    "workshop-match": models.Workshop,
    "workshop-frames": models.Workshop,
    "frames-settle": models.Workshop,
    "frame-lot": FrameLot,
    "workshop-weather": models.Workshop,
    "workshop-charging": models.Workshop,
    "charging-sheet": models.Workshop,
    "weather-agreed": models.Workshop,
    "workshop-after": models.Workshop,
    "after-sheet": models.Workshop,
    "forecast-changes": models.Location,
    "match-settle": models.Workshop,
    "clock-now": models.Workshop,
    "frames-clocks": models.Workshop,
    "frames-clock": models.Workshop,
    "frames-sets": models.Workshop,
    "rehearsal": models.Booking,
    "workshop-checkouts": models.Workshop,
    "sign-out-sheet": models.Workshop,
    "label-sheet": models.LabelSheet,
    "workshop-sheets": models.Workshop,
    "workshop-questionnaires": models.Workshop,
    "medical-answers": models.Workshop,
    "sets": models.Workshop,
    "sets-move": models.Workshop,
    "day-sheet": models.Workshop,
    "workshop-handouts": models.Workshop,
    "booking-handout": models.Booking,
    "workshop-feedback": models.Workshop,
    "set-new": models.Workshop,
    "set-new-plan": models.Workshop,
    "workshop-call": models.Workshop,
    "role-new": models.Workshop,
    "break-new": models.Workshop,
    "break": models.WorkshopBreak,
    "list": models.ImportFile,
    "booking-new": models.Workshop,
    "workshop-money": models.Workshop,
    "workshop-called-off": models.Workshop,
    "cost-new": models.Workshop,
    "cost": models.DayCost,
    "payment-new": models.Booking,
    "payment": models.Payment,
    "invoice-new": models.Booking,
    "invoice": models.Invoice,
    "terms": models.Terms,
    "role": models.WorkshopRole,
    "booking": models.Booking,
    "booking-to": models.Booking,
    "person": models.Person,
    "camera-new": models.Person,
    "camera": models.CameraBody,
    "location": models.Location,
    "forecast-new": models.Location,
    "tide-new": models.Location,
    "landmark-new": models.Location,
    "way-new": models.Location,
    "way": models.TravelTime,
    "recce-reading-new": models.Location,
    "horizon-drawing": models.Location,
    "location-light": models.Location,
    "location-light-sheet": models.Location,
    "forecast": models.Forecast,
    "tide": models.TidePoint,
    "landmark": models.Landmark,
    "unit-new": models.Strobe,
    "guide-number-new": models.Strobe,
    "kind": models.KitKind,
    "unit": models.KitUnit,
    "guide-number": models.GuideNumberReading,
    "set": PlannedSet,
    "reading-new": PlannedSet,
    "recipe": PlannedSet,
    "tally": PlannedSet,
    "workshop-tallies": models.Workshop,
    "set-pictures": PlannedSet,
    "picture": SetPicture,
    "reading": Reading,
    "flash-reading-new": PlannedSet,
    "flash-reading": FlashReading,
    "leave-out": LeftOut,
    "counts-from": CountsFrom,
    "point": TeachingPoint,
}
# Shown with the first of these, because the first there is would have nothing to show.
ONE_OF = {"booking-certificate": {"state": "attended"}}
# Shown for every record there is, because their pages differ most from one to the next.
EACH = {"set", "workshop", "booking"}
WORDS = {
    "kind-new-of": [{"what": what} for what in KINDS],
    "season-csv": [{"code": code} for code in CODES],
    "learnt-figure": [{"figure": "minutes-per-turn"}, {"figure": "daylight:clear"}],
    "leave-out-new": [{"figure": "minutes-per-turn"}],
    "counts-from-new": [{"figure": "minutes-per-turn"}],
}
# What is asked of a page that shows hardly anything unasked: the demo's own year.
ASKED = {"season": "?from=2027-01-01&to=2027-12-31"}
FIXED = {
    "history": [{"kind": "workshops.house", "pk": 1}],
    "questionnaire-open": [{"signed": "forged"}],
    "offer-open": [{"signed": "forged"}],
    "handout-open": [{"signed": "forged"}],
    "feedback-open": [{"signed": "forged"}],
    "password-reset-confirm": [{"uidb64": "MQ", "token": "used-up"}],
}
# Routes by a signed link: what the link opens.
SIGNED = {"calendar-feed": models.SignedLink.Purpose.CALENDAR}


@dataclass(frozen=True)
class Address:
    """One example address of a route."""

    name: str
    path: str


def routes() -> dict[str, set[str]]:
    """Return every named route outside the admin, and the words its address takes."""
    return dict(_named(get_resolver().url_patterns))


def _named(patterns) -> Iterator[tuple[str, set[str]]]:
    for one in patterns:
        if isinstance(one, URLResolver):
            if one.namespace is None:
                yield from _named(one.url_patterns)
        elif isinstance(one, URLPattern):
            yield one.name, set(one.pattern.converters)


def addresses() -> list[Address]:
    """Return an example of every route that the records there are can show."""
    return [
        Address(name, reverse(name, kwargs=words) + ASKED.get(name, ""))
        for name, wanted in routes().items()
        for words in _examples(name, wanted)
    ]


def _examples(name: str, wanted: set[str]) -> list[dict]:
    if not wanted:
        return [{}]
    if name == "history" and not models.House.objects.exists():
        return []
    for table in (WORDS, FIXED):
        if name in table:
            return table[name]
    if name in SIGNED:
        made = models.SignedLink.objects.filter(purpose=SIGNED[name])
        return [{"signed": token(link)} for link in made]
    assert wanted == {"pk"}, f"route {name}: say in tests/pages/routes.py what it is shown with"
    rows = record_of(name)._base_manager.filter(**ONE_OF.get(name, {}))
    numbers = rows.order_by("pk").values_list("pk", flat=True)
    return [{"pk": pk} for pk in (numbers if name in EACH else numbers[:1])]


def record_of(name: str) -> type[Model]:
    """Return the model whose number stands in a route's address."""
    model = RECORD.get(name) or RECORD.get(name.rpartition("-")[0])
    assert model, f"route {name}: say in tests/pages/routes.py what it is shown with"
    return model


def pages() -> list[Address]:
    """Return the addresses that answer the office's GET with a page."""
    return [one for one in addresses() if one.name not in POST_ONLY | NO_PAGE | LINKED | LEADS]

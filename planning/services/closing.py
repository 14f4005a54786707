"""Close a workshop, over nothing that is open without a reason; open it again for one."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.selectors.closing import Item, checklist, closing_of, refusal_to_close
from workshops import audit
from workshops.errors import Refused
from workshops.models import Closing, LetBy, User, Workshop
from workshops.selectors.feedback import attended
from workshops.services.again import again
from workshops.services.feedback import ask_for_feedback
from workshops.services.handout_links import send_handouts
from workshops.services.medical import erase_medical
from workshops.services.waitlist import locked

Status = Workshop.Status
WHAT_LENGTH = LetBy._meta.get_field("what").max_length
REASON_LENGTH = LetBy._meta.get_field("reason").max_length


@again
@transaction.atomic
def close_workshop(
    *, by: User | None, workshop: Workshop, reasons: Mapping[str, str], now: datetime
) -> Closing:
    """Return the closing of a workshop, made now, or before.

    ``reasons`` say by the key of an open item why it is closed over it all the same; they are
    kept. Medical answers are erased; whoever was there is sent the handout and the five questions.

    Raises Refused for one that has not run, and naming each open item without a reason; then
    nothing has changed.
    """
    workshop = locked(workshop.pk)
    if (made := closing_of(workshop)) is not None:
        return made
    # Whoever notes something holds the set's row: it is noted before this, or refused after it.
    list(workshop.sets.select_for_update().order_by("pk"))
    if sentence := refusal_to_close(workshop, now):
        raise Refused(sentence)
    let_by = _let_by(workshop, reasons, now)
    if workshop.status != Status.RUN:
        workshop.status = Status.RUN
        audit.write(workshop, by=by)
    closing = audit.write(Closing(workshop=workshop, closed_at=now, by=by), by=by)
    for what, reason in let_by:
        audit.write(LetBy(closing=closing, what=what, reason=reason), by=by)
    erase_medical(by=by, workshop=workshop)
    workshop.refresh_from_db()  # the caution that answers had raised is lifted with them
    workshop.status = Status.CLOSED
    audit.write(workshop, by=by)
    bookings = attended(workshop)
    send_handouts(by=by, workshop=workshop, now=now, bookings=bookings)
    ask_for_feedback(by=by, bookings=bookings, now=now)
    return closing


def _let_by(workshop: Workshop, reasons: Mapping[str, str], now: datetime) -> list[tuple[str, str]]:
    """Return what is open with its reason. Raises Refused where one is wanted and not given."""
    items = _told_apart([one for check in checklist(workshop, now) for one in check.items])
    given = {key: " ".join(words.split()) for key, words in reasons.items()}
    if long := [one for one in items if len(given.get(one.key, "")) > REASON_LENGTH]:
        sentence = _("Say it in %(most)d characters at most.") % {"most": REASON_LENGTH}
        raise Refused({one.key: sentence for one in long})
    if wanting := [one for one in items if not one.warning and not given.get(one.key)]:
        told = ngettext(
            "%(n)d thing is open: mend it, or say why the workshop is closed all the same.",
            "%(n)d things are open: mend each, or say why the workshop is closed all the same.",
            len(wanting),
        )
        sentence = _("%(what)s Mend it, or enter a reason.")
        faults = {one.key: sentence % {"what": one.words} for one in wanting}
        raise Refused({"__all__": told % {"n": len(wanting)}, **faults})
    return [(one.words, given[one.key]) for one in items if given.get(one.key)]


def _told_apart(items: list[Item]) -> list[Item]:
    """Return the items, the words of each cut to what is kept and unlike any before them."""
    kept, seen = [], set()
    for one in items:
        words, number = one.words[:WHAT_LENGTH], 1
        while words in seen:
            number += 1
            ending = f" ({number})"
            words = one.words[: WHAT_LENGTH - len(ending)] + ending
        seen.add(words)
        kept.append(replace(one, words=words))
    return kept


@again
@transaction.atomic
def open_again(*, by: User | None, workshop: Workshop, reason: str, now: datetime) -> Workshop:
    """Return a closed workshop, one that has run again; its closing is kept, with the reason.

    What was erased stays erased, what was sent is sent. Raises Refused without a reason, and for
    one that is not closed.
    """
    workshop = locked(workshop.pk)
    closing = closing_of(workshop)
    if closing is None:
        raise Refused(_("%(workshop)s is not closed.") % {"workshop": workshop})
    if not reason.strip():
        raise Refused({"reason": _("Reason: say why it is opened again; it is kept.")})
    closing.reopened_at, closing.reopened_by = now, by
    closing.reopened_reason = reason.strip()
    audit.write(closing, by=by)
    workshop.status = Status.RUN
    audit.write(workshop, by=by)
    return workshop

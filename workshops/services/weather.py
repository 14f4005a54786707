"""The weather decision of a workshop: agreed, and made."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import User, WeatherCall, Workshop
from workshops.services.records import check_seen

Outcome = WeatherCall.Outcome
NEEDS_REASON = (Outcome.FALLBACK, Outcome.MOVED, Outcome.OFF)


@transaction.atomic
def decide_weather(
    *,
    by: User | None,
    call: WeatherCall,
    outcome: str,
    reason: str = "",
    now: datetime,
    seen: datetime | None = None,
) -> WeatherCall:
    """Return the call with the decision and when it was made; "not made yet" takes it back.

    Nobody is told and no workshop is moved by it. Raises Refused for a change without a
    reason, for a move without a rain date, for a workshop called off already; Stale as
    ``save_record`` does.
    """
    check_seen(call, seen)
    call.refresh_from_db()
    reason = reason.strip()
    if call.workshop.status == Workshop.Status.CANCELLED and outcome != Outcome.OFF:
        raise Refused(_("The workshop is called off: its status says so already."))
    if outcome in NEEDS_REASON and not reason:
        raise Refused({"outcome_reason": _("Say why: it is what people are told.")})
    if outcome == Outcome.MOVED and call.rain_on is None:
        raise Refused({"outcome": _("No rain date is agreed: enter it first.")})
    call.outcome = outcome
    call.outcome_reason = "" if outcome == Outcome.OPEN else reason
    call.outcome_at = None if outcome == Outcome.OPEN else now
    return audit.write(call, by=by)

"""What was noted on a set that answers to a caution of its plan, in words."""

from collections.abc import Callable

from planning.after.compared import Answered
from planning.after.seen import SetDay
from planning.plan.result import Caution
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

GRAVE = ("stop", "act")
NOTHING = say(_("nothing noted answers to it"))


def answered(day: SetDay) -> tuple[Answered, ...]:
    """Return the plan's grave cautions in its order, each with what was noted."""
    if day.plan is None:
        return ()
    return tuple(_answered(day, one) for one in day.plan.cautions if one.level in GRAVE)


def _answered(day: SetDay, caution: Caution) -> Answered:
    answer = next((make for codes, make in ANSWERS if caution.code.startswith(codes)), None)
    words = answer(day) if answer else None
    return Answered(caution, words or NOTHING, words is not None)


def _gust(day: SetDay) -> Words | None:
    met = day.tally.gusts_m_s
    if not met:
        return None
    at, gust = max(met, key=lambda one: one[1])
    return say(_("strongest gust met: {gust}, at {at}"), gust=(gust, "m_s"), at=(at, "clock"))


def _sky(day: SetDay) -> Words | None:
    if not day.tally.skies:
        return None
    at, sky = day.tally.skies[-1]
    return say(_("sky noted last: {sky}, at {at}"), sky=(say(sky), "words"), at=(at, "clock"))


def _times(day: SetDay) -> Words | None:
    over = day.tally.minutes_over
    if over is None:
        return None
    if over > 0:
        return say(_("it ran {over} over"), over=(over, "min"))
    return say(_("it ended in time"))


def _turns(day: SetDay) -> Words | None:
    given = sum(one.turns for one in day.tally.people)
    missed = sum(one.missed for one in day.tally.people)
    if not given and not missed:
        return None
    return say(
        _("turns given: {given}, called in vain: {missed}"),
        given=(given, "whole"),
        missed=(missed, "whole"),
    )


def _packs(day: SetDay) -> Words | None:
    tags = dict.fromkeys(pack.tag for head in day.tally.heads for pack in head.packs)
    if not tags:
        return None
    return say(_("packs used: {tags}"), tags=(", ".join(tags), "text"))


def _misfires(day: SetDay) -> Words | None:
    if not day.tally.misfires:
        return None
    return say(_("misfires noted: {count}"), count=(len(day.tally.misfires), "whole"))


def _metered(day: SetDay) -> Words | None:
    if day.metered is None or day.metered.exposure.base_source != "metered":
        return None
    return say(_("the base was metered"))


# A caution by the beginning of its code, and what a tally can say to it.
ANSWERS: tuple[tuple[tuple[str, ...], Callable[[SetDay], Words | None]], ...] = (
    (("wind-", "ballast-short", "trees", "forecast-none", "footing"), _gust),
    (("thunder", "uv", "heat", "cold", "low-pressure"), _sky),
    (("over-run", "tide", "stands-flood", "hands", "model-limit"), _times),
    (("fewer-turns", "stations-empty"), _turns),
    (("battery-swap", "packs-short"), _packs),
    (("bodies", "no-triggers", "triggers-shared", "recycle", "overheat", "photosensitive"),
     _misfires),
    (("re-meter", "meter-sky", "low-light"), _metered),
)  # fmt: skip

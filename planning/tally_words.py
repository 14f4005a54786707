"""An event of the day in words, as pages and reports tell it."""

from django.utils.translation import gettext as _

from planning.figures import Figures
from planning.models import TallyEvent
from planning.templatetags import figures
from workshops.models import Sky

Kind = TallyEvent.Kind


def event_words(event: TallyEvent, say: Figures, names: dict[int, str]) -> str:
    """Return what an event says in one sentence without its time; ``names`` are by booking."""
    who = names.get(event.booking_id, "")
    told = {
        "who": who,
        "light": event.light_name,
        "n": event.count,
        "unit": event.unit.tag if event.unit else "",
        "charge": charge_words(event.charge_share, event.charge_lamps, say),
        "words": event.notes,
    }
    told |= {"gust": say.speed(event.gust_m_s), "sky": sky_words(event.sky)}
    plain = {
        Kind.SET_BEGAN: _("the set began"),
        Kind.SET_ENDED: _("the set ended"),
        Kind.TURN_GIVEN: _("{who}: turn given"),
        Kind.TURN_MISSED: _("{who}: not here"),
        Kind.FLASHES: _("{light}: {n} flashes"),
        Kind.FRAMES: _("{who}: {n} frames"),
        Kind.PACK_IN: _("{unit} into {light}, {charge}"),
        Kind.PACK_OUT: _("{unit} out of {light}, {charge}"),
        Kind.WIND_SEEN: _("gust {gust}"),
        Kind.SKY_SEEN: _("sky: {sky}"),
        Kind.NEAR_MISS: _("near miss: {words}"),
    }
    if event.kind in plain:
        return plain[event.kind].format(**told)
    if event.kind == Kind.MISFIRE:
        return misfire_words(event, who)
    if event.kind == Kind.RECIPE_LOCKED:
        return _recipe_words(event)
    return ": ".join(filter(None, (who, event.notes)))


def charge_words(share: float | None, lamps: int | None, say: Figures) -> str:
    """Return "55 %", "3 of 4 lamps", or that nobody looked."""
    if share is None:
        return _("not read")
    if lamps:
        return _("{lit} of {lamps} lamps").format(lit=say.number(share * lamps), lamps=lamps)
    return figures.share(share, say)


def misfire_words(event: TallyEvent, who: str) -> str:
    """Return who, with what, which lamp, and why it did not fire."""
    unit = event.unit.tag if event.unit else ""
    parts = [who, unit, event.light_name, cause_words(event.cause), event.notes]
    return _("did not fire: {parts}").format(parts=" · ".join(filter(None, parts)))


def cause_words(cause: str) -> str:
    return str(TallyEvent.Cause(cause).label) if cause in TallyEvent.Cause.values else cause


def sky_words(sky: str) -> str:
    """Return the sky's name without the tenths behind it."""
    return str(Sky(sky).label).partition(":")[0] if sky in Sky.values else sky


def _recipe_words(event: TallyEvent) -> str:
    marks = f"{figures.f_number(event.f_number)} {figures.shutter(event.shutter_s)}"
    told = {"recipe": f"{marks} ISO {figures.iso(event.iso)}"}
    if event.light_name:
        told |= {"light": event.light_name, "power": figures.power(event.power)}
        return _("recipe locked: {recipe}, {light} {power}").format(**told)
    return _("recipe locked: {recipe}").format(**told)

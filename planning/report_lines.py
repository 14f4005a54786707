"""One set compared -> the lines of its table: what, planned, as it was, whence, how far apart."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from planning.after.compared import Base, HeadRow, RecipePart, SetComparison, Wind
from planning.after.seen import NOT_NOTED, NOTED, Pair
from planning.figures import Figures
from planning.sheets import back
from planning.templatetags import figures
from workshops.words import NOT_KNOWN

SAME_STOPS = 0.05  # shows as no tenth of a stop
SAME_MIN = 0.5


@dataclass(frozen=True)
class Line:
    """One figure of a set; ``source`` is empty where nobody noted it."""

    what: str
    planned: str
    actual: str
    source: str = ""
    remark: str = ""

    @property
    def noted(self) -> bool:
        return bool(self.source)


def joined(actual: str, sources: tuple[str, ...]) -> str:
    """Return a figure with where it comes from, for a cell that holds both."""
    told = ", ".join(_(source) for source in sources)
    return f"{actual}, {told}" if told else actual


def tags_words(tags: Iterable[str]) -> str:
    return ", ".join(figures.short(tag, 14) for tag in tags)


def set_lines(one: SetComparison, say: Figures) -> Iterator[Line]:
    """Yield the lines of a set in the order of its day."""
    yield _line(_("Began"), one.began, say.clock, _late(one.began, say))
    yield _line(_("Ended"), one.ended, say.clock, _late(one.ended, say))
    yield _line(
        _("Length"), one.minutes, lambda n: figures.minutes(n, say), _over(one.minutes, say)
    )
    yield _line(_("Turns given"), one.turns, say.number, _more(one.turns, say))
    yield _line(
        _("From turn to turn"),
        one.turn_min,
        lambda n: figures.span(n, say),
        _("median, change included") if one.turn_min.actual is not None else "",
    )
    yield _line(_("Frames"), one.frames, say.number, _frames(one, say))
    for head in one.heads:
        yield from _head(head, say)
    if one.base:
        yield _base(one.base, say)
    for part in one.recipe:
        yield _recipe(part, say)
    yield _gust(one.wind, say)
    yield _sky(one, say)


def _line(what: str, pair: Pair, show, remark: str = "") -> Line:
    source = ", ".join(_(name) for name in pair.sources)
    planned = NOT_KNOWN if pair.planned is None else show(pair.planned)
    actual = _(NOT_NOTED) if pair.actual is None else show(pair.actual)
    return Line(what, planned, actual, source, remark)


def _late(pair: Pair, say: Figures) -> str:
    if pair.over is None or abs(pair.over) < SAME_MIN:
        return ""
    pattern = _("%(minutes)s late") if pair.over > 0 else _("%(minutes)s early")
    return pattern % {"minutes": figures.minutes(abs(pair.over), say)}


def _over(pair: Pair, say: Figures) -> str:
    if pair.over is None or abs(pair.over) < SAME_MIN:
        return ""
    pattern = _("%(minutes)s over") if pair.over > 0 else _("%(minutes)s under")
    return pattern % {"minutes": figures.minutes(abs(pair.over), say)}


def _more(pair: Pair, say: Figures) -> str:
    if pair.over is None or abs(pair.over) < SAME_MIN:
        return ""
    pattern = _("%(n)s more") if pair.over > 0 else _("%(n)s fewer")
    return pattern % {"n": say.number(abs(pair.over))}


def _frames(one: SetComparison, say: Figures) -> str:
    """How many more or fewer, and of how many people where not everybody's were noted."""
    noted = sum(person.frames.actual is not None for person in one.people)
    remarks = [_more(one.frames, say)]
    if 0 < noted < len(one.people):
        told = {"noted": noted, "people": len(one.people)}
        remarks.append(_("of %(noted)d of %(people)d people") % told)
    return "; ".join(filter(None, remarks))


def _head(head: HeadRow, say: Figures) -> Iterator[Line]:
    named = {"light": head.light}
    remark = _more(head.flashes, say)
    if head.full_power.actual is not None:
        full = _("%(n)s at full power, planned %(planned)s") % {
            "n": say.number(head.full_power.actual),
            "planned": say.number(head.full_power.planned),
        }
        remark = f"{remark}; {full}" if remark else full
    yield _line(_("Flashes, %(light)s") % named, head.flashes, say.number, remark)
    if head.charge.planned is None and not head.tags:
        return
    packs = tags_words(head.tags)
    if head.swaps:
        packs = _("%(packs)s, changed %(n)s times") % {"packs": packs, "n": say.number(head.swaps)}
        if head.swaps == 1:
            packs = _("%(packs)s, changed once") % {"packs": tags_words(head.tags)}
    line = _line(
        _("Charge used, %(light)s") % named,
        head.charge,
        lambda share: figures.share(share, say),
        packs,
    )
    if head.charge.actual is not None:
        within = say.number(100 * head.within_share)
        line = Line(line.what, line.planned, f"{line.actual} ±{within}", line.source, packs)
    yield line


def _base(base: Base, say: Figures) -> Line:
    line = _line(_("Base reading"), base.f_number, figures.f_number, _stops(base.moved_stops, say))
    if base.f_number.planned is None:
        return Line(line.what, _("too dark to estimate"), line.actual, line.source, line.remark)
    spread = back.spread_words(base.low_stops, base.high_stops, say)
    planned = _("%(mark)s, estimate %(spread)s") % {"mark": line.planned, "spread": spread}
    return Line(line.what, planned, line.actual, line.source, line.remark)


def _stops(stops: float | None, say: Figures) -> str:
    """Return a difference as light: "+0.7 stops of light"; nothing where they are the same."""
    if stops is None:
        return ""
    if abs(stops) < SAME_STOPS:
        return _("the same")
    return _("%(stops)s stops of light") % {"stops": figures.stops(stops, say)}


def _recipe(part: RecipePart, say: Figures) -> Line:
    names = {"aperture": _("Aperture"), "shutter": _("Shutter"), "iso": _("ISO")}
    show = {
        "aperture": figures.f_number,
        "shutter": figures.shutter,
        "iso": figures.iso,
        "power": lambda power: figures.power(power, part.head),
    }
    what = names.get(part.what) or _("Power, %(light)s") % {"light": part.light}
    return _line(what, part.value, show[part.what], _stops(part.stops, say))


def _gust(wind: Wind, say: Figures) -> Line:
    remarks = []
    passed = [limit for limit in wind.limits if limit.passed]
    for limit in passed:
        told = {
            "light": figures.short(limit.light, 24),
            "what": say.term(limit.what) if limit.what != "more ballast" else _("more ballast"),
            "gust": say.limit_speed(limit.gust_m_s),
        }
        remarks.append(_("%(light)s: %(what)s from %(gust)s") % told)
    if wind.gust.actual is not None and wind.limits and not passed:
        remarks.append(_("below every limit of the stands"))
    if wind.gust.planned is None:
        remarks.append(_("no gust was forecast"))
    return _line(_("Strongest gust"), wind.gust, say.speed, "; ".join(remarks))


def _sky(one: SetComparison, say: Figures) -> Line:
    seen = ", ".join(f"{say.term(sky)} {say.clock(at)}" for at, sky in one.skies)
    planned = say.term(one.sky) if one.sky else NOT_KNOWN
    return Line(_("Sky"), planned, seen or _(NOT_NOTED), _(NOTED) if seen else "")

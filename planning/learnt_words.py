"""Own figures and their measurements in words: for their pages, and after a flash reading."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.drawings.witnesses import Mark, Span, Tick, witnesses_drawing
from planning.figures import Figures
from planning.learn.drawdown import Drawdown, alone_stops
from planning.learn.flash import FlashMetered, daylight_over_flash
from planning.models import FlashReading, LeftOut, PlannedSet
from planning.physics.exposure import f_mark, nearest_f_number
from planning.physics.flash import power_mark
from planning.selectors.learnt import Figure, figures
from planning.selectors.own_daylight import Compared
from planning.selectors.own_packs import PackStay
from planning.selectors.own_turns import Counted
from planning.selectors.seen import Seen
from workshops.words import NOT_KNOWN

# How many steps of the scale there are to a doubling of the figure; 0: the scale is the figure.
SCALE = {
    "guide-number": 2.0,
    "flashes": 1.0,
    "minutes-per-turn": 1.0,
    "frames-per-attendee": 1.0,
    "daylight": 0.0,
}
MENTIONED_TIMES = 1.5  # daylight over lamp
PLACES = {"minutes-per-turn": 1, "daylight": 1}
TICK_STEPS = {"guide-number": 0.5, "daylight": 0.5}  # else a quarter of a doubling


@dataclass(frozen=True)
class WitnessLine:
    """One measurement as its row shows it."""

    key: str
    date: str
    set: PlannedSet | None
    told: str
    value: str
    share: float | None  # of the figure; None: it does not count
    why: str
    doubtful: bool
    left: LeftOut | None
    can_leave: bool


@dataclass(frozen=True)
class FigureLine:
    """One figure as the list shows it."""

    key: str
    name: str
    value: str
    spread: str
    before: str
    count: int
    since: str
    source: str  # own, or estimate where nothing counts


def name_of(found: Figure) -> str:
    """Return what a figure is called."""
    if found.kind == "guide-number":
        named = {"head": found.strobe, "modifier": found.modifier or _("standard reflector")}
        return _("Guide number: %(head)s, %(modifier)s") % named
    if found.kind == "flashes":
        named = {"pack": found.unit.tag, "head": found.strobe}
        return _("Full-power flashes of one charge: pack %(pack)s in %(head)s") % named
    if found.kind == "minutes-per-turn":
        return _("Minutes of one turn")
    if found.kind == "frames-per-attendee":
        return _("Frames of one attendee on a set")
    skies = {"clear": _("clear"), "partly": _("partly"), "overcast": _("overcast")}
    return _("Daylight beside the equations, sky %(sky)s") % {"sky": skies[found.sky]}


def value_text(found: Figure, scale: float, say: Figures) -> str:
    """Return a value of a figure with its unit."""
    places = PLACES.get(found.kind, 0)
    if found.kind == "daylight":
        return _("%(stops)s stop") % {"stops": say.number(scale, places, sign=True)}
    shown = say.number(2.0 ** (scale / SCALE[found.kind]), places)
    if found.kind == "guide-number":
        return _("%(metres)s m at ISO 100") % {"metres": shown}
    if found.kind == "minutes-per-turn":
        return _("%(minutes)s min") % {"minutes": shown}
    return shown


def spread_text(found: Figure, middle: float, within: float, say: Figures) -> str:
    """Return how far a figure may be off, nine times in ten: stops, or from and to."""
    if found.kind in ("guide-number", "daylight"):
        return _("±%(stops)s stop") % {"stops": say.number(within, 1)}
    ends = {"low": middle - within, "high": middle + within}
    shown = {name: value_text(found, scale, say) for name, scale in ends.items()}
    return _("%(low)s to %(high)s") % shown


def figure_line(found: Figure, say: Figures) -> FigureLine:
    learned, prior = found.learned, found.prior
    counting = [one for one in found.seen if _counts(found, one)]
    before = (
        value_text(found, prior.middle, say),
        spread_text(found, prior.middle, prior.within, say),
    )
    return FigureLine(
        key=found.key,
        name=name_of(found),
        value=value_text(found, learned.middle, say),
        spread=spread_text(found, learned.middle, learned.within, say),
        before="{} ({})".format(*before),
        count=learned.witnesses,
        since=formats.date_format(min(one.at for one in counting).date()) if counting else "",
        source="own" if learned.witnesses else "estimate",
    )


def _counts(found: Figure, one: Seen) -> bool:
    return one.key in dict(found.learned.weights)


def witness_lines(
    found: Figure,
    sets: Mapping[int, PlannedSet],
    left: Mapping[str, LeftOut],
    say: Figures,
) -> list[WitnessLine]:
    """Return the rows of a figure's measurements, the newest first."""
    weights, doubts = dict(found.learned.weights), dict(found.learned.doubts)
    lines = []
    for one in found.seen:
        out = left.get(one.key)
        why = _(one.why) if one.why else ""
        if not why and not out and one.key not in weights:
            why = _("before the figure was begun anew, or too many newer ones")
        scale = scale_of(one)
        lines.append(
            WitnessLine(
                key=one.key,
                date=formats.date_format(one.at.date()),
                set=sets.get(one.set_id),
                told=told(one, say),
                value=NOT_KNOWN if scale is None else value_text(found, scale, say),
                share=None if out else weights.get(one.key),
                why=why,
                doubtful=doubts.get(one.key, 0.0) > 0.5,
                left=out,
                can_leave=out is None and one.key in weights,
            )
        )
    return lines


def witness_choices(found: Figure, say: Figures) -> list[tuple[str, str]]:
    """Return the measurements that count, the newest first, as a form offers them."""
    counting = dict(found.learned.weights)
    return [
        (one.key, f"{formats.date_format(one.at.date())}: {told(one, say)}")
        for one in found.seen
        if one.key in counting
    ]


def scale_of(one: Seen) -> float | None:
    """Return what one measurement alone says, on the scale of its figure."""
    if one.witness is None:
        return None
    if isinstance(one.witness, Drawdown):
        return alone_stops(one.witness)
    return one.witness.value


def told(one: Seen, say: Figures) -> str:
    """Return what was read, counted or noted."""
    detail = one.detail
    if isinstance(detail, FlashMetered):
        return _flash_told(detail, say)
    if isinstance(detail, PackStay):
        return _stay_told(detail, one.witness, say)
    if isinstance(detail, Counted):
        words = {"n": detail.count, "mean": say.number(detail.mean, 1)}
        words["filed"] = detail.filed
        if detail.filed:
            return _("%(n)s counted, %(filed)s of them by files, %(mean)s on the mean") % words
        return (
            ngettext(
                "%(n)s counted, %(mean)s on the mean",
                "%(n)s counted, %(mean)s on the mean",
                detail.count,
            )
            % words
        )
    if isinstance(detail, Compared):
        told = {"ev": say.number(detail.metered_ev100, 1)}
        told["estimate"] = say.number(detail.estimated_ev100, 1)
        return _("EV %(ev)s metered, %(estimate)s by the equations") % told
    return ""


def _flash_told(metered: FlashMetered, say: Figures) -> str:
    words = [
        _("%(mark)s at %(distance)s, power %(power)s, ISO %(iso)s")
        % {
            "mark": f_mark(nearest_f_number(metered.f_number)),
            "distance": say.length(metered.distance_m),
            "power": power_mark(metered.power),
            "iso": say.number(metered.iso),
        }
    ]
    if metered.daylight_f_number is not None:
        words.append(_daylight_told(metered, say))
    if metered.to_lens:
        words.append(_("dome to the lens"))
    return ", ".join(words)


def _daylight_told(metered: FlashMetered, say: Figures) -> str:
    times = daylight_over_flash(metered)
    if times is None:
        return _("as bright as the daylight alone")
    if times < MENTIONED_TIMES:
        return _("daylight taken out")
    told = {"times": say.number(times, 1)}
    return _("daylight taken out, %(times)s times as bright as the lamp: it counts for less") % told


def _stay_told(detail: PackStay, witness: Drawdown | None, say: Figures) -> str:
    shares = [
        NOT_KNOWN if share is None else f"{say.number(share * 100)} %"
        for share in (detail.stay.in_share, detail.stay.out_share)
    ]
    words = [_("%(first)s to %(last)s of the charge") % {"first": shares[0], "last": shares[1]}]
    if witness is not None:
        flashes = say.number(witness.full_power_flashes)
        words.append(_("%(flashes)s flashes as at full") % {"flashes": flashes})
    if detail.temperature_c is not None:
        words.append(say.temperature(detail.temperature_c))
    return ", ".join(words)


def drawing_of(found: Figure, lines: list[WitnessLine], say: Figures) -> str:
    """Return the drawing of a figure: every measurement, what was held before, what is now."""
    seen = {one.key: scale_of(one) for one in found.seen}
    marks = [
        Mark(line.date, seen[line.key], line.share) for line in lines if seen[line.key] is not None
    ]
    before = Span(_("held before"), found.prior.middle, found.prior.within)
    now = Span(_("held now"), found.learned.middle, found.learned.within)
    return witnesses_drawing(name_of(found), before, now, marks, _ticks(found, before, marks, say))


def _ticks(found: Figure, before: Span, marks: list[Mark], say: Figures) -> list[Tick]:
    step = TICK_STEPS.get(found.kind, 0.25)
    edges = [before.middle - before.within, before.middle + before.within]
    edges += [mark.value for mark in marks]
    first, last = math.floor(min(edges) / step) - 1, math.ceil(max(edges) / step) + 1
    places = PLACES.get(found.kind, 0)
    ticks = []
    for place in range(first, last + 1):
        at = place * step
        if found.kind == "daylight":
            label = say.number(at, places, sign=True)
        else:
            label = say.number(2.0 ** (at / SCALE[found.kind]), places)
        ticks.append(Tick(at, label))
    return ticks


def reading_told(reading: FlashReading, say: Figures) -> str:
    """Return what a flash reading that is kept now did to its figure."""
    key = f"flash-reading:{reading.pk}"
    for found in figures():
        for one in found.seen:
            if one.key == key and one.why:
                return _("The flash reading is kept. It teaches nothing: %(why)s.") % {
                    "why": _(one.why)
                }
            if one.key == key:
                line = figure_line(found, say)
                return _("The flash reading is kept. %(name)s: %(value)s, %(spread)s.") % {
                    "name": line.name,
                    "value": line.value,
                    "spread": line.spread,
                }
    return _("The flash reading is kept.")

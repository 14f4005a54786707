"""Ready-made kinds of kit with typical figures, each with its source beside it.

They let a house plan before it has metered anything. Losses and gains of modifiers, watt-hours,
masses and sizes are what the trade takes for usual; a figure somebody published or measured says
so. No figure here is of one make.
"""

from dataclasses import dataclass
from functools import cache

from django.conf import settings
from django.utils.text import slugify
from django.utils.translation import gettext, override
from django.utils.translation import gettext_noop as _  # all is translated when it is read

from workshops.models import (
    Ballast,
    Battery,
    Charger,
    Gel,
    KitKind,
    Meter,
    Modifier,
    NdFilter,
    Stand,
    Strobe,
    Trigger,
)
from workshops.words import number_text

# Stands in the notes of every kind added from here, until somebody replaces it.
TYPICAL = _("Typical figures, meter yours.")

USUAL = _("common practice, no source")
MIDDLE = _("common practice, no source: the middle of %(low)s and %(high)s")
DEFINED = _("by definition")
RIGHT_WITHIN = _("heads of four sizes, published or measured, lie this far apart")
GUIDE_600 = _("published for 600 W.s in an article on strobes on location")
GUIDE_SCALED = _("the published 80 m of 600 W.s, less by the root of the energy")
HOT_SHOE = _("measured with one full-size unit, zoomed to 50 mm")
WHITE_UMBRELLA = _("common practice -1.5 to -2; one of 110 cm measured -2 against a bare flash")
SHOOT_THROUGH = _("measured with a hot-shoe flash; common practice -1.5 to -2")
SYNC = _("measured: a black band at 1/200, none at 1/160")
ISO_2720 = _("ISO 2720, usual for this receptor")
GEL_LOSS = _("published in a lighting column")
TWO_SERIES = _("two rival series of gels: the middle of %(low)s and %(high)s")
FROM_MEMORY = _("from memory, of one series of gels; makers differ")
WATER = _("a litre of water is a kilogram: filled to the brim")


@dataclass(frozen=True)
class Sourced:
    """A typical figure and where it is from."""

    value: object
    source: str
    limits: tuple[float, float] | None = None  # the figure is the middle of these

    @property
    def words(self) -> str:
        """The source in the language that is active."""
        if self.limits is None:
            return gettext(self.source)
        low, high = (number_text(limit) for limit in self.limits)
        return gettext(self.source) % {"low": low, "high": high}


@dataclass(frozen=True)
class ReadyMade:
    """A kind as it would be added; ``battery`` is the English name of the one it brings along."""

    of: type[KitKind]
    english: str
    figures: dict[str, Sourced]
    battery: str = ""
    advice: str = ""

    @property
    def key(self) -> str:
        """What a form calls it, the same in every language."""
        return slugify(self.english)

    @property
    def name(self) -> str:
        return gettext(self.english)

    @property
    def names(self) -> set[str]:
        """Its name in every language of the site, without case."""
        return {name.casefold() for name in in_every_language(self.english)}

    def record(self) -> KitKind:
        """Return it as a new record, not stored, its notes in the language that is active."""
        values = {field: figure.value for field, figure in self.figures.items()}
        notes = " ".join(gettext(text) for text in (TYPICAL, self.advice) if text)
        values.setdefault("category", self.of.own_category)
        return self.of(name=self.name, notes=notes, **values)


@cache
def in_every_language(english: str) -> frozenset[str]:
    """Return a text in every language of the site."""
    texts = set()
    for code, _name in settings.LANGUAGES:
        with override(code):
            texts.add(gettext(english))
    return frozenset(texts)


def says_typical(notes: str) -> bool:
    """Return whether a kind's notes still say that its figures are the typical ones."""
    return any(sentence in notes for sentence in in_every_language(TYPICAL))


def _usual(**figures) -> dict[str, Sourced]:
    return {name: Sourced(value, USUAL) for name, value in figures.items()}


def _strobe(name, energy_ws, guide_number_m, source, battery, **figures) -> ReadyMade:
    energy_source = HOT_SHOE if source == HOT_SHOE else DEFINED
    figures = _usual(**figures) | {
        "energy_ws": Sourced(energy_ws, energy_source),
        "guide_number_m": Sourced(guide_number_m, source),
        "guide_number_spread_stops": Sourced(1.0, RIGHT_WITHIN),
    }
    advice = _("Tick high-speed sync and TTL if yours has them.")
    return ReadyMade(Strobe, name, figures, battery, advice)


def _modifier(name, stops, source, *, limits=None, **figures) -> ReadyMade:
    figures = _usual(**figures) | {"stops": Sourced(stops, source, limits)}
    return ReadyMade(Modifier, name, figures)


def _beam(name, stops, source, **figures) -> ReadyMade:
    """A hard reflector; where its beam starts is not known until it is metered."""
    return _modifier(name, stops, source, face="beam", drag_coefficient=1.42, **figures)


def _meter(name, receptor, incident_constant) -> ReadyMade:
    figures = {
        "receptor": Sourced(receptor, DEFINED),
        "incident_constant": Sourced(incident_constant, ISO_2720),
        "reflected_constant": Sourced(12.5, ISO_2720),
    }
    return ReadyMade(Meter, name, figures)


def _gel(name, loss_stops, shift_mired, source=TWO_SERIES, limits=None) -> ReadyMade:
    figures = {
        "loss_stops": Sourced(loss_stops, GEL_LOSS),
        "shift_mired": Sourced(shift_mired, source, limits),
    }
    return ReadyMade(Gel, name, figures)


_BOX = {"shape": "rectangle", "drag_coefficient": 1.2}
_OCTA = {"shape": "round", "drag_coefficient": 1.2}
_UMBRELLA = {"shape": "round", "drag_coefficient": 1.42, "overhang_m": 0.3}

KINDS = (
    ReadyMade(Battery, _("Set of four AA cells"), _usual(capacity_wh=10.0, mass_kg=0.12)),
    ReadyMade(Battery, _("Pack 40 Wh"), _usual(capacity_wh=40.0, mass_kg=0.4)),
    ReadyMade(Battery, _("Pack 75 Wh"), _usual(capacity_wh=75.0, mass_kg=0.7)),
    ReadyMade(Battery, _("Pack 95 Wh"), _usual(capacity_wh=95.0, mass_kg=0.8)),
    _strobe(
        _("Hot-shoe flash"), 76.0, 42.0, HOT_SHOE, "Set of four AA cells",
        mass_kg=0.5, least_power=1 / 128, recycle_s=3.0, idle_w=0.3, head_width_m=0.08,
    ),
    _strobe(
        _("Head 200"), 200.0, 46.0, GUIDE_SCALED, "Pack 40 Wh",
        mass_kg=1.0, least_power=1 / 128, recycle_s=2.0, idle_w=2.5, head_width_m=0.18,
    ),
    _strobe(
        _("Head 400"), 400.0, 65.0, GUIDE_SCALED, "Pack 75 Wh",
        mass_kg=2.0, least_power=1 / 128, recycle_s=1.5, idle_w=3.0, head_width_m=0.18,
    ),
    _strobe(
        _("Head 600"), 600.0, 80.0, GUIDE_600, "Pack 95 Wh",
        mass_kg=3.0, least_power=1 / 256, recycle_s=1.5, idle_w=4.0, head_width_m=0.18,
    ),
    _beam(_("Standard reflector"), 0.0, DEFINED, width_m=0.18, beam_deg=70.0, mass_kg=0.3),
    _beam(_("Grid 40 degrees"), -0.3, USUAL, width_m=0.18, beam_deg=40.0, mass_kg=0.45),
    _beam(_("Grid 20 degrees"), -1.0, USUAL, width_m=0.18, beam_deg=20.0, mass_kg=0.45),
    _beam(_("Grid 10 degrees"), -1.7, USUAL, width_m=0.18, beam_deg=10.0, mass_kg=0.45),
    _beam(
        _("Deep reflector"), 1.5, MIDDLE, limits=(1, 2),
        width_m=0.42, beam_deg=40.0, mass_kg=0.9, overhang_m=0.2,
    ),
    _modifier(
        _("Beauty dish 55"), -0.75, MIDDLE, limits=(-0.5, -1),
        shape="round", width_m=0.55, drag_coefficient=1.42, mass_kg=1.0, overhang_m=0.15,
    ),
    _modifier(
        _("Softbox 60"), -1.75, MIDDLE, limits=(-1.5, -2),
        width_m=0.6, height_m=0.6, mass_kg=0.8, overhang_m=0.2, **_BOX,
    ),
    _modifier(
        _("Softbox 90"), -2.0, USUAL,
        width_m=0.9, height_m=0.9, mass_kg=1.3, overhang_m=0.3, **_BOX,
    ),
    _modifier(_("Octa 90"), -2.0, USUAL, width_m=0.9, mass_kg=1.1, overhang_m=0.3, **_OCTA),
    _modifier(
        _("Octa 120"), -2.25, MIDDLE, limits=(-2, -2.5),
        width_m=1.2, mass_kg=1.5, overhang_m=0.3, **_OCTA,
    ),
    _modifier(
        _("White umbrella 110"), -1.75, WHITE_UMBRELLA, width_m=1.1, mass_kg=0.5, **_UMBRELLA
    ),
    _modifier(
        _("Shoot-through umbrella 100"), -1.7, SHOOT_THROUGH, width_m=1.0, mass_kg=0.4, **_UMBRELLA
    ),
    ReadyMade(
        Trigger,
        _("Simple trigger"),
        {"sync_penalty_stops": Sourced(1 / 3, SYNC)} | _usual(mass_kg=0.06),
    ),
    ReadyMade(
        Trigger,
        _("Advanced trigger"),
        {name: Sourced(True, DEFINED) for name in ("advanced", "hss", "ttl")}
        | _usual(sync_penalty_stops=0.0, mass_kg=0.1),
        advice=_("Enter under “Fits” the flash system it is made for: it serves no other."),
    ),
    ReadyMade(Stand, _("Light stand"), _usual(mass_kg=1.4, leg_radius_m=0.45, top_height_m=2.4)),
    ReadyMade(Stand, _("Heavy stand"), _usual(mass_kg=3.4, leg_radius_m=0.6, top_height_m=3.2)),
    ReadyMade(Ballast, _("Sandbag 5 kg"), _usual(mass_kg=5.0)),
    ReadyMade(Ballast, _("Sandbag 10 kg"), _usual(mass_kg=10.0)),
    ReadyMade(Ballast, _("Water bag 10 litres"), {"mass_kg": Sourced(10.0, WATER)}),
    _meter(_("Meter with dome"), "dome", 330.0),
    _meter(_("Meter with flat disc"), "flat", 250.0),
    ReadyMade(NdFilter, _("ND 2 stops"), _usual(stops=2.0, thread_mm=77.0)),
    ReadyMade(NdFilter, _("ND 3 stops"), _usual(stops=3.0, thread_mm=77.0)),
    ReadyMade(NdFilter, _("ND 6 stops"), _usual(stops=6.0, thread_mm=77.0)),
    _gel(_("1/4 CTO"), 0.25, 53.0, limits=(42, 64)),
    _gel(_("1/2 CTO"), 0.5, 95.0, limits=(81, 109)),
    _gel(_("Full CTO"), 1.1, 163.0, limits=(159, 167)),
    _gel(_("Full CTB"), 1.5, -137.0, FROM_MEMORY),
    ReadyMade(Charger, _("Charger"), _usual(mass_kg=0.4)),
)  # fmt: skip
BY_ENGLISH = {kind.english: kind for kind in KINDS}

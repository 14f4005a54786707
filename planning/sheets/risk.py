"""The risk sheet of a place: what can hurt somebody there, what is done about it, who decides."""

from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.figures import Figures
from planning.sheets import pdf
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language


@dataclass(frozen=True)
class Place:
    """A location as its risk sheet tells of it; texts as recorded, figures in our units."""

    name: str
    timezone: str
    coordinates: str = ""
    grid: str = ""
    emergency: str = ""
    signal: str = ""
    access: str = ""
    parking: str = ""
    toilets: str = ""
    hazards: tuple[tuple[str, str], ...] = ()  # hazard, control, as the house wrote them
    footing: str = ""
    slope_deg: float = 0.0
    wind_exposure_factor: float = 1.0
    under_trees: bool = False
    water: str = "none"
    walk_min: float = 0.0
    permit: str = ""
    permit_until: str = ""
    permit_hours: str = ""
    head_limit: int | None = None
    stands_clause: str = ""
    fallback: str = ""


@dataclass(frozen=True)
class Limits:
    """The house's own limits."""

    gust_m_s: float
    hold_force_n: float
    off_force_n: float
    carry_cap_kg: float
    tide_margin_min: float


@dataclass(frozen=True)
class Decides:
    """Whose word counts, and how to reach them; empty where the sheet is for no one day."""

    workshop: str = ""
    day: str = ""
    lead: str = ""
    phone: str = ""
    others: tuple[str, ...] = ()
    sensitive: bool = False  # somebody must not be near strobe effects
    cautions: tuple[str, ...] = field(default=())  # raised by the figures of the day's sets there


@dataclass(frozen=True)
class Row:
    """One hazard with what is done about it."""

    hazard: str
    control: str
    own: bool = False  # written by the house for this place


def rows(place: Place, limits: Limits, decides: Decides, say: Figures) -> list[Row]:
    """Return the place's own hazards, then what every day with strobes brings, as it applies.

    Source of the usual controls: the trade's own guides to safety on location, as common
    practice; the lightning rule is that of national weather services.
    """
    own = [Row(hazard, control, own=True) for hazard, control in place.hazards]
    return [
        *own,
        *_wind(place, limits, say),
        *_water(place, limits, say),
        *_ground(place),
        *_people(decides),
    ]


def _permit(place: Place) -> str:
    """Return what is allowed, in one line of as many parts as there are; none of them, nothing."""
    until = place.permit_until and f"{_('until')} {place.permit_until}"
    heads = place.head_limit and ngettext(
        "%(n)s person at most", "%(n)s people at most", place.head_limit
    ) % {"n": place.head_limit}
    parts = (place.permit[:80], until, place.permit_hours[:120], heads, place.stands_clause[:200])
    return "; ".join(part.strip().rstrip(".") for part in parts if part)


def _wind(place: Place, limits: Limits, say: Figures) -> list[Row]:
    control = _(
        "A bag on every stand, always, hung clear of the ground. From %(hold)s on a box somebody "
        "holds it; above %(off)s the modifier comes off; above a gust of %(gust)s everything is "
        "struck: head down first, then modifier, then head."
    ) % {
        "hold": say.force(limits.hold_force_n),
        "off": say.force(limits.off_force_n),
        "gust": say.limit_speed(limits.gust_m_s),
    }
    if place.wind_exposure_factor > 1.0:
        exposed = _("Gusts are stronger here than forecast: reckon with %(factor)s times.")
        factor = say.number(place.wind_exposure_factor, 1)
        control = f"{control} {exposed % {'factor': factor}}"
    found = [Row(_("Wind: a stand falls"), control)]
    if place.under_trees:
        found.append(
            Row(
                _("Trees: dead limbs fall in gusts"),
                _("Look up before placing the group; leave the wood when branches move."),
            )
        )
    return found


def _water(place: Place, limits: Limits, say: Figures) -> list[Row]:
    if place.water == "none":
        return []
    found = [
        Row(
            _("Water and electricity"),
            _(
                "A flash head holds a deadly voltage whatever its battery: no head nearer to "
                "water than it can fall, a person on each, packs dry. A wet head is not touched. "
                "No mains at the water."
            ),
        )
    ]
    if place.water == "tidal":
        found.append(
            Row(
                _("Rising water cuts off the way out"),
                _(
                    "Today's official table decides. Everybody is past the low point %(margin)s "
                    "before it floods; swell and low pressure come on top. Cut off: call the "
                    "coastguard, do not wade."
                )
                % {"margin": say.amount(limits.tide_margin_min, "min")},
            )
        )
    return found


def _ground(place: Place) -> list[Row]:
    found = []
    if place.slope_deg > 0 or place.footing.casefold() in ("sand", "mud", "soft", "shingle"):
        found.append(
            Row(
                _("Soft or sloping ground"),
                _("Boards under the feet, the long leg downhill, boxes low."),
            )
        )
    found.append(
        Row(
            _("Cables, bags and cases to fall over"),
            _("Taped or out of the way; bags in one place, watched; 1.5 m of path left free."),
        )
    )
    return found


def _people(decides: Decides) -> list[Row]:
    flashes = _("One live trigger, no bursts, no stroboscopic mode; told at the briefing.")
    if decides.sensitive:
        flashes = _(
            "Somebody here must not be near strobe effects. One live trigger, no bursts, no "
            "stroboscopic mode; who is sensitive covers one eye and turns away."
        )
    return [
        Row(_("Flashes"), flashes),
        Row(
            _("Lightning"),
            _(
                "Thunder heard: stop. Into a building or a closed car, not under trees; 30 "
                "minutes from the last thunder before anybody goes out again."
            ),
        ),
        Row(
            _("Heat, cold, standing still"),
            _("Shade and water, or a coat between frames; the model says when it is enough."),
        ),
        Row(
            _("Lithium packs"),
            _(
                "No swollen, wet or dropped pack in use. Out of the sun, never charged unattended. "
                "A hot or smoking one: away from people, into sand, and call for help."
            ),
        ),
        Row(
            _("Way back in the dark, somebody missing"),
            _("Head-torches; counted off at the meeting point; nobody sets up alone."),
        ),
    ]


def risk_pdf(places: list[tuple[Place, Decides]], limits: Limits, options: PrintOptions) -> bytes:
    """Return one leaf for each place. Raises SheetFailed when the renderer has a complaint."""
    with in_language(options):
        leaves = []
        for place, decides in places:
            say = options.figures(place.timezone)
            leaves.append(
                {
                    "place": place,
                    "decides": decides,
                    "rows": rows(place, limits, decides, say),
                    "say": say,
                    "limits": limits,
                    "permit": _permit(place),
                }
            )
    return pdf.leaves_pdf("sheets/risk.html", leaves, options)

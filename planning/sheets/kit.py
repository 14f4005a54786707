"""The kit sheet: every unit with its code, who takes it in what state, what it weighs."""

from dataclasses import dataclass

from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _

from planning.drawings.code import code
from planning.sheets import pdf
from planning.sheets.letters import printable
from planning.sheets.options import PrintOptions
from planning.sheets.pages import in_language

FREE_LINES = 4  # for what is handed out beyond the list; fewer where that saves a page (paper.css)
# 37 to 41 modules with the quiet zone (addresses up to 62 letters) are 0.33 mm or more each: 7 dots
# of a 600 dpi printer. Tried by reading it back from the printed page.
CODE_MM = 13.5


@dataclass(frozen=True)
class Unit:
    """One thing on the list, who has it or is booked with it, and what is known of its state."""

    address: str
    tag: str
    person: str = ""
    condition: str = ""  # as signed out
    last: str = ""  # as it came back last


@dataclass(frozen=True)
class Kind:
    name: str
    each_kg: float  # 0 where nobody entered it
    units: tuple[Unit, ...]


@dataclass(frozen=True)
class Load:
    """What one person carries, or everybody; ``unweighed`` units are in no mass."""

    person: str
    units: int
    mass_kg: float
    unweighed: int = 0


@dataclass(frozen=True)
class KitSheet:
    title: str
    day: str
    timezone: str
    kinds: tuple[Kind, ...]
    loads: tuple[Load, ...]  # by person; whoever is not named yet has no name and stands last
    all: Load
    stays: tuple[str, ...] = ()  # tags of the list that do not leave
    here_only: bool = False  # the codes lead to this machine


def kit_pdf(sheet: KitSheet, options: PrintOptions) -> bytes:
    """Return the kit sheet. Raises SheetFailed when the renderer has a complaint."""
    with in_language(options):
        leaf = {
            "sheet": sheet,
            "groups": [(kind, [(one, _code(one)) for one in kind.units]) for kind in sheet.kinds],
            "shared": any(load.person for load in sheet.loads),
            "free": range(FREE_LINES),
            "say": options.figures(sheet.timezone),
        }
    return pdf.leaves_pdf("sheets/kit.html", [leaf], options)


def _code(unit: Unit) -> str:
    title = _("Code of %(tag)s") % {"tag": printable(unit.tag)}
    return mark_safe(code(unit.address, CODE_MM, title))  # the drawing escapes its title

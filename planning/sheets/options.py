"""How a house prints: paper, units, clock, language, and the side its sheets turn over."""

from dataclasses import dataclass, replace

from planning.figures import Figures

PAPERS = {"a4": ("A4", 210.0, 297.0), "letter": ("Letter", 215.9, 279.4)}  # ISO 216; ANSI Y14.1
CLIP_MM = 15.0
SIDE_MM = 10.0
FOOT_MM = 9.0


@dataclass(frozen=True)
class PrintOptions:
    house: str = ""
    paper: str = "a4"  # a4, letter
    units: str = "metric"  # metric, imperial
    clock: str = "24"  # 24, 12
    language: str = "en"
    flip: str = "long"  # long: like a book; short: like a clipboard

    @property
    def paper_name(self) -> str:
        return PAPERS[self.paper][0]

    @property
    def paper_width_mm(self) -> float:
        return PAPERS[self.paper][1]

    @property
    def text_width_mm(self) -> float:
        return PAPERS[self.paper][1] - 2 * SIDE_MM

    @property
    def text_height_mm(self) -> float:
        return PAPERS[self.paper][2] - CLIP_MM - FOOT_MM

    def figures(self, timezone: str) -> Figures:
        return Figures(units=self.units, clock_hours=int(self.clock), timezone=timezone)


def print_options(house, *, paper: str | None = None) -> PrintOptions:
    """Return the options of a House record, on another paper where one is asked for."""
    options = PrintOptions(
        house=house.name,
        paper=house.paper,
        units=house.units,
        clock=house.clock,
        language=house.language,
        flip=house.sheet_flip_side,
    )
    return replace(options, paper=paper) if paper else options

"""Which letters the sheet's own fonts hold, and what stands in for the others.

Without this the renderer would borrow a font of the machine it runs on, and the same sheet
would come out differently on another.
"""

import re
import unicodedata
from collections.abc import Iterable
from functools import cache

import fontpkg
from fontTools.ttLib import TTFont

FAMILIES = ("Source Sans 3", "Noto Sans")
STAND_IN = "\N{WHITE SQUARE}"
UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn")  # controls, joiners, halves of pairs, private, unassigned
KEPT = "\n\t"
# Ends of lines and paragraphs that come with pasted text: a font may list them, and draws nothing.
BREAKS = ("Zl", "Zp")
# What of a page's HTML is not on the paper: titles (the drawings' too) and the tags themselves.
UNSHOWN = re.compile(r"<title>.*?</title>|<[^>]*>", re.DOTALL)


@cache
def _held() -> frozenset[int]:
    held: set[int] = set()
    for family in FAMILIES:
        with TTFont(fontpkg.path(family), lazy=True) as font:
            held.update(font.getBestCmap())
    return frozenset(held)


def printable(text: str) -> str:
    """Return the text with a square for each letter the fonts lack and no control signs."""
    if text.isascii() and text.replace("\n", "").replace("\t", "").isprintable():
        return text
    return text.translate(_PRINTED)


def missing_signs(texts: Iterable[str]) -> int:
    """Return how many signs of these texts the fonts lack: what a sheet must own up to."""
    return sum(printable(text).count(STAND_IN) - text.count(STAND_IN) for text in texts)


def missing_on(page: str) -> int:
    """Return how many signs of a page's own text the fonts lack, titles and names of tags aside."""
    if page.isascii():
        return 0
    return missing_signs([UNSHOWN.sub("", page)])


class _Printed(dict):
    """What is printed for each letter, worked out the first time a text holds it."""

    def __missing__(self, code: int) -> str:
        self[code] = _printable_letter(chr(code))
        return self[code]


def _printable_letter(letter: str) -> str:
    if letter in KEPT:
        return letter
    if unicodedata.category(letter) in UNSEEN:
        return ""
    if unicodedata.category(letter) in BREAKS:
        return "\n"
    return letter if ord(letter) in _held() else STAND_IN


_PRINTED = _Printed()

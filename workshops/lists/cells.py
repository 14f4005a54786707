"""What a cell holds: cleaned on the way in, no formula on the way out. Pure: no Django."""

import re
import unicodedata

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

# OWASP, CSV Injection: a cell that begins with one of these may be run by a spreadsheet.
STARTS = "=+-@\t\r\n\0＝＋－＠"
_IGNORED = " '\u00a0\u200b\ufeff"  # before a formula, some programs overlook these
_SPACES = re.compile(r"[^\S\n]+")
_UNSEEN = re.compile("[\u200b\u2060\ufeff\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_ROUNDED = re.compile(r"\d([.,]\d+)?E\+?\d+", re.IGNORECASE)

YES = frozenset(["yes", "y", "true", "x", "1", "si", "s", "✓", "✔", "verdadero"])
NO = frozenset(["no", "n", "false", "0", "falso"])


def risky(text: str) -> bool:
    """Return whether a spreadsheet might take a text for a formula."""
    return text[:1] in tuple(STARTS) or text.lstrip(_IGNORED)[:1] in tuple(STARTS)


def guarded(text: str) -> str:
    """Return a text no spreadsheet runs: an apostrophe before what might be a formula."""
    return "'" + text if risky(text) else text


def unguarded(text: str) -> str:
    """Return a text without the apostrophe ``guarded`` gave it."""
    return text[1:] if text[:1] == "'" and risky(text[1:]) else text


def cleaned(cell: str, *, lines: bool = False) -> str:
    """Return what a cell says: without our apostrophe, unseen characters and spare spaces.

    Line ends are kept with ``lines``, else they are spaces.
    """
    text = unicodedata.normalize("NFC", unguarded(cell.strip()))
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = _SPACES.sub(" ", _UNSEEN.sub("", text)).strip()
    return text if lines else " ".join(text.split())


def phone(text: str) -> str:
    """Return a phone number with plain signs. Raises NotUnderstood for one that lost digits."""
    if _ROUNDED.fullmatch(text):
        raise NotUnderstood(
            _(
                "%(typed)s was rounded by a spreadsheet: format the column as text, enter the "
                "number anew and save again"
            ),
            typed=text,
        )
    plain = re.sub(r"[‐‑‒–—]", "-", text)
    return re.sub(r"^tel[.:]*\s*", "", plain, flags=re.IGNORECASE)


def yes_or_no(text: str) -> bool:
    """Return whether a text says yes. Raises NotUnderstood where it says neither."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    word = "".join(one for one in apart if not unicodedata.combining(one))
    if word in YES or word in NO:
        return word in YES
    raise NotUnderstood(_("%(typed)s is neither: write yes or no"), typed=f"“{text[:40]}”")


def number(text: str) -> float:
    """Return a figure with a decimal point or comma. Raises NotUnderstood for anything else."""
    if re.fullmatch(r"[+-]?\d+([.,]\d+)?", text):
        return float(text.replace(",", "."))
    raise NotUnderstood(_("%(typed)s is not a number, such as 2.5"), typed=f"“{text[:40]}”")

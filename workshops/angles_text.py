"""A latitude and a longitude written in figures, signs and words. Pure.

A comma between digits is a decimal comma where the figures then make a pair, else it parts the
two; a point is always a decimal point.
"""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

SAMPLES = "50.7351, -3.5320 / 50°44'06\"N 3°31'55\"W / geo:50.7351,-3.5320"
MOST_DEG = (90.0, 180.0)  # latitude, longitude
METRES = 1000.0  # a figure from here on is no angle mistyped, but metres of a map grid
LATITUDE, LONGITUDE = "latitude", "longitude"

ALIKE = {  # signs that stand for the same thing on keyboards, maps and word processors
    "°": "º˚",
    "'": "′’ʹ‘´`ʼ",
    '"': "″”ʺ“„¨",
    "-": "−–—‐‑",
    ".": "٫",
    ",": "،、",
}
PLAIN = str.maketrans({other: sign for sign, others in ALIKE.items() for other in others})
HEMISPHERES = {  # O is the Spanish oeste
    **dict.fromkeys(("n", "north", "norte"), ("N", LATITUDE)),
    **dict.fromkeys(("s", "south", "sur"), ("S", LATITUDE)),
    **dict.fromkeys(("e", "east", "este"), ("E", LONGITUDE)),
    **dict.fromkeys(("w", "west", "o", "oeste"), ("W", LONGITUDE)),
}
LABELS = {
    **dict.fromkeys(("lat", "latitude", "latitud"), LATITUDE),
    **dict.fromkeys(("lon", "lng", "long", "longitude", "longitud"), LONGITUDE),
}
UNITS = {
    **dict.fromkeys(("°", "d", "deg", "degs", "degree", "degrees", "grado", "grados"), 0),
    **dict.fromkeys(("'", "m", "min", "mins", "minute", "minutes", "minuto", "minutos"), 1),
    **dict.fromkeys(('"', "sec", "secs", "second", "seconds", "seg", "segundo", "segundos"), 2),
}
WORDS = frozenset((*HEMISPHERES, *LABELS, *UNITS))
CHAIN = re.compile(r"\d+(?:,\d+)+")
LONE = re.compile(r"[+-]?\d+,\d+")
GLUED = re.compile(r"(?<=\d)([dms])(?=[nsewo]\b)", re.IGNORECASE)
QUOTED = re.compile(r"\"([A-Za-z]+)\"")
DASHED = re.compile(r"(?<=\d)-(?=\d)")
NATIONAL = re.compile(r"(?:[A-Z]{2}|[A-DF-MP-RT-VX-Z])\s?\d{2,5}\s?\d{2,5}", re.IGNORECASE)
TOKEN = re.compile(
    r"(?P<number>[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))|(?P<word>[^\W\d_]+|[°'\"])"
    r"|(?P<part>[,;/|])|(?P<ignored>[\s:=()\[\]{}])|(?P<other>.)",
    re.DOTALL,
)


@dataclass(frozen=True)
class _Token:
    kind: str  # number, unit, letter, label, part
    text: str
    place: int = 0  # of a unit: 0 degrees, 1 minutes, 2 seconds
    axis: str = ""  # of a letter or label


@dataclass
class _Half:
    """One coordinate: its figures by place, and what tells its direction."""

    axis: str = ""
    letter: str = ""
    figures: dict[int, str] = field(default_factory=dict)


def read(text: str) -> tuple[float, float]:
    """Return latitude and longitude in degrees; raise NotUnderstood with what to enter."""
    fault = None
    for reading in _readings(_plain(text)):
        try:
            return _angles(reading)
        except NotUnderstood as refusal:
            fault = fault or refusal
    raise fault


def checked(latitude_deg: float, longitude_deg: float) -> tuple[float, float]:
    """Return the pair if it lies on the globe; raise NotUnderstood if not."""
    if max(abs(latitude_deg), abs(longitude_deg)) >= METRES:
        raise NotUnderstood(
            _(
                "These look like metres of a map grid. With its zone a UTM position is read "
                "(30U 462576 5620541); otherwise enter latitude and longitude in degrees."
            )
        )
    if abs(latitude_deg) > MOST_DEG[0]:
        raise NotUnderstood(
            _("A latitude stays within 90 degrees; it comes first, then the longitude.")
        )
    if abs(longitude_deg) > MOST_DEG[1]:
        raise NotUnderstood(_("A longitude stays within 180 degrees; the latitude comes first."))
    return latitude_deg + 0.0, longitude_deg + 0.0  # no negative zero


def summed(parts: Sequence[str]) -> float:
    """Return degrees from the unsigned texts of degrees, minutes and seconds."""
    if any("." in part.rstrip(".") for part in parts[:-1]):
        raise NotUnderstood(_("Only the last figure may have decimals: 50 44.106 or 50 44 06.4."))
    values = [float(part) for part in parts]
    if any(value >= 60 for value in values[1:]):
        raise NotUnderstood(_("Minutes and seconds stay below 60: write 51 00, not 50 60."))
    return sum(value / 60**place for place, value in enumerate(values))


def _plain(text: str) -> str:
    """The text in one way of writing: plain digits and signs, no invisible letters."""
    seen = (letter for letter in text if unicodedata.category(letter) != "Cf")
    digits = (str(unicodedata.decimal(x)) if x.isdecimal() else x for x in seen)
    # Signs first: NFKC, which narrows wide letters, would take º for the letter o.
    plain = unicodedata.normalize("NFKC", "".join(digits).translate(PLAIN)).replace("''", '"')
    return QUOTED.sub(r"\1", " ".join(plain.split())).strip(" .,;/")


def _readings(plain: str) -> list[str]:
    """The texts to try in order, decimal commas made points; "50,7" alone is one number."""
    commas = [chain.count(",") for chain in CHAIN.findall(plain)]
    if re.search(r"\d\.\d", plain) or not commas or any(count not in (1, 3) for count in commas):
        return [plain]
    if LONE.fullmatch(plain) and plain.strip("+-0") == ",":
        return [plain]
    decimal = re.sub(r"(\d+),(\d+)", r"\1.\2", plain)
    only_one = sum(commas) == 1 and not LONE.fullmatch(plain)
    return [decimal, plain] if only_one else [decimal]


def _angles(plain: str) -> tuple[float, float]:
    tokens = _tokens(plain)
    numbers = sum(token.kind == "number" for token in tokens)
    if numbers == 0:
        raise NotUnderstood(_("Enter one latitude and one longitude, such as %(s)s"), s=SAMPLES)
    if numbers == 1:
        raise NotUnderstood(
            _("That is one number only: enter latitude and longitude, such as %(s)s"), s=SAMPLES
        )
    halves = [_half(part) for part in _parts(tokens)]
    axes = [half.axis for half in halves]
    if axes[0] == axes[1] != "":
        raise NotUnderstood(
            _("Both are of one direction: enter a latitude (N or S) and a longitude (E or W).")
        )
    values = [_degrees(half) for half in halves]
    return checked(*(reversed(values) if axes[0] == LONGITUDE else values))


def _tokens(plain: str) -> list[_Token]:
    if NATIONAL.fullmatch(plain):
        raise NotUnderstood(
            _("That looks like a national grid reference: enter a pair such as %(s)s"), s=SAMPLES
        )
    text = GLUED.sub(r"\1 ", plain)
    words = [match["word"].lower() for match in TOKEN.finditer(text) if match["word"]]
    if DASHED.search(text):
        if not any(word in HEMISPHERES for word in words):
            raise NotUnderstood(
                _("Put a comma between the two figures, so that a minus is told from a dash.")
            )
        text = DASHED.sub(" ", text)  # as on charts: 50-44.1N 003-31.9W
    found: list[_Token] = []
    for match in TOKEN.finditer(text):
        kind = match.lastgroup
        if kind == "word":
            found.append(_word(match[0], found))
        elif kind in ("number", "part"):
            found.append(_Token(kind, match[0]))
        elif kind == "other":
            raise _stranger(match[0])
    return found


def _word(word: str, before: Sequence[_Token]) -> _Token:
    low = word.lower()
    # In "50d44m06s" the s means seconds; elsewhere it is south. Case tells "52m10S" from it.
    spelled = [token.text for token in before if token.kind == "unit"][-1:]
    after = {"s": ("m", "min"), "S": ("M", "MIN")}.get(word, ())
    if spelled and spelled[0] in after and before[-1].kind == "number":
        return _Token("unit", word, place=2)
    if low in HEMISPHERES:
        letter, axis = HEMISPHERES[low]
        return _Token("letter", letter, axis=axis)
    if low in LABELS:
        return _Token("label", word, axis=LABELS[low])
    if low in UNITS:
        return _Token("unit", word, place=UNITS[low])
    raise _stranger(word)


def _stranger(word: str) -> NotUnderstood:
    if word in "+-":
        return NotUnderstood(
            _("A sign stands right before its figure: -3.5320, without a blank between.")
        )
    return NotUnderstood(
        _("“%(word)s” is not part of coordinates: enter a pair such as %(s)s"),
        word=word[:20],
        s=SAMPLES,
    )


def _parts(tokens: list[_Token]) -> tuple[list[_Token], list[_Token]]:
    """The tokens of the two halves: told by labels, by letters, or by where figures part."""
    told = [token for token in tokens if token.kind != "part"]
    labels = [index for index, token in enumerate(told) if token.kind == "label"]
    letters = [index for index, token in enumerate(told) if token.kind == "letter"]
    if labels:
        if len(labels) != 2 or labels[0] != 0:
            raise NotUnderstood(_("Name both before their figures: lat 50.7351 lon -3.5320"))
        return told[: labels[1]], told[labels[1] :]
    if not letters:
        start = _second_start(tokens)
        return tokens[:start], tokens[start:]
    if len(letters) != 2:
        raise NotUnderstood(_("Name both hemispheres or none, such as %(s)s"), s=SAMPLES)
    start = letters[1] if letters[0] == 0 else letters[0] + 1
    return told[:start], told[start:]


def _second_start(tokens: list[_Token]) -> int:
    """Where the second coordinate starts when no word tells."""
    commas = [index for index, token in enumerate(tokens) if token.kind == "part"]
    if len(commas) == 1:
        return commas[0]
    numbers = [index for index, token in enumerate(tokens) if token.kind == "number"]
    degrees = [
        index
        for index in numbers
        if any(token.kind == "unit" and token.place == 0 for token in tokens[index + 1 : index + 2])
    ]
    if len(degrees) == 2 and degrees[0] == numbers[0]:
        return degrees[1]
    signed = [index for index in numbers[1:] if tokens[index].text[0] in "+-"]
    if len(signed) == 1 and not commas:
        return signed[0]
    if degrees or len(numbers) not in (2, 4, 6):
        raise NotUnderstood(
            _("It cannot be told which of the %(n)d figures belong together: write %(s)s"),
            n=len(numbers),
            s=SAMPLES,
        )
    return numbers[len(numbers) // 2]


def _half(tokens: Sequence[_Token]) -> _Half:
    half, last, loose = _Half(), -1, ""
    for index, token in enumerate(tokens):
        if token.kind in ("letter", "label"):
            inside = token.kind == "letter" and 0 < index < len(tokens) - 1
            if (inside and tokens[index - 1].kind != "label") or half.axis not in ("", token.axis):
                raise NotUnderstood(
                    _("Put the letters all before or all after, such as %(s)s"), s=SAMPLES
                )
            half.axis = token.axis
            half.letter = token.text if token.kind == "letter" else half.letter
        elif token.kind == "number":
            last += 1
            half.figures[last] = loose = token.text
        elif token.kind == "unit":
            if not loose or token.place < last:
                raise _order()
            half.figures[token.place] = half.figures.pop(last)
            last, loose = token.place, ""
    if not half.figures or last > 2 or 0 not in half.figures:
        raise _order()
    return half


def _order() -> NotUnderstood:
    return NotUnderstood(
        _("Each of the two has degrees, then minutes, then seconds, such as %(s)s"), s=SAMPLES
    )


def _degrees(half: _Half) -> float:
    texts = [half.figures.get(place, "0") for place in range(max(half.figures) + 1)]
    sign = texts[0][0] if texts[0][0] in "+-" else ""
    if half.letter and sign:
        raise NotUnderstood(_("Give a sign or a letter, not both: 3.5320 W is -3.5320."))
    if any(text[0] in "+-" for text in texts[1:]):
        raise NotUnderstood(_("Minutes and seconds have no sign of their own."))
    size = summed([text.lstrip("+-") for text in texts])
    return -size if sign == "-" or half.letter in ("S", "W") else size

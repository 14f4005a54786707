"""Which letters the bytes of a file stand for. Pure: no Django."""

import codecs
import re
import unicodedata
from dataclasses import dataclass

from workshops.typed import NotUnderstood
from workshops.typed import gettext_noop as _

BOMS = (  # the longer first: UTF-32 little endian begins like UTF-16
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
SINGLE_BYTE = ("cp1252", "iso8859-1", "mac-roman", "cp850", "cp1250")
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", *SINGLE_BYTE)
# How files begin that are no text, from the signatures their formats publish.
BINARY = (
    (
        b"PK\x03\x04",
        _(
            "This is a workbook (XLSX, ODS) or an archive, not a CSV file: open it, choose "
            "“Save as”, then CSV, and bring in that file."
        ),
    ),
    (
        b"\xd0\xcf\x11\xe0",
        _(
            "This is a workbook of an old kind (XLS), not a CSV file: open it, choose "
            "“Save as”, then CSV, and bring in that file."
        ),
    ),
    (b"%PDF", _("This is a PDF, not a CSV file: save the list itself as CSV.")),
)
NOT_TEXT = _(
    "This is no text file: it holds NUL bytes. Open it in a spreadsheet, choose “Save as”, then "
    "CSV, and bring in that file."
)
NO_NAMES = "ƒﬁﬂıµΩπ"  # letters that are in no name of western Europe
OPENS, CLOSES = "“‘„«¡¿–—•€\xa0", "”’»…–—™®€\xa0"  # signs that touch a word on one side
SAMPLES = 4  # words shown under each encoding
_WORD = re.compile(rb"""[^\s,;|"]*[\x80-\xff][^\s,;|"]*""")
_C1 = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")


@dataclass(frozen=True)
class Letters:
    """One way to read the bytes, and how words with accents look in it."""

    encoding: str
    sample: tuple[str, ...] = ()


@dataclass(frozen=True)
class Encodings:
    """The ways to read a file, the likeliest first; ``certain`` when only one makes sense."""

    choices: tuple[Letters, ...]
    certain: bool

    @property
    def best(self) -> str:
        return self.choices[0].encoding


def encodings(content: bytes) -> Encodings:
    """Return how a file's bytes may be read.

    Raises NotUnderstood, saying what to do, for a file that is no text.
    Source: Unicode Standard 23.8 for the byte order marks; RFC 3629 section 3 for UTF-8, which
    text in another encoding hardly ever resembles.
    """
    for start, sentence in BINARY:
        if content.startswith(start):
            raise NotUnderstood(sentence)
    named = next((name for bom, name in BOMS if content.startswith(bom)), "")
    for name in (named, _wide(content), "utf-8"):
        if name and (name != "utf-8" or b"\0" not in content) and _decodes(content, name):
            return Encodings((Letters(name),), certain=True)
    if b"\0" in content:
        raise NotUnderstood(NOT_TEXT)
    return Encodings(_single_byte(content), certain=False)


def decoded(content: bytes, encoding: str) -> str:
    """Return the text of a file. Raises NotUnderstood where the bytes are none in that encoding."""
    if encoding in SINGLE_BYTE:
        content = content.removeprefix(codecs.BOM_UTF8)  # a mark before what is no UTF-8 after all
    try:
        text = content.decode(encoding)
    except (UnicodeError, LookupError):
        raise NotUnderstood(
            _("The file cannot be read as %(encoding)s: choose another encoding."),
            encoding=encoding,
        ) from None
    if "\0" in text:
        raise NotUnderstood(NOT_TEXT)
    return text.removeprefix("\ufeff")


def _decodes(content: bytes, encoding: str) -> bool:
    try:
        return "\0" not in content.decode(encoding)
    except UnicodeError:
        return False


def _wide(content: bytes) -> str:
    """Return UTF-16 without a mark, by where its NUL bytes stand; empty for anything else."""
    if len(content) % 2 or b"\0" not in content:
        return ""
    even, odd = content[::2].count(0), content[1::2].count(0)
    if not even and odd > len(content) / 4:
        return "utf-16-le"
    return "utf-16-be" if not odd and even > len(content) / 4 else ""


def _single_byte(content: bytes) -> tuple[Letters, ...]:
    content = content.removeprefix(codecs.BOM_UTF8)
    # Names of people before headings, where there are both.
    head, _end, rest = content.partition(b"\n")
    words = list(dict.fromkeys(_WORD.findall(rest) + _WORD.findall(head)))[:1000]
    ways: dict[tuple[str, ...], tuple[int, str]] = {}
    for encoding in SINGLE_BYTE:
        try:
            read = tuple(word.decode(encoding) for word in words)
            content.decode(encoding)
        except UnicodeError:
            continue
        # What reads alike is offered once; control characters are nobody's words.
        if read not in ways and not _C1.search("".join(read)):
            ways[read] = (_oddities(read), encoding)
    if not ways:  # the only one that reads any byte
        return (Letters("iso8859-1"),)
    # Of what reads equally well the more usual encoding comes first, as it stands in the list.
    order = sorted(ways.items(), key=lambda way: way[1][0])
    return tuple(Letters(name, read[:SAMPLES]) for read, (_odd, name) in order)


def _oddities(words: tuple[str, ...]) -> int:
    """Return how many letters and signs stand where no word has them."""
    return sum(
        not letter.isascii() and _is_odd(letter, word[:place], word[place + 1 :])
        for word in words
        for place, letter in enumerate(word)
    )


def _is_odd(letter: str, head: str, tail: str) -> bool:
    before, after = head[-1:], tail[:1]
    if letter.isalpha():
        amid = before.islower() or (before.isalpha() and after.islower())
        rare = letter in NO_NAMES or unicodedata.category(letter) == "Lm"
        return rare or (letter.isupper() and amid)
    if before.isalpha() and after.isalpha():
        # O’Brien, l’Eau, d’argent, Ann’s; but Mar’a is another encoding's María.
        apostrophe = after.isupper() or len(head) <= 2 or tail == "s"
        return letter != "·" and not (letter == "’" and apostrophe)
    return (after.isalpha() and letter not in OPENS) or (before.isalpha() and letter not in CLOSES)

"""The head of a JPEG file -> what its Exif says of the frame, or in words why it says nothing.

Pure. What is not stated, cannot be true or stands under a zero is None, never a guess. Where a
frame was taken and what somebody wrote into it are never read.

Source of tags, types and rules: CIPA DC-008 (Exif) tables 4, 7 and 8 and annex D for APEX.
"""

import math
import re
from dataclasses import dataclass, fields
from datetime import UTC, datetime

from planning.after.jpeg import NotRead, exif_blocks
from planning.after.tiff import Block, Value
from planning.plan.words import gettext_noop as _

MAKE, MODEL, EXIF_IFD = 0x010F, 0x0110, 0x8769
EXPOSURE_TIME, F_NUMBER, SHUTTER_SPEED, APERTURE = 0x829A, 0x829D, 0x9201, 0x9202
SENSITIVITY, SENSITIVITY_TYPE, STANDARD_OUTPUT, RECOMMENDED, ISO_SPEED = (
    0x8827, 0x8830, 0x8831, 0x8832, 0x8833,
)  # fmt: skip
FLASH, FOCAL_LENGTH, SERIAL = 0x9209, 0x920A, 0xA431
OFFSET = 0x9010
# Original, then digitized: the date and time, the fraction of its second, its offset.
TIMES = ((0x9003, 0x9291, 0x9011), (0x9004, 0x9292, 0x9012))
WANTED = (
    MAKE, MODEL, EXIF_IFD, EXPOSURE_TIME, F_NUMBER, SHUTTER_SPEED, APERTURE, SENSITIVITY,
    SENSITIVITY_TYPE, STANDARD_OUTPUT, RECOMMENDED, ISO_SPEED, FLASH, FOCAL_LENGTH, SERIAL, OFFSET,
    *(tag for three in TIMES for tag in three),
)  # fmt: skip
# PhotographicSensitivity has 16 bits: at its end the figure stands in the tag of its type.
SEE_OTHER_TAG = 65535
BY_TYPE = {
    1: (STANDARD_OUTPUT,),
    2: (RECOMMENDED,),
    3: (ISO_SPEED,),
    4: (STANDARD_OUTPUT, RECOMMENDED),
    5: (STANDARD_OUTPUT, ISO_SPEED),
    6: (RECOMMENDED, ISO_SPEED),
    7: (STANDARD_OUTPUT, RECOMMENDED, ISO_SPEED),
}
ANY_TYPE = (RECOMMENDED, STANDARD_OUTPUT, ISO_SPEED)
# What any camera can mean; beyond, a figure is damage.
SHUTTERS_S, F_NUMBERS, ISOS, FOCALS_MM = (1e-6, 86400), (0.1, 1024), (1, 1e7), (0.1, 10000)
YEARS = (1970, 2199)
MOST_OFFSET_MIN = 14 * 60  # the largest any place keeps (IANA time zone database)
SILENT = (None, "")
# Some cameras write a space for a leading nought, and other signs than the colon.
_DATE = re.compile(r"(\d{4})[:/.-]([ \d]\d)[:/.-]([ \d]\d)[ T:]([ \d]\d):([ \d]\d):([ \d]\d)")
_OFFSET = re.compile(r"([+-])(\d\d):(\d\d)")

SAYS_NOTHING = _("Its Exif says neither when the frame was taken nor with which exposure.")
TWO_BLOCKS = _(
    "It holds two Exif blocks that contradict each other: bring in the file as the camera wrote it."
)


@dataclass(frozen=True)
class FrameTags:
    """What one frame's Exif says, as it is written there: nothing is snapped to marks."""

    make: str = ""
    model: str = ""
    serial: str = ""
    clock_at: datetime | None = None  # the camera's clock as though it stood at UTC
    offset_min: int | None = None
    shutter_s: float | None = None
    f_number: float | None = None
    iso: float | None = None
    focal_mm: float | None = None
    flash_bits: int | None = None

    @property
    def body(self) -> str:
        """Make, model and serial number; the make once where the model begins with it."""
        first = self.make.casefold().split()[:1]
        repeated = first and self.model.casefold().split()[:1] == first
        return " ".join(filter(None, ("" if repeated else self.make, self.model, self.serial)))

    @property
    def tells(self) -> bool:
        return any((self.clock_at, self.shutter_s, self.f_number, self.iso))


@dataclass(frozen=True)
class Flash:
    """The bits of the Flash tag, each by itself.

    A strobe set off by radio leaves no trace here: ``fired`` speaks of the camera's own flash or
    one that talks with it.
    """

    fired: bool
    light_back: bool | None  # None: the camera cannot tell
    mode: str  # "unknown", "on", "off" (both by hand) or "auto"
    none_there: bool
    red_eye: bool


def flash(bits: int) -> Flash:
    """Return what the bits say. Source: CIPA DC-008 section 4.6.5, Flash."""
    return Flash(
        fired=bool(bits & 1),
        light_back={2: False, 3: True}.get(bits >> 1 & 3),
        mode=("unknown", "on", "off", "auto")[bits >> 3 & 3],
        none_there=bool(bits >> 5 & 1),
        red_eye=bool(bits >> 6 & 1),
    )


def frame_tags(head: bytes, *, whole: bool = True) -> FrameTags:
    """Return what a JPEG's Exif says; ``whole`` says that ``head`` is all of the file.

    Of two Exif blocks the first counts, and the second where the first is silent.

    Raises NotRead, saying why, for a file that says nothing of a frame; MoreNeeded where a longer
    head may.
    """
    read, fault = [], None
    for block in exif_blocks(head, whole=whole):
        try:
            read.append(_tags(Block(block)))
        except NotRead as why:
            fault = fault or why
    if fault and not read:
        raise fault
    tags = read[0]
    for other in read[1:]:
        tags = _both(tags, other)
    if not tags.tells:
        raise NotRead(SAYS_NOTHING)
    return tags


def _both(one: FrameTags, other: FrameTags) -> FrameTags:
    values = {}
    for name in (each.name for each in fields(FrameTags)):
        mine, theirs = getattr(one, name), getattr(other, name)
        if mine not in SILENT and theirs not in SILENT and _contradict(name, mine, theirs):
            raise NotRead(TWO_BLOCKS)
        values[name] = theirs if mine in SILENT else mine
    return FrameTags(**values)


def _contradict(name: str, mine, theirs) -> bool:
    """Whether two blocks speak of two frames: of a make, or of red-eye, nothing hangs on it."""
    if name == "clock_at":  # one of them may lack the fraction
        return mine.replace(microsecond=0) != theirs.replace(microsecond=0)
    if name in ("shutter_s", "f_number", "iso"):  # or be rounded, or come from an APEX value
        return not math.isclose(mine, theirs, rel_tol=0.05)
    return name == "serial" and mine != theirs


def _tags(block: Block) -> FrameTags:
    """Read the first directory and the Exif one it points to; a tag in the wrong one counts."""
    first = block.directory(block.first, WANTED)
    pointer = block.number(first.get(EXIF_IFD))
    exif = block.directory(int(pointer or 0), WANTED)
    found = first | exif
    clock_at, offset_min = _clock(block, found)
    return FrameTags(
        make=block.text(first.get(MAKE)) or block.text(exif.get(MAKE)),
        model=block.text(first.get(MODEL)) or block.text(exif.get(MODEL)),
        serial=_serial(block, found.get(SERIAL)),
        clock_at=clock_at,
        offset_min=offset_min,
        shutter_s=_shutter_s(block, found),
        f_number=_f_number(block, found),
        iso=_iso(block, found),
        focal_mm=within(block.number(found.get(FOCAL_LENGTH)), FOCALS_MM),
        flash_bits=bits_of(block.number(found.get(FLASH))),
    )


def _clock(block: Block, found: dict[int, Value]) -> tuple[datetime | None, int | None]:
    """Return when the frame was taken, else when it was digitized, and the offset beside it."""
    for date, fraction, offset in TIMES:
        at = clock_of(block.text(found.get(date)), block.text(found.get(fraction)))
        if at is not None:
            texts = (block.text(found.get(tag)) for tag in (offset, OFFSET))
            return at, next((m for m in map(minutes_of, texts) if m is not None), None)
    return None, None


def clock_of(date: str, fraction: str = "") -> datetime | None:
    """Return "2027:05:08 19:31:05" as though at UTC; None for blanks and impossible dates."""
    if not (parts := _DATE.fullmatch(date.strip())):
        return None
    digits = fraction.strip()
    micro = int((digits + "000000")[:6]) if digits.isascii() and digits.isdigit() else 0
    try:
        at = datetime(*map(int, parts.groups()), micro, tzinfo=UTC)
    except ValueError:
        return None
    return at if YEARS[0] <= at.year <= YEARS[1] else None


def minutes_of(text: str) -> int | None:
    """Return "+02:00" or "Z" in minutes; None for what is no offset of any place."""
    if text.strip().upper() == "Z":
        return 0
    if not (parts := _OFFSET.fullmatch(text.strip())):
        return None
    sign, hours, minutes = parts.groups()
    size = int(hours) * 60 + int(minutes)
    if int(minutes) > 59 or size > MOST_OFFSET_MIN:
        return None
    return -size if sign == "-" else size


def _shutter_s(block: Block, found: dict[int, Value]) -> float | None:
    if time_s := within(block.number(found.get(EXPOSURE_TIME)), SHUTTERS_S):
        return time_s
    speed_tv = within(block.number(found.get(SHUTTER_SPEED)), (-17, 20))
    return None if speed_tv is None else within(2.0**-speed_tv, SHUTTERS_S)


def _f_number(block: Block, found: dict[int, Value]) -> float | None:
    """A stated zero means a lens the camera does not know: then ApertureValue says nothing."""
    stated = block.number(found.get(F_NUMBER))
    if stated is not None:
        return within(stated, F_NUMBERS)
    aperture_av = None if F_NUMBER in found else block.number(found.get(APERTURE))
    aperture_av = within(aperture_av, (-6, 20))
    return None if aperture_av is None else within(2.0 ** (aperture_av / 2), F_NUMBERS)


def _iso(block: Block, found: dict[int, Value]) -> float | None:
    stated = block.number(found.get(SENSITIVITY))
    if stated and 0 < stated != SEE_OTHER_TAG:
        return within(stated, ISOS)
    kind = block.number(found.get(SENSITIVITY_TYPE)) or 0
    for tag in (*BY_TYPE.get(int(kind), ()), *ANY_TYPE):
        if iso := within(block.number(found.get(tag)), ISOS):
            return iso
    return None


def bits_of(value: float | None) -> int | None:
    """Return the Flash tag's bits, None for what is no number of 16 bits."""
    whole = value is not None and value == int(value) and 0 <= value < 1 << 15
    return int(value) if whole else None


def _serial(block: Block, value: Value | None) -> str:
    """Return a serial number; bytes that are no letters, as some write, are none."""
    if text := block.text(value):
        return text if block.is_text(value) else ""
    number = block.number(value)
    return str(int(number)) if number and number == int(number) else ""


def within(value: float | None, ends: tuple[float, float]) -> float | None:
    """Return a figure any camera can mean, else None."""
    return value if value is not None and ends[0] <= value <= ends[1] else None

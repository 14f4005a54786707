"""JPEG files put together byte by byte, from the layout the standards give.

ISO/IEC 10918-1 annex B for the segments, TIFF 6.0 section 2 for directories and types, CIPA DC-008
section 4.5 for the order of directories in an Exif segment. No library writes these files, so that
what a camera may write and no library would can be tried as well.
"""

import struct
from collections.abc import Callable
from dataclasses import dataclass

LITTLE, BIG = "<", ">"
SOI, EOI = b"\xff\xd8", b"\xff\xd9"
MAKE, MODEL, EXIF_IFD, GPS_IFD = 0x010F, 0x0110, 0x8769, 0x8825


@dataclass(frozen=True)
class Value:
    """A value of one TIFF type, and how it is written in a byte order."""

    kind: int
    count: int
    packed: Callable[[str], bytes]


def ascii(text: str | bytes, *, nul: bool = True, kind: int = 2) -> Value:
    raw = (text.encode() if isinstance(text, str) else text) + (b"\0" if nul else b"")
    return Value(kind, len(raw), lambda _order: raw)


def _numbers(kind: int, form: str, *numbers: float) -> Value:
    return Value(
        kind, len(numbers), lambda order: struct.pack(order + form * len(numbers), *numbers)
    )


def byte(*numbers: int) -> Value:
    return _numbers(1, "B", *numbers)


def short(*numbers: int) -> Value:
    return _numbers(3, "H", *numbers)


def long(*numbers: int) -> Value:
    return _numbers(4, "I", *numbers)


def sshort(*numbers: int) -> Value:
    return _numbers(8, "h", *numbers)


def double(*numbers: float) -> Value:
    return _numbers(12, "d", *numbers)


def rational(above: int, below: int, *, signed: bool = False) -> Value:
    form, kind = ("ii", 10) if signed else ("II", 5)
    return Value(kind, 1, lambda order: struct.pack(order + form, above, below))


def undefined(raw: bytes) -> Value:
    return Value(7, len(raw), lambda _order: raw)


def directory(values: dict[int, Value], at: int, order: str, then: int = 0) -> bytes:
    """Return one directory that stands ``at`` bytes into its block, its longer values behind it."""
    entries, behind = b"", b""
    room = at + 2 + 12 * len(values) + 4
    for tag, value in values.items():
        raw = value.packed(order)
        if len(raw) > 4:
            place = room + len(behind)
            behind += raw + b"\0" * (len(raw) % 2)
            raw = struct.pack(order + "I", place)
        entries += struct.pack(order + "HHI", tag, value.kind, value.count) + raw.ljust(4, b"\0")
    count = struct.pack(order + "H", len(values))
    return count + entries + struct.pack(order + "I", then) + behind


def block(
    first: dict[int, Value],
    exif: dict[int, Value] | None = None,
    *,
    order: str = LITTLE,
    gps: dict[int, Value] | None = None,
    pointer: Callable[[int], Value] = long,
) -> bytes:
    """Return a TIFF block with its first directory, and the Exif and GPS ones it points to."""
    head = (b"II" if order == LITTLE else b"MM") + struct.pack(order + "HI", 42, 8)
    lead = {**first}
    if exif is not None:
        lead[EXIF_IFD] = pointer(0)
    if gps is not None:
        lead[GPS_IFD] = long(0)
    at = 8 + len(directory(lead, 8, order))
    parts = b""
    for tag, values in ((EXIF_IFD, exif), (GPS_IFD, gps)):
        if values is not None:
            lead[tag] = (pointer if tag == EXIF_IFD else long)(at + len(parts))
            parts += directory(values, at + len(parts), order)
    return head + directory(lead, 8, order) + parts


def segment(marker: int, data: bytes, *, fill: int = 0) -> bytes:
    return b"\xff" * (1 + fill) + bytes((marker,)) + struct.pack(">H", len(data) + 2) + data


def exif_segment(tiff: bytes, **choices) -> bytes:
    return segment(0xE1, b"Exif\0\0" + tiff, **choices)


JFIF = segment(0xE0, b"JFIF\0\x01\x02\0\0\x01\0\x01\0\0")
XMP = segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x='adobe:ns:meta/'/>")
ICC = segment(0xE2, b"ICC_PROFILE\0\x01\x01" + b"\0" * 3000)
# A scan that is no picture: whoever decoded it would find out.
SCAN = segment(0xDA, b"\x01\x01\0\0\x3f\0") + b"no picture \xff\x00 at all" * 20


def jpeg(*segments: bytes, scan: bytes = SCAN + EOI) -> bytes:
    return SOI + b"".join(segments) + scan


def tags(**changes: Value | None) -> dict[int, Value]:
    """Return the Exif tags of one frame by their names; None leaves one out."""
    usual = {
        "ExposureTime": rational(1, 125),
        "FNumber": rational(56, 10),
        "PhotographicSensitivity": short(200),
        "DateTimeOriginal": ascii("2027:05:08 19:31:05"),
        "Flash": short(0x10),
        "FocalLength": rational(85, 1),
    }
    return {TAGS[name]: value for name, value in (usual | changes).items() if value is not None}


def camera(make: str = "Maker", model: str = "Model One", **more: Value) -> dict[int, Value]:
    return {MAKE: ascii(make), MODEL: ascii(model)} | {
        TAGS[name]: one for name, one in more.items()
    }


def frame(order: str = LITTLE, **changes: Value | None) -> bytes:
    """Return the JPEG of one frame, with some of its tags changed."""
    return jpeg(exif_segment(block(camera(), tags(**changes), order=order)))


# CIPA DC-008, tables 4, 7 and 8.
TAGS = {
    "ExposureTime": 0x829A,
    "FNumber": 0x829D,
    "PhotographicSensitivity": 0x8827,
    "SensitivityType": 0x8830,
    "StandardOutputSensitivity": 0x8831,
    "RecommendedExposureIndex": 0x8832,
    "ISOSpeed": 0x8833,
    "DateTime": 0x0132,
    "DateTimeOriginal": 0x9003,
    "DateTimeDigitized": 0x9004,
    "OffsetTime": 0x9010,
    "OffsetTimeOriginal": 0x9011,
    "OffsetTimeDigitized": 0x9012,
    "ShutterSpeedValue": 0x9201,
    "ApertureValue": 0x9202,
    "Flash": 0x9209,
    "FocalLength": 0x920A,
    "MakerNote": 0x927C,
    "UserComment": 0x9286,
    "SubSecTimeOriginal": 0x9291,
    "SubSecTimeDigitized": 0x9292,
    "BodySerialNumber": 0xA431,
    "ImageDescription": 0x010E,
    "Artist": 0x013B,
}

"""Whatever a file holds: tags, or one sentence that says why there are none, and nothing else."""

from datetime import UTC, datetime

import pytest

from planning.after.exif import FrameTags, frame_tags
from planning.after.jpeg import FIRST_BYTES, MOST_BYTES, MoreNeeded, NotRead
from planning.after.tiff import Block
from tests.jpegs import (
    BIG,
    EOI,
    JFIF,
    LITTLE,
    SOI,
    TAGS,
    block,
    camera,
    exif_segment,
    frame,
    jpeg,
    segment,
    tags,
    undefined,
)

ORDERS = pytest.mark.parametrize("order", [LITTLE, BIG], ids=["II", "MM"])
AT = datetime(2027, 5, 8, 19, 31, 5, tzinfo=UTC)


def outcome(content: bytes) -> FrameTags | str:
    """Return the tags of a file, or the sentence it was refused with."""
    try:
        return frame_tags(content)
    except NotRead as refusal:
        return str(refusal)


REFUSED = {
    "empty": (b"", "file is empty"),
    "one byte": (b"\xff", "no JPEG"),
    "text": (b"FileName,Make\n", "no JPEG"),
    "PNG": (b"\x89PNG\r\n\x1a\n" + b"\0" * 64, "another kind"),
    "raw file": (block(camera(), tags()), "raw or TIFF"),
    "start only": (SOI, "cut off"),
    "no segments": (SOI + EOI, "no Exif"),
    "JFIF only": (jpeg(JFIF), "no Exif"),
    "cut inside a length": (SOI + b"\xff\xe1\x40", "cut off"),
    "cut inside the Exif": (frame()[:120], "cut off"),
    "length of nothing": (SOI + b"\xff\xe1\0\0" + b"\0" * 40, "damaged"),
    "endless fill": (SOI + b"\xff" * 100_000, "cut off"),
    "zeros": (SOI + b"\0" * 100_000, "cut off"),
    "no byte order": (jpeg(exif_segment(b"XX*\0\x08\0\0\0")), "damaged"),
    "not 42": (jpeg(exif_segment(b"II\x2b\0\x08\0\0\0")), "damaged"),
    "block of nothing": (jpeg(exif_segment(b"")), "damaged"),
    "directory outside": (jpeg(exif_segment(b"II*\0\xff\xff\xff\x7f")), "neither when"),
    "directory on its own head": (jpeg(exif_segment(b"II*\0\0\0\0\0")), "neither when"),
    "no tags": (jpeg(exif_segment(block({}))), "neither when"),
    "a camera and no more": (jpeg(exif_segment(block(camera()))), "neither when"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_tells_nothing_is_refused_in_one_sentence(name):
    content, why = REFUSED[name]
    with pytest.raises(NotRead, match=why) as refusal:
        frame_tags(content)
    assert str(refusal.value).endswith(".")


def raw_entry(tag: int, kind: int, count: int, place: int) -> bytes:
    return b"".join(
        number.to_bytes(size, "little")
        for number, size in ((tag, 2), (kind, 2), (count, 4), (place, 4))
    )


def test_a_directory_that_points_at_itself_is_read_once():
    entries = raw_entry(0x8769, 4, 1, 8) + raw_entry(TAGS["PhotographicSensitivity"], 3, 1, 200)
    circle = b"II*\0\x08\0\0\0" + b"\x02\0" + entries + b"\x08\0\0\0"
    assert frame_tags(jpeg(exif_segment(circle))).iso == 200


def test_a_directory_of_65535_entries_ends_with_its_block():
    iso = raw_entry(TAGS["PhotographicSensitivity"], 3, 1, 200)
    assert frame_tags(jpeg(exif_segment(b"II*\0\x08\0\0\0\xff\xff" + iso * 5000))).iso == 200
    with pytest.raises(NotRead, match="neither when"):
        frame_tags(jpeg(exif_segment(b"II*\0\x08\0\0\0\xff\xff" + raw_entry(1, 7, 1, 1) * 5000)))


@pytest.mark.parametrize("kind", [0, 2, 3, 5, 7, 12, 13, 14, 255, 65535])
@pytest.mark.parametrize("count", [0, 1, 2, 0xFFFFFFFF])
@pytest.mark.parametrize("place", [0, 8, 0xFFFF, 0xFFFFFFFF])
def test_no_entry_reads_outside_its_block(kind, count, place):
    names = set(TAGS.values()) | {0x010F, 0x0110}
    entries = [raw_entry(tag, kind, count, place) for tag in sorted(names)]
    raw = b"II*\0\x08\0\0\0" + len(entries).to_bytes(2, "little") + b"".join(entries)
    read_block = Block(raw)
    for value in read_block.directory(8, names).values():
        assert len(read_block.text(value)) <= 60
        read_block.number(value)
    for content in (jpeg(exif_segment(raw)), jpeg(exif_segment(raw[:-5]))):
        found = outcome(content)
        told = "neither when" in found if isinstance(found, str) else len(found.body) <= 200
        assert told, found


@ORDERS
def test_every_place_a_file_can_be_cut_at_ends_in_tags_or_a_sentence(order):
    content = frame(order)
    for end in range(len(content)):
        found = outcome(content[:end])
        assert found.endswith(".") if isinstance(found, str) else found.clock_at == AT


@ORDERS
def test_every_byte_may_be_wrong(order):
    content = bytearray(frame(order)[:360])
    for place in range(len(content)):
        for wrong in (0, 0x7F, 0xFF):
            kept, content[place] = content[place], wrong
            found = outcome(bytes(content))
            assert found.endswith(".") if isinstance(found, str) else found.tells
            content[place] = kept


def test_a_short_head_of_a_long_file_asks_for_more_and_no_more_than_is_needed():
    content = frame()
    assert frame_tags(content[:FIRST_BYTES] + b"\0" * 10, whole=False).iso == 200
    exif = exif_segment(block(camera(), tags(MakerNote=undefined(b"\x01" * 50_000))))
    late = jpeg(JFIF, segment(0xE2, b"\0" * 60_000), exif)
    with pytest.raises(MoreNeeded) as more:
        frame_tags(late[:FIRST_BYTES], whole=False)
    upto = more.value.upto_bytes
    assert upto == late.index(exif) + len(exif)
    assert frame_tags(late[:upto], whole=False).iso == 200


def test_exif_behind_more_than_is_ever_read_is_refused_in_words():
    late = jpeg(*[segment(0xE2, b"\0" * 65_000)] * 9, exif_segment(block(camera(), tags())))
    lengths, why = asked_for(late)
    assert lengths == sorted(set(lengths))
    assert lengths[-1] == MOST_BYTES
    assert "first 512 KB" in why


def asked_for(content: bytes) -> tuple[list[int], str]:
    """Return every head that is asked for in turn, and how it ends."""
    lengths = [FIRST_BYTES]
    while len(lengths) < 20:
        try:
            frame_tags(content[: lengths[-1]], whole=False)
        except MoreNeeded as more:
            lengths.append(more.upto_bytes)
        except NotRead as refusal:
            return lengths, str(refusal)
    return lengths, "it never ends"

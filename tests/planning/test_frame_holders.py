"""ZIPs of frames, good ones and whatever else is brought: file by file, in words."""

import gzip
import io
import stat
import struct
import zipfile

import pytest
from django.core.management import CommandError, call_command

from planning.frames_in import archive
from planning.frames_in.archive import Archive
from planning.models import Frame, FrameLot
from tests import factories as make
from tests.jpegs import (
    JFIF,
    SOI,
    TAGS,
    ascii,
    block,
    camera,
    exif_segment,
    frame,
    jpeg,
    rational,
    segment,
    tags,
)
from workshops.errors import Refused


def zip_of(*members, comment: bytes = b"") -> io.BytesIO:
    """Return a ZIP of (name or ZipInfo, content, how packed)."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.comment = comment
        for name, content, *how in members:
            made.writestr(name, content, compress_type=how[0] if how else zipfile.ZIP_DEFLATED)
    out.seek(0)
    return out


def told(file: io.BytesIO) -> dict[str, str]:
    """Return of each file of an archive why it is not taken, empty where it is."""
    return {one.name: one.why for one in Archive(file).files()}


def test_each_file_of_a_zip_is_read_whatever_packs_it():
    stored, packed = zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED
    files = zip_of(("a.jpg", frame(), stored), ("b/c.JPG", frame(), packed), comment=b"x" * 60_000)
    assert told(files) == {"a.jpg": "", "b/c.JPG": ""}


def test_a_late_exif_is_found_in_a_zip_as_well():
    late = jpeg(*[segment(0xE2, b"\1" * 65_000)] * 4, exif_segment(block(camera(), tags())))
    assert told(zip_of(("a.jpg", late + b"\0" * 100_000))) == {"a.jpg": ""}


def test_an_archive_of_64_bits_is_read():
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made, made.open("a.jpg", "w", force_zip64=True) as one:
        one.write(frame())
    assert told(out) == {"a.jpg": ""}


def test_what_systems_put_into_a_zip_is_nobodys_file():
    names = ("__MACOSX/._a.jpg", "day/.DS_Store", "day/Thumbs.db", "._b.jpg")
    files = zip_of(("day/", b""), ("day/a.jpg", frame()), *((name, b"x") for name in names))
    assert told(files) == {"day/a.jpg": ""}


def test_names_in_utf_8_that_do_not_say_so_are_read_all_the_same():
    # APPNOTE 4.4.4: without bit 11 a name is code page 437; several systems pack UTF-8 so.
    files = zip_of(("Plage/Café ñ.jpg", frame()), ("plain.jpg", frame(FNumber=rational(8, 1))))
    content = bytearray(files.getvalue())
    for start in (b"PK\3\4", b"PK\1\2"):
        flags = content.find(start) + (6 if start == b"PK\3\4" else 8)
        assert content[flags + 1] == 8
        content[flags + 1] = 0
    assert told(io.BytesIO(content)) == {"Plage/Café ñ.jpg": "", "plain.jpg": ""}
    old = content.replace("Café ñ".encode(), "Caf\u00e9  \u00f1".encode("cp437") + b" ")
    assert "Plage/Café  ñ .jpg" in told(io.BytesIO(old))


def link(name: str) -> zipfile.ZipInfo:
    made = zipfile.ZipInfo(name)
    made.external_attr = (stat.S_IFLNK | 0o777) << 16
    return made


def changed(file: io.BytesIO, offset_of: bytes, at: int, value: bytes) -> io.BytesIO:
    """Return a ZIP with some bytes of its last central entry changed (APPNOTE 4.3.12)."""
    raw = bytearray(file.getvalue())
    start = raw.rindex(offset_of) + at
    raw[start : start + len(value)] = value
    return io.BytesIO(bytes(raw))


CENTRAL, LOCAL = b"PK\1\2", b"PK\3\4"
REFUSED_MEMBERS = {
    "encrypted": (
        lambda: changed(zip_of(("a.jpg", frame())), CENTRAL, 8, b"\x01\0"),
        "encrypted",
    ),
    "link": (lambda: zip_of((link("a.jpg"), b"/etc/passwd")), "a link"),
    "absolute": (lambda: zip_of(("/etc/a.jpg", frame())), "leads out"),
    "upwards": (lambda: zip_of(("../../a.jpg", frame())), "leads out"),
    "upwards with other strokes": (lambda: zip_of(("..\\a.jpg", frame())), "leads out"),
    "drive": (lambda: zip_of(("C:a.jpg", frame())), "leads out"),
    "zip in zip": (lambda: zip_of(("a.zip", zip_of(("b", b"")).getvalue())), "ZIP within a ZIP"),
    "zip called a picture": (
        lambda: zip_of(("a.jpg", zip_of(("b", b"")).getvalue())),
        "ZIP within a ZIP",
    ),
    "bomb": (lambda: zip_of(("a.jpg", b"\0" * 3_000_000)), "hundred times"),
    "unusual packing": (lambda: zip_of(("a.jpg", frame(), zipfile.ZIP_LZMA)), "unusual way"),
    "wrong sum": (
        lambda: changed(zip_of(("a.jpg", frame())), CENTRAL, 16, b"\0\0\0\0"),
        "damaged inside",
    ),
    "other name inside": (
        lambda: changed(zip_of(("a.jpg", frame())), LOCAL, 30, b"b"),
        "damaged inside",
    ),
    "says it is empty": (
        lambda: changed(zip_of(("a.jpg", frame())), CENTRAL, 20, b"\0\0\0\0"),
        "",
    ),
    "name of nothing": (
        lambda: changed(zip_of(("a", frame())), CENTRAL, 46, b"\0"),
        "damaged inside",
    ),
    "no JPEG": (lambda: zip_of(("a.txt", b"text")), "no JPEG"),
}


@pytest.mark.parametrize("name", REFUSED_MEMBERS)
def test_a_file_of_a_zip_that_cannot_be_taken_says_why(name):
    made, why = REFUSED_MEMBERS[name]
    (said,) = told(made()).values()
    assert why in said
    assert said.endswith(".")


def test_a_name_twice_counts_once_also_when_the_work_was_broken_off():
    with pytest.warns(UserWarning, match="Duplicate name"):
        files = zip_of(("a.jpg", frame()), ("b.jpg", frame()), ("a.jpg", frame()))
    assert [bool(one.why) for one in Archive(files).files()] == [False, False, True]
    (last,) = Archive(files).files(2)
    assert "twice" in last.why


def test_a_file_that_unpacks_to_more_than_it_says_is_read_no_further():
    head = frame() + b"\0" * 5_000_000
    files = changed(zip_of(("a.jpg", head)), CENTRAL, 24, struct.pack("<I", 1000))
    (one,) = Archive(files).files()
    assert one.tags or "damaged" in one.why


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"PK", "damaged or cut off"),
        (b"PK\3\4" + b"\0" * 100, "damaged or cut off"),
        (zip_of(("a.jpg", frame())).getvalue()[:-30], "damaged or cut off"),
        (zip_of().getvalue(), "holds no files"),
        (zip_of(("day/", b"")).getvalue(), "holds no files"),
    ],
)
def test_a_zip_that_is_none_is_refused_whole(content, why):
    with pytest.raises(Refused, match=why):
        Archive(io.BytesIO(content))


def test_a_zip_of_too_many_files_is_refused_before_its_list_is_read(monkeypatch):
    monkeypatch.setattr(archive, "MOST_ENTRIES", 3)
    files = zip_of(*((f"{number}.jpg", frame()) for number in range(4)))
    with pytest.raises(Refused, match="at most 3 files"):
        Archive(files)
    # A list said to be 4 GB long: of an end alone, so that reading it would fail otherwise.
    end = struct.pack("<4s4H2IH", b"PK\5\6", 0, 0, 1, 1, 0xFFFFFFF0, 0, 0)
    with pytest.raises(Refused, match="at most 3 files"):
        Archive(io.BytesIO(end))


def ifd_loop() -> bytes:
    entry = struct.pack("<HHII", 0x8769, 4, 1, 8)
    return b"II*\0\x08\0\0\0" + b"\x01\0" + entry + struct.pack("<I", 8)


HOSTILE = {
    "empty": b"",
    "one byte": b"\xff",
    "start only": SOI,
    "text": b"not a picture",
    "html": b"<!DOCTYPE html><script>alert(1)</script>",
    "png": b"\x89PNG\r\n\x1a\n" + b"\0" * 99,
    "gif": b"GIF89a" + b"\0" * 99,
    "webp": b"RIFF\0\0\0\0WEBPVP8 ",
    "heic": b"\0\0\0\x18ftypheic" + b"\0" * 99,
    "tiff": block(camera(), tags()),
    "pdf": b"%PDF-1.7\n",
    "movie": b"\0\0\0\x20ftypisom" + b"\0" * 99,
    "program": b"\x7fELF" + b"\0" * 99,
    "gzip": gzip.compress(frame()),
    "zeros": b"\0" * 2_000_000,
    "fill": b"\xff" * 2_000_000,
    "start and fill": SOI + b"\xff" * 2_000_000,
    "start and zeros": SOI + b"\0" * 2_000_000,
    "no exif": jpeg(JFIF),
    "cut in length": SOI + b"\xff\xe1\x12",
    "cut in exif": frame()[:150],
    "length nought": SOI + b"\xff\xe1\0\0" + b"\1" * 99,
    "exif of nothing": jpeg(exif_segment(b"")),
    "exif of text": jpeg(exif_segment(b"Lorem ipsum dolor sit amet")),
    "directory far outside": jpeg(exif_segment(b"MM\0*\xff\xff\xff\xff")),
    "directory in a circle": jpeg(exif_segment(ifd_loop())),
    "directory of 65535": jpeg(exif_segment(b"II*\0\x08\0\0\0\xff\xff" + b"\x01" * 60_000)),
    "values outside": jpeg(
        exif_segment(
            b"II*\0\x08\0\0\0\x02\0"
            + struct.pack("<HHII", TAGS["ExposureTime"], 5, 1, 0xFFFFFFFF)
            + struct.pack("<HHII", TAGS["DateTimeOriginal"], 2, 0xFFFFFFFF, 0xFFFFFFF0)
        )
    ),
    "no tags": jpeg(exif_segment(block({}))),
    "camera alone": jpeg(exif_segment(block(camera()))),
    "all noughts": jpeg(
        exif_segment(
            block(
                camera(),
                tags(
                    ExposureTime=rational(0, 0),
                    FNumber=rational(0, 0),
                    PhotographicSensitivity=None,
                    DateTimeOriginal=ascii("0000:00:00 00:00:00"),
                ),
            )
        )
    ),
    "two that contradict": jpeg(
        exif_segment(block(camera(), tags())),
        exif_segment(block(camera(), tags(ExposureTime=rational(1, 60)))),
    ),
    "exif after 600 KB": jpeg(
        *[segment(0xE2, b"\1" * 65_000)] * 10, exif_segment(block(camera(), tags()))
    ),
    "exif in the picture": jpeg(JFIF) + exif_segment(block(camera(), tags())),
    "comments without end": SOI + segment(0xFE, b"x" * 60_000) * 20,
}
GOOD = {
    "good": frame(),
    "good with more behind": frame() + b"\0" * 1_000_000,
    "good with a broken picture": frame()[:-30],
    "good among nonsense": jpeg(b"\0\0\0", exif_segment(block(camera(), tags()), fill=99)),
}


@pytest.mark.django_db
@pytest.mark.parametrize("packed", [False, True], ids=["folder", "zip"])
def test_of_a_card_full_of_nonsense_the_good_frames_come_in_and_the_rest_is_told(tmp_path, packed):
    assert len(HOSTILE) >= 30
    files = {f"{name}.jpg": content for name, content in {**HOSTILE, **GOOD}.items()}
    if packed:
        place = tmp_path / "card.zip"
        stored = ((name, content, zipfile.ZIP_STORED) for name, content in files.items())
        place.write_bytes(zip_of(*stored).getvalue())
    else:
        place = tmp_path
        for name, content in files.items():
            (place / name).write_bytes(content)
    out, err = io.StringIO(), io.StringIO()
    workshop = make.WorkshopFactory()
    with pytest.raises(CommandError, match="not all files were taken"):
        call_command("frames_in", str(workshop.pk), str(place), stdout=out, stderr=err)
    assert {one.file_name.removesuffix(".jpg") for one in Frame.objects.all()} == set(GOOD)
    lot = FrameLot.objects.get()
    assert (lot.done, lot.taken, lot.known) == (len(files), len(GOOD), 0)
    sentences = {name.rpartition("/")[2].removesuffix(".jpg"): why for name, why in lot.faults}
    assert set(sentences) == set(HOSTILE)
    for name, why in sentences.items():
        assert why.endswith("."), name
        assert why.count("\n") == 0
        assert f"{name}.jpg: {why}" in err.getvalue()

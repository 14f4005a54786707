"""What a frame's Exif says: by the standard's layout, by Pillow's files, by exiftool's reading."""

import io
import json
import subprocess
from datetime import UTC, datetime

import pytest
from PIL import Image

from planning.after.exif import FrameTags, flash, frame_tags
from planning.after.jpeg import NotRead
from planning.after.kinds import NO_JPEG
from tests.jpegs import (
    BIG,
    ICC,
    JFIF,
    LITTLE,
    TAGS,
    XMP,
    ascii,
    block,
    byte,
    camera,
    double,
    exif_segment,
    frame,
    jpeg,
    long,
    rational,
    segment,
    short,
    sshort,
    tags,
    undefined,
)

ORDERS = pytest.mark.parametrize("order", [LITTLE, BIG], ids=["II", "MM"])
AT = datetime(2027, 5, 8, 19, 31, 5, tzinfo=UTC)


def read(**changes) -> FrameTags:
    return frame_tags(frame(**changes))


@ORDERS
def test_every_tag_is_read_in_either_byte_order(order):
    more = {
        "OffsetTimeOriginal": ascii("+02:00"),
        "SubSecTimeOriginal": ascii("51"),
        "BodySerialNumber": ascii("0042001"),
    }
    assert frame_tags(frame(order, **more)) == FrameTags(
        make="Maker",
        model="Model One",
        serial="0042001",
        clock_at=AT.replace(microsecond=510_000),
        offset_min=120,
        shutter_s=1 / 125,
        f_number=5.6,
        iso=200,
        focal_mm=85,
        flash_bits=0x10,
    )


# What exiftool is asked for, by our names; with -n it gives plain numbers and texts.
ASKED = {
    "make": "Make",
    "model": "Model",
    "serial": "SerialNumber",  # so it names 0xA431
    "shutter_s": "ExposureTime",
    "f_number": "FNumber",
    "iso": "ISO",
    "focal_mm": "FocalLength",
    "flash_bits": "Flash",
}


def by_exiftool(exiftool: str, folder) -> dict[str, dict]:
    command = [exiftool, "-j", "-n", "-EXIF:all", str(folder)]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return {one["SourceFile"].rpartition("/")[2]: one for one in json.loads(told)}


def differences(ours: FrameTags, theirs: dict) -> dict:
    """Return what two readings of one file disagree in."""
    pairs = {name: (getattr(ours, name), theirs.get(tag)) for name, tag in ASKED.items()}
    date = theirs.get("DateTimeOriginal")
    at = datetime.strptime(date, "%Y:%m:%d %H:%M:%S").replace(tzinfo=UTC) if date else None
    if at and (part := theirs.get("SubSecTimeOriginal")) is not None:
        at = at.replace(microsecond=int((str(part) + "000000")[:6]))
    pairs["clock_at"] = (ours.clock_at, at)
    found = {}
    for name, (mine, other) in pairs.items():
        if isinstance(mine, float) and other is not None:  # of several numbers the first counts
            same = mine == pytest.approx(float(str(other).split()[0]), rel=1e-6)
        elif isinstance(mine, str):
            same = mine == str(other or "")
        else:
            same = mine == other
        if not same:
            found[name] = (mine, other)
    return found


VARIANTS = {
    "usual": {},
    "tenths": {"ExposureTime": rational(10, 1250), "FNumber": rational(560, 100)},
    "long times": {"ExposureTime": rational(305, 10)},
    "fast": {"ExposureTime": rational(1, 32000)},
    "iso long": {"PhotographicSensitivity": long(102400)},
    "iso twice": {"PhotographicSensitivity": short(400, 0)},
    "flash auto": {"Flash": short(0x19)},
    "flash bits outside the list": {"Flash": short(0x48)},
    "no flash function": {"Flash": short(0x20)},
    "flash as long": {"Flash": long(0x10)},
    "no iso": {"PhotographicSensitivity": None},
    "no exposure": {"ExposureTime": None},
    "focal in tenths": {"FocalLength": rational(18_30, 100)},
    "serial": {"BodySerialNumber": ascii("SN 000-42")},
    "serial without NUL": {"BodySerialNumber": ascii("42420001", nul=False)},
    "fraction": {"SubSecTimeOriginal": ascii("07")},
    "long maker note": {"MakerNote": undefined(b"\x01" * 20_000)},
}


@ORDERS
def test_exiftool_reads_the_same_of_files_put_together_here(need, tmp_path, order):
    # The referee: ExifTool (Debian's libimage-exiftool-perl), a general reader of metadata.
    exiftool = need("exiftool")
    for name, changes in VARIANTS.items():
        (tmp_path / f"{name}.jpg").write_bytes(frame(order, **changes))
    theirs = by_exiftool(exiftool, tmp_path)
    assert len(theirs) == len(VARIANTS)
    wrong = {
        name: differences(frame_tags((tmp_path / name).read_bytes()), told)
        for name, told in theirs.items()
    }
    assert not {name: one for name, one in wrong.items() if one}


@ORDERS
def test_files_exiftool_writes_are_read_as_it_was_told(need, tmp_path, order):
    exiftool = need("exiftool")
    path = tmp_path / "plain.jpg"
    Image.new("RGB", (64, 48), "grey").save(path)
    written = {
        "Make": "Maker",
        "Model": "Model Two",
        "SerialNumber": "77001",
        "DateTimeOriginal": "2027:12:31 23:59:59",
        "SubSecTimeOriginal": "123",
        "OffsetTimeOriginal": "-03:30",
        "ExposureTime": "0.004",
        "FNumber": "11",
        "ISO": "64",
        "FocalLength": "135",
        "Flash": "16",
        "UserComment": "nobody reads this",
        "GPSLatitude": "38.7",
        "GPSLatitudeRef": "N",
    }
    options = [f"-EXIF:{name}={value}" for name, value in written.items()]
    byte_order = "-ExifByteOrder=" + ("II" if order == LITTLE else "MM")
    # Byte order first, on a file without Exif; XMP and a comment as editors add them.
    command = [exiftool, "-n", "-overwrite_original", byte_order, *options, "-XMP:Title=x", path]
    subprocess.run(command, check=True, capture_output=True)
    content = path.read_bytes()
    assert (b"Exif\0\0MM\0*" in content) == (order == BIG)
    assert frame_tags(content) == FrameTags(
        make="Maker",
        model="Model Two",
        serial="77001",
        clock_at=datetime(2027, 12, 31, 23, 59, 59, 123_000, tzinfo=UTC),
        offset_min=-210,
        shutter_s=0.004,
        f_number=11,
        iso=64,
        focal_mm=135,
        flash_bits=16,
    )


@ORDERS
def test_files_pillow_writes_are_read(tmp_path, order):
    # Pillow writes the directories by a way of its own, and the picture is a real one.
    exif = Image.Exif()
    exif.endian = order
    exif[TAGS["DateTime"]] = "2030:01:01 00:00:00"  # changed later: not when it was taken
    exif[0x0110] = "Model Three"
    inner = exif.get_ifd(0x8769)
    inner[TAGS["DateTimeOriginal"]] = "2027:05:08 19:31:05"
    inner[TAGS["ExposureTime"]] = 0.008
    inner[TAGS["FNumber"]] = 8.0
    inner[TAGS["PhotographicSensitivity"]] = 100
    path = tmp_path / "pillow.jpg"
    Image.new("RGB", (640, 480), "grey").save(path, exif=exif)
    found = frame_tags(path.read_bytes())
    assert (found.clock_at, found.shutter_s, found.f_number, found.iso) == (AT, 0.008, 8, 100)
    assert found.body == "Model Three"


# CIPA DC-008 section 4.6.5: PhotographicSensitivity 65535 sends its reader to the tag that
# SensitivityType names (1 standard output, 2 recommended exposure index, 3 ISO speed).
FAR = {
    "PhotographicSensitivity": short(65535),
    "StandardOutputSensitivity": long(80000),
    "RecommendedExposureIndex": long(102400),
    "ISOSpeed": long(128000),
}


@pytest.mark.parametrize(
    ("kind", "iso"),
    [(1, 80000), (2, 102400), (3, 128000), (4, 80000), (6, 102400), (0, 102400), (99, 102400)],
)
def test_a_speed_beyond_16_bits_stands_in_the_tag_of_its_type(kind, iso):
    assert read(**FAR, SensitivityType=short(kind)).iso == iso


def test_a_speed_stated_outright_counts_before_the_others():
    stated = FAR | {"PhotographicSensitivity": short(200), "SensitivityType": short(1)}
    assert read(**stated).iso == 200
    assert read(**FAR | {"PhotographicSensitivity": None}).iso == 102400
    assert read(PhotographicSensitivity=short(65535)).iso is None
    assert read(PhotographicSensitivity=sshort(-1)).iso is None


@pytest.mark.parametrize(
    ("tag", "value", "name", "expected"),
    [
        # APEX, CIPA DC-008 annex D: Tv 7 is 1/128 s, Tv -2 is 4 s; Av 5 is f/5.66, Av 0 is f/1.
        ("ShutterSpeedValue", rational(7, 1, signed=True), "shutter_s", 1 / 128),
        ("ShutterSpeedValue", rational(-2, 1, signed=True), "shutter_s", 4),
        ("ApertureValue", rational(5, 1), "f_number", 2**2.5),
        ("ApertureValue", rational(0, 1), "f_number", 1),
    ],
)
def test_apex_values_stand_in_where_the_plain_ones_are_missing(tag, value, name, expected):
    gone = {"ExposureTime": None, "FNumber": None}
    assert getattr(read(**gone, **{tag: value}), name) == pytest.approx(expected)
    plain = read(**{tag: value})
    assert (plain.shutter_s, plain.f_number) == (0.008, 5.6)


def test_a_lens_without_contacts_has_no_f_number_whatever_stands_in_its_place():
    zero = {"FNumber": rational(0, 1), "ApertureValue": rational(0, 1)}
    assert read(**zero).f_number is None
    assert read(FNumber=rational(0, 0), ApertureValue=rational(0, 1)).f_number is None


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("ExposureTime", rational(1, 0)),
        ("ExposureTime", rational(0, 0)),
        ("ExposureTime", rational(0, 100)),
        ("ExposureTime", rational(4_000_000_000, 1)),
        ("ExposureTime", rational(-1, 125, signed=True)),
        ("ExposureTime", undefined(b"\0\0\0\x01\0\0\0\x7d")),
        ("FNumber", rational(4_294_967_295, 1)),
        ("FNumber", double(float("nan"))),
        ("PhotographicSensitivity", short()),
        ("PhotographicSensitivity", double(float("inf"))),
        ("FocalLength", rational(0, 1)),
        ("Flash", long(70_000)),
    ],
)
def test_a_value_that_cannot_be_is_unknown_and_the_rest_is_read(name, value):
    found = read(**{name: value})
    ours = {
        "ExposureTime": "shutter_s",
        "FNumber": "f_number",
        "PhotographicSensitivity": "iso",
        "FocalLength": "focal_mm",
        "Flash": "flash_bits",
    }
    assert getattr(found, ours[name]) is None
    assert found.clock_at == AT
    others = {one for one in ours.values() if getattr(found, one) is None}
    assert others == {ours[name]}


@pytest.mark.parametrize(
    "value", [byte(200), short(200), long(200), double(200.0), rational(400, 2), ascii("200")]
)
def test_a_number_of_another_type_is_the_same_number(value):
    assert read(PhotographicSensitivity=value).iso == 200


@pytest.mark.parametrize(
    "text",
    [
        "0000:00:00 00:00:00",
        "    :  :     :  :  ",
        "",
        "2027:02:30 10:00:00",
        "2027:13:01 10:00:00",
        "2027:05:08 25:00:00",
        "2027:05:08 10:00:61",
        "0001:01:01 00:00:00",
        "9999:12:31 23:59:59",
        "2027:05:08",
        "yesterday",
    ],
)
def test_a_date_there_is_none_of_is_unknown_and_the_digitized_one_stands_in(text):
    assert read(DateTimeOriginal=ascii(text)).clock_at is None
    digitized = {
        "DateTimeDigitized": ascii("2027:05:08 19:31:05"),
        "SubSecTimeDigitized": ascii("5"),
        "SubSecTimeOriginal": ascii("9"),
        "OffsetTimeDigitized": ascii("+01:00"),
        "OffsetTimeOriginal": ascii("+09:00"),
    }
    found = read(DateTimeOriginal=ascii(text), **digitized)
    assert (found.clock_at, found.offset_min) == (AT.replace(microsecond=500_000), 60)


@pytest.mark.parametrize(
    "text",
    [
        "2027:05:08 19:31:05",
        "2027: 5: 8 19:31: 5",
        "2027-05-08 19:31:05",
        "2027/05/08T19:31:05",
        "2027:05:08:19:31:05",
    ],
)
def test_a_date_may_have_spaces_for_noughts_and_other_signs(text):
    assert read(DateTimeOriginal=ascii(text)).clock_at == AT


def test_the_day_that_comes_every_four_years_is_a_date():
    leap = read(DateTimeOriginal=ascii("2028:02:29 10:00:00")).clock_at
    assert leap == datetime(2028, 2, 29, 10, tzinfo=UTC)
    assert read(DateTimeOriginal=ascii("2027:02:29 10:00:00")).clock_at is None


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("+00:00", 0),
        ("-00:00", 0),
        ("+02:00", 120),
        ("-03:30", -210),  # Newfoundland
        ("+05:45", 345),  # Kathmandu
        ("+13:45", 825),  # Chatham Islands in summer
        ("+14:00", 840),  # Kiritimati, the largest there is
        ("-11:00", -660),
        ("Z", 0),
        ("+02:00 ", 120),
        ("   :  ", None),
        ("", None),
        ("+0200", None),
        ("02:00", None),
        ("+15:00", None),
        ("+02:60", None),
        ("+2:00", None),
        ("\u0662", None),
        ("CEST", None),
    ],
)
def test_an_offset_is_one_that_a_place_keeps_or_unknown(text, minutes):
    found = read(OffsetTimeOriginal=ascii(text))
    assert (found.offset_min, found.clock_at) == (minutes, AT)


def test_the_offset_of_the_last_change_stands_in_for_a_missing_one():
    assert read(OffsetTime=ascii("+10:00")).offset_min == 600
    both = {"OffsetTime": ascii("+10:00"), "OffsetTimeOriginal": ascii("+11:00")}
    assert read(**both).offset_min == 660


@pytest.mark.parametrize(
    ("text", "microseconds"),
    [
        ("5", 500_000),
        ("05", 50_000),
        ("123", 123_000),
        ("000123", 123),
        ("123456789", 123_456),  # cut, never rounded into the next second
        ("999999999", 999_999),
        ("12   ", 120_000),
        ("", 0),
        ("-1", 0),
        ("\u00b2", 0),
        ("1.5", 0),
    ],
)
def test_a_fraction_of_a_second_has_any_number_of_digits(text, microseconds):
    at = read(SubSecTimeOriginal=ascii(text)).clock_at
    assert at == AT.replace(microsecond=microseconds)


def test_a_serial_number_of_bytes_that_are_no_letters_is_none():
    # Bodies are known that write binary digits under the type of a text (ASCII, DC-008 table 8):
    # every one of a model would seem the same body by what of them can be printed.
    assert read(BodySerialNumber=ascii(b"\x10\x15`\x12\x95\x00\x03W")).serial == ""
    assert read(BodySerialNumber=ascii(b" 2\x07 7 ")).serial == ""
    assert read(BodySerialNumber=ascii(b"277\n")).serial == "277"


def test_a_maker_left_blank_is_taken_from_where_an_editor_put_it():
    # TIFF 6.0 section 2: a directory's tag is where it is; editors repeat Make in the Exif one.
    twice = block(camera("\0\0"), {0x010F: ascii("Maker")} | tags())
    assert frame_tags(jpeg(exif_segment(twice))).body == "Maker Model One"


def test_texts_are_cleaned_of_what_no_database_keeps():
    assert frame_tags(jpeg(exif_segment(block(camera(" Maker  ", "Mo\0del"), tags())))).body == (
        "Maker Mo"
    )
    odd = {
        b"Caf\xc3\xa9": "Café",  # UTF-8
        b"Caf\xe9": "Café",  # one byte a letter
        b"\xff" * 300: "ÿ" * 60,
        b"\0\0\0\0": "",
    }
    for raw, shown in odd.items():
        assert read(BodySerialNumber=ascii(raw)).serial == shown
    named = block(camera("A\x07B\x1b"), tags())
    assert frame_tags(jpeg(exif_segment(named))).make == "A B"
    assert read(BodySerialNumber=long(4201)).serial == "4201"
    # Exif 3.0 has a type of its own for UTF-8.
    assert read(BodySerialNumber=ascii("Café", kind=129)).serial == "Café"


def test_a_body_names_its_make_once():
    def body(make, model, **more):
        return frame_tags(jpeg(exif_segment(block(camera(make, model), tags(**more))))).body

    assert body("MAKER CORPORATION", "MAKER One", BodySerialNumber=ascii("7")) == "MAKER One 7"
    assert body("Maker", "One") == "Maker One"
    assert body("", "", BodySerialNumber=ascii("7")) == "7"
    assert body("", "") == ""


def test_tags_in_the_wrong_directory_count():
    wrong = block({**camera(), **tags(), TAGS["BodySerialNumber"]: ascii("7")})
    assert frame_tags(jpeg(exif_segment(wrong))).shutter_s == 0.008
    swapped = block({}, {**camera(), **tags()})
    assert frame_tags(jpeg(exif_segment(swapped))).body == "Maker Model One"
    # The right place wins where both say something.
    first = {**camera(), TAGS["PhotographicSensitivity"]: short(6400)}
    assert frame_tags(jpeg(exif_segment(block(first, tags())))).iso == 200


def test_a_directory_may_be_pointed_to_by_a_short():
    assert frame_tags(jpeg(exif_segment(block(camera(), tags(), pointer=short)))).iso == 200


@ORDERS
def test_whatever_stands_before_the_exif_is_passed_over(order):
    exif = exif_segment(block(camera(), tags(), order=order))
    for before in (
        [JFIF],
        [JFIF, ICC, XMP],
        [XMP, JFIF],
        [segment(0xEE, b"Adobe\0d\0\0\0\0\0"), segment(0xFE, b"a comment")],
        [segment(0xE1, b"Exif")],  # too short to be one
        [b"\xff\x01"],  # a marker without a length
        [b"\0\0\0"],  # bytes that are nothing
    ):
        assert frame_tags(jpeg(*before, exif)).iso == 200, before
    assert frame_tags(jpeg(exif_segment(block(camera(), tags()), fill=7))).iso == 200


def test_a_second_picture_behind_the_first_is_not_asked():
    # CIPA DC-007 (MPF): more pictures, each with an Exif of its own, follow after the first one.
    second = frame(DateTimeOriginal=ascii("2020:01:01 00:00:00"))
    assert frame_tags(frame() + second).clock_at == AT
    with pytest.raises(NotRead, match="no Exif"):
        frame_tags(jpeg(JFIF) + second)


def test_a_thumbnail_with_an_exif_of_its_own_is_not_asked():
    inside = frame(DateTimeOriginal=ascii("2020:01:01 00:00:00"))
    whole = block(camera(), tags()) + inside
    assert frame_tags(jpeg(exif_segment(whole))).clock_at == AT


def test_two_blocks_that_agree_are_one_and_each_fills_what_the_other_lacks():
    one = exif_segment(block(camera(), tags(FNumber=None)))
    other = exif_segment(block({}, tags(ExposureTime=None)))
    assert frame_tags(jpeg(one, XMP, other)) == frame_tags(frame())
    broken = exif_segment(b"II*\0")
    assert frame_tags(jpeg(broken, one)).iso == 200


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("ExposureTime", rational(1, 60)),
        ("FNumber", rational(8, 1)),
        ("PhotographicSensitivity", short(400)),
        ("DateTimeOriginal", ascii("2027:05:08 19:31:06")),
        ("BodySerialNumber", ascii("8")),
    ],
)
def test_two_blocks_that_contradict_each_other_are_refused(name, value):
    serial = {"BodySerialNumber": ascii("7")}
    one, other = block(camera(), tags(**serial)), block(camera(), tags(**serial | {name: value}))
    with pytest.raises(NotRead, match="two Exif blocks that contradict"):
        frame_tags(jpeg(exif_segment(one), exif_segment(other)))


def test_of_two_blocks_written_a_little_differently_the_first_counts():
    one = block(camera("MAKER"), tags(SubSecTimeOriginal=ascii("51")))
    apex = {"ExposureTime": None, "ShutterSpeedValue": rational(6966, 1000, signed=True)}
    other = block(camera("Maker, Inc."), tags(**apex, Flash=short(0)))
    found = frame_tags(jpeg(exif_segment(one), exif_segment(other)))
    assert (found.make, found.flash_bits, found.shutter_s) == ("MAKER", 0x10, 1 / 125)
    assert found.clock_at == AT.replace(microsecond=510_000)


def test_a_block_parted_over_two_segments_is_put_together():
    whole = block(camera(), tags(MakerNote=undefined(b"\x02" * 80_000)))
    parts = [exif_segment(whole[:60_000]), exif_segment(whole[60_000:])]
    assert frame_tags(jpeg(*parts)).focal_mm == 85


def test_the_picture_itself_may_be_anything():
    exif = exif_segment(block(camera(), tags()))
    for scan in (b"", b"\xff", b"\xff\xd9", b"\0" * 10_000):
        assert frame_tags(jpeg(exif, scan=scan)).iso == 200


# CIPA DC-008 section 4.6.5, Flash: bit 0 fired, 1 and 2 return light, 3 and 4 mode, 5 function,
# 6 red-eye; the values of its list, and some met outside it, spelt out.
@pytest.mark.parametrize(
    ("bits", "fired", "light_back", "mode", "none_there", "red_eye"),
    [
        (0x00, False, None, "unknown", False, False),
        (0x01, True, None, "unknown", False, False),
        (0x05, True, False, "unknown", False, False),
        (0x07, True, True, "unknown", False, False),
        (0x09, True, None, "on", False, False),
        (0x0F, True, True, "on", False, False),
        (0x10, False, None, "off", False, False),
        (0x18, False, None, "auto", False, False),
        (0x19, True, None, "auto", False, False),
        (0x20, False, None, "unknown", True, False),
        (0x30, False, None, "off", True, False),
        (0x48, False, None, "on", False, True),
        (0x5D, True, False, "auto", False, True),
        (0x5F, True, True, "auto", False, True),
    ],
)
def test_the_flash_tag_is_read_bit_by_bit(bits, fired, light_back, mode, none_there, red_eye):
    told = flash(bits)
    assert (told.fired, told.light_back, told.mode) == (fired, light_back, mode)
    assert (told.none_there, told.red_eye) == (none_there, red_eye)


# How files begin that people bring by mistake; the standards stand at the head of after/kinds.py.
BY_MISTAKE = {
    "HEIC": (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "send it from the phone as JPEG"),
    "HEIF burst": (b"\0\0\0\x18ftypmsf1\0\0\0\0", "HEIF picture"),
    "raw in boxes": (b"\0\0\0\x18ftypcrx \0\0\0\1", "raw or TIFF"),
    "film": (b"\0\0\0\x18ftypisom\0\0\2\0", "leave it out"),
    "film as telephones write it": (b"\0\0\0\x14ftypqt  \0\0\0\0", "This is a film"),
    "raw, little end first": (b"II*\0\x08\0\0\0", "raw or TIFF"),
    "raw, big end first": (b"MM\0*\0\0\0\x08", "raw or TIFF"),
    "PNG": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "another kind"),
    "WebP": (b"RIFF\x10\0\0\0WEBPVP8 ", "another kind"),
    "AVI": (b"RIFF\x10\0\0\0AVI LIST", "This is a film"),
    "GIF": (b"GIF89a", "another kind"),
    "PDF": (b"%PDF-1.7", "This is a PDF"),
    "7z": (b"7z\xbc\xaf\x27\x1c\0\4", "pack the JPEGs as a plain ZIP"),
    "AppleDouble": (b"\0\x05\x16\x07\0\2\0\0Mac OS X", "A computer put this beside"),
    "a card that failed": (bytes(70_000), "nothing but zeros"),
    "text": (b"hello", "This is no JPEG"),
    "one NUL less": (b"\0\0\0x", "This is no JPEG"),
}


@pytest.mark.parametrize("name", BY_MISTAKE)
def test_what_is_brought_by_mistake_is_told_what_it_is_and_what_to_do(name):
    content, why = BY_MISTAKE[name]
    for whole in (True, False):
        with pytest.raises(NotRead, match=why):
            frame_tags(content, whole=whole)


@pytest.mark.parametrize("kind", ["PNG", "GIF", "WEBP", "TIFF", "BMP", "JPEG2000", "PDF"])
def test_what_pillow_writes_in_other_formats_is_told_what_it_is(kind):
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(out, kind)
    with pytest.raises(NotRead) as refusal:
        frame_tags(out.getvalue())
    assert str(refusal.value) != NO_JPEG

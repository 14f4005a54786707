"""CSVs of the tags of frames, as people write them and as general tools do."""

import subprocess

import pytest

from planning.after.exif import frame_tags
from planning.frames_in.table import Table
from tests.jpegs import ascii, frame, short
from workshops.errors import Refused

COLUMNS = (
    "FileName,Make,Model,BodySerialNumber,DateTimeOriginal,OffsetTimeOriginal,SubSecTimeOriginal,"
    "ExposureTime,FNumber,ISO,Flash,FocalLength"
)


def rows(text: str, encoding: str = "utf-8") -> list:
    return list(Table(text.encode(encoding)).files())


def test_a_table_says_the_same_as_the_file():
    row = "A.jpg,Maker,Model One,,2027:05:08 19:31:05,+02:00,51,1/125,5.6,200,16,85"
    (one,) = rows(f"{COLUMNS}\n{row}\n")
    more = {"OffsetTimeOriginal": ascii("+02:00"), "SubSecTimeOriginal": ascii("51")}
    assert one.tags == frame_tags(frame(**more))


@pytest.mark.parametrize(
    "text",
    [
        "filename;Date Time Original;exposure time;f-number\n"
        "A.jpg;2027:05:08 19:31:05;0,008;f/5,6\n",
        "FileName\tDateTimeOriginal\tExposureTime\tFNumber\r\n"
        "A.jpg\t2027-05-08 19:31:05\t0.008\tF5.6\r\n",
        "sep=|\nFNUMBER|EXPOSURETIME|FILENAME|DATETIMEORIGINAL\n"
        '5.6|1/125 s|"A.jpg"|2027:05:08 19:31:05\n',
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_table_may_be_written_as_spreadsheets_do(text, encoding):
    (one,) = rows(text, encoding)
    assert (one.name, one.tags.shutter_s, one.tags.f_number) == ("A.jpg", 0.008, 5.6)


def test_names_with_accents_and_other_columns_are_no_trouble():
    text = "FileName,Make,DateTimeOriginal,GPSLatitude,UserComment\n"
    text += "Á.jpg,Café,2027:05:08 19:31:05,38.7,x\n"
    for encoding in ("utf-8", "cp1252"):
        (one,) = rows(text, encoding)
        assert (one.name, one.tags.make) == ("Á.jpg", "Café")


@pytest.mark.parametrize(
    ("column", "cell", "why"),
    [
        ("DateTimeOriginal", "8 May 2027", "DateTimeOriginal: write it as 2027:05:08 19:31:05"),
        ("DateTimeOriginal", "2027:02:30 10:00:00", "DateTimeOriginal: write it as"),
        ("OffsetTimeOriginal", "CEST", "OffsetTimeOriginal: write it as +02:00"),
        ("ExposureTime", "fast", "ExposureTime: write a number"),
        ("ExposureTime", "1/0", ""),
        ("FNumber", "-5.6", "FNumber: write a number"),
        ("ISO", "1e999", "ISO: write a number"),
        ("FocalLength", "long", "FocalLength: write a number"),
        ("Flash", "did not fire", "Flash: write the number"),
        ("Flash", "70000", "Flash: write the number"),
        ("FileName", "", "FileName: enter the name"),
    ],
)
def test_a_row_with_a_fault_says_its_number_and_what_to_write(column, cell, why):
    whole = {"FileName": "B.jpg", "DateTimeOriginal": "2027:05:08 19:31:05", column: cell}
    names = [*dict.fromkeys(["FileName", "DateTimeOriginal", column])]
    text = ",".join(names) + "\nA.jpg,2027:05:08 19:31:05" + "," * (len(names) - 2)
    text += "\n" + ",".join(whole[name] for name in names) + "\n"
    good, bad = rows(text)
    assert good.tags
    assert why in bad.why or (not why and "ExposureTime" in bad.why)
    assert bad.name.startswith("row 3, ")


@pytest.mark.parametrize(
    ("cell", "bits"), [("16", 16), ("0x10", 16), ("0X1F", 31), ("0", 0), ("", None)]
)
def test_the_flash_of_a_table_is_the_number_of_the_tag(cell, bits):
    (one,) = rows(f"FileName,DateTimeOriginal,Flash\nA.jpg,2027:05:08 19:31:05,{cell}\n")
    assert one.tags.flash_bits == bits


# How ExifTool 12.57 writes a folder's tags ("-csv", its own words and units): the same frame as the
# JPEG says. Its name of BodySerialNumber (DC-008, 0xA431) is SerialNumber.
WORDS = (
    "SourceFile,Make,Model,SerialNumber,DateTimeOriginal,OffsetTime,SubSecTimeOriginal,"
    "ExposureTime,FNumber,ISO,Flash,FocalLength\n"
    'day/A.jpg,Maker,Model One,77,2027:05:08 19:31:05,+02:00,51,1/125,5.6,200,"Off, Did not fire",'
    "85.0 mm\n"
)
GROUPED = (
    "SourceFile,File:FileName,Maker:ISO,Maker:SerialNumber,XMP:FNumber,IFD0:Make,ExifIFD:Make,"
    "EXIF:Model,ExifIFD:SerialNumber,ExifIFD:DateTimeOriginal,ExifIFD:OffsetTime,"
    "ExifIFD:SubSecTimeOriginal,ExifIFD:ExposureTime,ExifIFD:FNumber,ExifIFD:ISO,ExifIFD:Flash,"
    "ExifIFD:FocalLength\n"
    "day/A.jpg,A.jpg,9999,88,22,,Maker,Model One,77,2027:05:08 19:31:05,+02:00,51,0.008,5.6,200,16,"
    "85\n"
)


@pytest.mark.parametrize("text", [WORDS, GROUPED], ids=["in words", "by groups"])
def test_a_table_of_all_tags_of_a_folder_says_the_same_as_the_files(text):
    (one,) = rows(text)
    more = {"OffsetTimeOriginal": ascii("+02:00"), "SubSecTimeOriginal": ascii("51")}
    assert one.name == "A.jpg"
    assert one.tags == frame_tags(frame(**more, BodySerialNumber=ascii("77")))


def test_a_table_by_exiftool_says_the_same_as_the_files(need, tmp_path):
    exiftool = need("exiftool")
    for bits in (0x00, 0x01, 0x09, 0x0D, 0x10, 0x18, 0x1F, 0x20, 0x49, 0x50, 0x5D, 0x48):
        (tmp_path / f"{bits}.jpg").write_bytes(frame(Flash=short(bits)))
    for options in ([], ["-n"], ["-G1"], ["-G0:1", "-a"]):
        command = [exiftool, "-q", "-csv", *options, tmp_path]
        text = subprocess.run(command, check=True, capture_output=True).stdout
        found = {one.name: one.tags for one in Table(text).files()}
        assert len(found) == 12
        for name, said in found.items():
            assert said == frame_tags((tmp_path / name).read_bytes()), options


def test_a_table_has_what_stands_in_for_a_tag_that_says_nothing():
    text = (
        "FileName,DateTimeOriginal,CreateDate,SubSecTimeDigitized,ISO,RecommendedExposureIndex\n"
        "A.jpg,0000:00:00 00:00:00,2027:05:08 19:31:05,5,65535,102400\n"
        "B.jpg,2027:05:08 19:31:05.25+02:00,,,100,102400\n"
    )
    first, second = (one.tags for one in rows(text))
    digitized = {
        "DateTimeDigitized": ascii("2027:05:08 19:31:05"),
        "SubSecTimeDigitized": ascii("5"),
    }
    assert first.clock_at == frame_tags(frame(DateTimeOriginal=None, **digitized)).clock_at
    assert (first.iso, second.iso) == (102400, 100)
    assert (second.clock_at.microsecond, second.offset_min) == (250_000, 120)


def test_a_table_may_have_the_columns_of_many_makers_and_the_nuls_they_pad_with():
    names, padded = "Other," * 3000, "x\0," * 3000
    text = f"FileName,{names}DateTimeOriginal,FNumber\nA.jpg,{padded}2027:05:08 19:31:05,inf\n"
    (one,) = rows(text)
    assert one.tags.clock_at is not None
    assert one.tags.f_number is None


def test_a_zero_in_a_table_stands_for_not_known():
    text = "FileName,DateTimeOriginal,FNumber,FocalLength\nA.jpg,2027:05:08 19:31:05,0,0.0\n"
    (one,) = rows(text)
    assert (one.tags.f_number, one.tags.focal_mm) == (None, None)
    text = "FileName,DateTimeOriginal,FNumber\nA.jpg,0000:00:00 00:00:00,8\n"
    (one,) = rows(text)
    assert (one.tags.clock_at, one.tags.f_number) == (None, 8)


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "empty"),
        (b"FileName,DateTimeOriginal\n", "no row below"),
        (b"Name,When\nA,B\n", "lacks FileName, DateTimeOriginal"),
        (b"PK\3\4", "workbook"),
        (b"%PDF-1.7", "PDF"),
        (b'FileName,DateTimeOriginal\n"A.jpg,x\n', "never closed"),
        (b"FileName,DateTimeOriginal\n" + b"A,\n" * 20_001, "at most 20000"),
        (b"x" * (11 << 20), "more than 10 MB"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused_whole(content, why):
    with pytest.raises(Refused, match=why):
        Table(content)

"""Pictures come in made anew: nothing that hung on them, and nothing that is none."""

import io
import struct
import zlib

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from planning.models import SetPicture
from planning.pictures import EDGE_PX, cleaned
from tests import factories as make
from workshops.errors import Refused

DATE, COMMENT = "2027:05:08 14:40:00", b"taken at home, number 12"


def jpeg(size=(640, 480), colour="grey", **saved) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG", **saved)
    return out.getvalue()


def with_all_that_hangs_on_it() -> bytes:
    exif = Image.Exif()
    exif[0x0132] = DATE  # DateTime, Exif 2.32 table 4
    exif[0x0112] = 6  # Orientation: turned a quarter, the same table
    exif.get_ifd(0x8825)[1] = "N"  # the GPS directory
    return jpeg(exif=exif, comment=COMMENT, icc_profile=b"profile" * 30)


def test_nothing_that_hung_on_it_is_kept():
    made = cleaned(with_all_that_hangs_on_it())
    with Image.open(io.BytesIO(made.jpeg)) as picture:
        assert not picture.getexif()
        assert "comment" not in picture.info
        assert "icc_profile" not in picture.info
    for hidden in (DATE.encode(), COMMENT, b"profile", b"Exif"):
        assert hidden not in made.jpeg


def test_it_stands_upright_as_the_camera_meant():
    made = cleaned(with_all_that_hangs_on_it())
    assert (made.width_px, made.height_px) == (480, 640)


def test_a_large_one_is_kept_as_large_as_it_prints():
    made = cleaned(jpeg((4000, 3000)))
    assert (made.width_px, made.height_px) == (EDGE_PX, EDGE_PX * 3 // 4)


def test_what_is_seen_through_is_white():
    out = io.BytesIO()
    Image.new("RGBA", (300, 300), (0, 0, 0, 0)).save(out, "PNG")
    with Image.open(io.BytesIO(cleaned(out.getvalue()).jpeg)) as picture:
        assert min(picture.getpixel((150, 150))) > 250


def display_p3() -> bytes:
    """Return a profile of Display P3 (ICC.1:2022, 7 to 10; SMPTE EG 432-1 primaries, D50)."""

    def fixed(*values: float) -> bytes:
        return b"".join(struct.pack(">i", round(value * 65536)) for value in values)

    primaries = {
        b"rXYZ": (0.51512, 0.24120, -0.00105),
        b"gXYZ": (0.29198, 0.69225, 0.04189),
        b"bXYZ": (0.15710, 0.06657, 0.78407),
    }
    curve = b"para" + bytes(4) + struct.pack(">HH", 3, 0)
    curve += fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)  # IEC 61966-2-1
    tags = {name: b"XYZ " + bytes(4) + fixed(*xyz) for name, xyz in primaries.items()}
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    tags[b"wtpt"] = b"XYZ " + bytes(4) + fixed(0.9642, 1.0, 0.8249)
    table, data, start = struct.pack(">I", len(tags)), b"", 128 + 4 + 12 * len(tags)
    for name, content in tags.items():
        table += name + struct.pack(">II", start + len(data), len(content))
        data += content
    head = struct.pack(">I4sI4s4s4s12x4s", start + len(data), b"", 0x04300000, b"mntr", b"RGB ",
                       b"XYZ ", b"acsp")  # fmt: skip
    head = head.ljust(68, b"\0") + fixed(0.9642, 1.0, 0.8249)
    return head.ljust(128, b"\0") + table + data


def test_colours_of_a_phone_come_out_as_they_were_seen():
    # CSS Color 4, the worked example of its tests: this is sRGB (0, 128, 0) in Display P3.
    seen = tuple(round(255 * part) for part in (0.21604, 0.49418, 0.13151))
    for broken in (b"", b"no profile" * 20):
        kept = cleaned(jpeg(colour=seen, icc_profile=broken or display_p3(), quality=95))
        with Image.open(io.BytesIO(kept.jpeg)) as picture:
            wanted = seen if broken else (0, 128, 0)
            got = picture.getpixel((320, 240))
            assert all(abs(a - b) <= 6 for a, b in zip(got, wanted, strict=True)), got


def test_a_grey_of_sixteen_bits_is_as_bright_as_it_was():
    out = io.BytesIO()
    Image.new("I;16", (300, 300), 0x4000).save(out, "PNG")  # a quarter of 65,535
    with Image.open(io.BytesIO(cleaned(out.getvalue()).jpeg)) as picture:
        assert picture.getpixel((150, 150))[0] == pytest.approx(64, abs=2)


def test_a_jpeg_of_the_largest_sensor_is_taken():
    # 102 million points: the largest stills sensor sold, 11,648 by 8,736.
    out = io.BytesIO()
    Image.new("L", (11_648, 8_736)).save(out, "JPEG", quality=10)
    made = cleaned(out.getvalue())
    assert (made.width_px, made.height_px) == (EDGE_PX, EDGE_PX * 3 // 4)


def _png_bomb() -> bytes:
    """A PNG that says it is 60,000 points each way, in a few hundred bytes (W3C PNG, 11.2)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + check

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    rows = zlib.compress(b"\0" * 100)
    parts = (chunk(b"IHDR", head), chunk(b"IDAT", rows), chunk(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "cannot be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "cannot be read"),
        (b"%PDF-1.7 no picture", "cannot be read"),
        (jpeg()[:900], "cannot be read"),
        (_png_bomb(), "more points than any camera"),
        (jpeg((100, 100)), "at least 200 points"),
        (jpeg((4000, 250)), "more than 8 times as long"),
        (b"\xff\xd8\xff" + b"0" * (21 << 20), "at most 20 MB"),
    ],
)
def test_what_is_no_picture_is_refused_in_words(content, words):
    with pytest.raises(Refused, match=words):
        cleaned(content)


@pytest.mark.django_db
def test_pictures_come_in_by_their_page_three_at_most(client):
    make.HouseFactory()
    client.force_login(make.UserFactory())
    planned = make.LightFactory().planned_set
    place = f"/sets/{planned.pk}/pictures/"

    def bring(content=None, **words):
        given = {"words": "The wall", "credit": "Ines"} | words
        file = SimpleUploadedFile("a.jpg", jpeg() if content is None else content)
        return client.post(place, given | {"file": file})

    for _number in range(3):
        assert bring().status_code == 302
    full = bring()
    assert full.status_code == 422
    assert "delete one before the next" in full.content.decode()
    assert SetPicture.objects.count() == 3
    picture = client.get(f"/pictures/{SetPicture.objects.first().pk}.jpg")
    assert picture["Content-Type"] == "image/jpeg"
    assert picture["X-Content-Type-Options"] == "nosniff"


@pytest.mark.django_db
def test_a_file_that_is_none_is_told_at_its_field(client):
    make.HouseFactory()
    client.force_login(make.UserFactory())
    planned = make.LightFactory().planned_set
    file = SimpleUploadedFile("a.jpg", b"no picture")
    given = {"words": "The wall", "credit": "Ines", "file": file}
    answer = client.post(f"/sets/{planned.pk}/pictures/", given)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "cannot be read" in page
    assert 'value="The wall"' in page

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

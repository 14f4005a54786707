"""Frames sent from a browser: the first part of each file alone, stopped and gone on with."""

import io
import re
import zipfile

import pytest
from playwright.sync_api import expect

from planning.after.jpeg import FIRST_BYTES
from planning.models import Frame, FrameLot
from tests.jpegs import JFIF, ascii, block, camera, exif_segment, frame, jpeg, segment, tags
from workshops.models import Workshop

pytestmark = pytest.mark.usefixtures("full_site")

PICTURE = b"\x5a" * 80_000  # behind the Exif of each file, and of no use to anybody here


def files(count: int, *, last: bytes = b"") -> list[dict]:
    made = [
        frame(BodySerialNumber=ascii("900"), SubSecTimeOriginal=ascii(f"{number:03}")) + PICTURE
        for number in range(count)
    ]
    if last:
        made.append(last + PICTURE)
    return [
        {"name": f"NEW_{number:04}.JPG", "mimeType": "image/jpeg", "buffer": content}
        for number, content in enumerate(made)
    ]


@pytest.fixture
def page(open_as):
    opened = open_as()
    opened.goto(f"/workshops/{Workshop.objects.order_by('pk').first().pk}/frames/")
    return opened


def new_frames() -> int:
    return Frame.objects.filter(file_name__startswith="NEW_").count()


def test_only_the_first_part_of_each_file_leaves_the_device(page):
    sent = []
    page.on("request", lambda one: sent.append(len(one.post_data_buffer or b"")))
    late = jpeg(JFIF, segment(0xE2, b"\0" * 65_000), exif_segment(block(camera(), tags())))
    page.locator("#id_files").set_input_files(files(21, last=late))
    with page.expect_navigation():
        page.get_by_role("button", name="Bring them in").click()
    assert new_frames() == 22
    lot = FrameLot.objects.order_by("pk").last()
    assert (lot.done, lot.expected, lot.ended_at is not None) == (22, 22, True)
    # 22 heads, and once more those of the batch in which one file had to be sent longer. No part
    # is larger than what a proxy lets through that nobody told about this page.
    assert max(sent) < 1 << 20
    assert sum(sent) < 33 * (FIRST_BYTES + 1000)
    expect(page.locator(".lot", has_text="22 frames taken")).to_be_visible()


def test_what_is_stopped_says_so_and_goes_on_where_it_was(page):
    held = []

    def hold(route):
        held.append(route)
        if len(held) == 1:
            route.continue_()  # the second batch waits until it is let go

    page.route("**/frames/", hold)
    page.locator("#id_files").set_input_files(files(25))
    page.get_by_role("button", name="Bring them in").click()
    status = page.locator(".sending [role=status]")
    expect(page.get_by_role("button", name="Go on")).to_be_hidden()
    expect(status).to_contain_text("13 of 25 files are in: 13 taken, 0 here before, 0 not taken.")
    page.get_by_role("button", name="Stop").click()
    expect(status).to_contain_text("Stopped. What is in stays")
    assert page.evaluate("document.activeElement.textContent") == "Go on"
    page.unroute("**/frames/", hold)
    with page.expect_navigation():
        page.get_by_role("button", name="Go on").click()
    assert new_frames() == 25
    assert FrameLot.objects.order_by("pk").last().known == 0


def test_a_connection_that_is_lost_says_how_to_go_on_and_nothing_comes_in_twice(page):
    answered = []

    def lose(route):
        """The server takes the second batch, and its answer is lost on the way."""
        answered.append(route.fetch())
        if len(answered) == 2:
            route.abort()
        else:
            route.fulfill(response=answered[-1])

    page.route("**/frames/", lose)
    page.locator("#id_files").set_input_files(files(25))
    page.get_by_role("button", name="Bring them in").click()
    expect(page.locator(".sending [role=status]")).to_contain_text("Broken off")
    assert new_frames() == 25
    page.unroute("**/frames/", lose)
    with page.expect_navigation():
        page.get_by_role("button", name="Go on").click()
    lot = FrameLot.objects.order_by("pk").last()
    assert (lot.done, lot.taken, lot.known) == (25, 25, 0)


def test_a_table_beside_frames_comes_in_after_them(page):
    table = b"FileName,DateTimeOriginal\nNEW_T.JPG,2027:05:08 19:31:05\n"
    mixed = [*files(2), {"name": "tags.csv", "mimeType": "text/csv", "buffer": table}]
    page.locator("#id_files").set_input_files(mixed)
    with page.expect_navigation(url="**go=1*"):
        page.get_by_role("button", name="Bring them in").click()
    assert new_frames() == 3


def test_a_zip_on_its_way_says_so_until_the_page_answers(page):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("NEW_1.JPG", frame(BodySerialNumber=ascii("900")) + PICTURE * 40)
    chosen = {"name": "day.zip", "mimeType": "application/zip", "buffer": out.getvalue()}
    page.locator("#id_files").set_input_files(chosen)
    # Held back by the page itself: a browser on its way elsewhere answers no questions.
    page.evaluate("document.addEventListener('submit', (event) => event.preventDefault())")
    page.get_by_role("button", name="Bring them in").click()
    expect(page.locator(".sending .count")).to_have_text(re.compile(r"^Sending 3 MB\."))
    expect(page.locator(".sending progress")).not_to_have_attribute("value", re.compile("."))
    expect(page.locator(".sending .stop")).to_be_hidden()
    with page.expect_navigation():
        page.evaluate("document.querySelector('form[data-frames]').submit()")
    expect(page.locator(".lot", has_text="day.zip")).to_contain_text("1 frame taken")
    expect(page.locator(".sending")).to_be_hidden()

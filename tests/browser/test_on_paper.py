"""A page sent to a printer from the browser: what was on it, not what it was pressed with."""

import subprocess

import pytest

from tests.conftest import need
from workshops.models import Workshop

pytestmark = pytest.mark.usefixtures("full_site")


def test_a_list_of_who_is_here_is_printed_without_buttons_and_never_cut_within_a_person(
    open_as, tmp_path
):
    workshop = Workshop.objects.earliest("pk")
    names = [str(one.person) for one in workshop.bookings.live().select_related("person")]
    page, file = open_as(), tmp_path / "here.pdf"
    page.goto(f"/workshops/{workshop.pk}/here/")
    assert page.get_by_role("button", name="Save who is here").is_visible()
    page.pdf(path=file, format="A4")
    told = subprocess.run([need("pdftotext"), file, "-"], capture_output=True, check=True)
    sides = told.stdout.decode().split("\f")[:-1]
    assert len(sides) > 1, "one page cuts nobody: print a longer list"
    for name in names:
        (side,) = [one for one in sides if name in one]
        after = side.split(name)[1]
        assert "Comes at" in after, f"cut within {name}"
        assert "Leaves at" in after, f"cut within {name}"
    assert sum(side.count("Comes at") for side in sides) == len(names)
    assert not any("Save who is here" in side or "Questionnaires" in side for side in sides)

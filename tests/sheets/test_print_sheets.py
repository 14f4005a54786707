"""``manage.py print_sheets`` and the admin's action: what they write, say and refuse."""

import io
import os
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse
from pypdf import PdfReader

from planning.models import PlannedSet
from planning.printing import file_name
from tests import factories as make

pytestmark = pytest.mark.django_db


def day_of_two():
    make.HouseFactory()
    planned = make.SetFactory(position=1, title="Slate wall")
    make.LightFactory(planned_set=planned)
    second = make.SetFactory(
        workshop=planned.workshop, location=planned.location, position=2, title="Pier / dusk"
    )
    make.LightFactory(planned_set=second)
    return planned.workshop


@pytest.fixture
def workshop():
    return day_of_two()


def printed(*arguments, **options) -> tuple[str, str]:
    out, err = io.StringIO(), io.StringIO()
    call_command("print_sheets", *arguments, stdout=out, stderr=err, **options)
    return out.getvalue(), err.getvalue()


def nowhere(workshop):
    """Move the second set to a place without coordinates: no sun, so no plan."""
    place = make.LocationFactory(latitude_deg=None, longitude_deg=None)
    PlannedSet.objects.filter(workshop=workshop, position=2).update(location=place)


def test_each_set_gets_a_file_and_the_day_a_pack(workshop, tmp_path):
    said, _ = printed(str(workshop.pk), out=str(tmp_path / "new" / "sheets"))
    folder = tmp_path / "new" / "sheets"
    assert sorted(path.name for path in folder.iterdir()) == [
        "all-sets.pdf",
        "set-1-slate-wall.pdf",
        "set-2-pier-dusk.pdf",
    ]
    assert "1 of 2  set-1-slate-wall.pdf, 2 pages" in said
    assert "2 of 2  set-2-pier-dusk.pdf, 2 pages" in said
    assert len(PdfReader(folder / "all-sets.pdf").pages) == 4


def test_the_paper_asked_for_wins_over_the_houses(workshop, tmp_path):
    printed(str(workshop.pk), out=str(tmp_path), paper="letter")
    page = PdfReader(tmp_path / "set-1-slate-wall.pdf").pages[0]
    assert float(page.mediabox.width) == pytest.approx(612, abs=0.5)  # 8.5 in, ANSI Y14.1


def test_a_set_without_a_plan_is_named_and_the_others_still_print(workshop, tmp_path):
    nowhere(workshop)
    out, err = io.StringIO(), io.StringIO()
    with pytest.raises(CommandError) as failure:
        call_command("print_sheets", str(workshop.pk), out=str(tmp_path), stdout=out, stderr=err)
    assert failure.value.returncode == 1
    assert "Pier / dusk" in str(failure.value)
    assert "has no coordinates" in err.getvalue()
    assert "1 of 2 sheets" in out.getvalue()
    assert (tmp_path / "set-1-slate-wall.pdf").exists()
    assert not (tmp_path / "set-2-pier-dusk.pdf").exists()


@pytest.mark.parametrize("number", ["999", "zero", "-1", "²", "9" * 30])
def test_an_unknown_workshop_is_refused_in_one_sentence(number, tmp_path):
    with pytest.raises(CommandError, match="WORKSHOP_ID: there is no workshop") as failure:
        printed(number, out=str(tmp_path))
    assert failure.value.returncode == 2


def test_a_workshop_without_sets_is_refused(tmp_path):
    empty = make.WorkshopFactory()
    with pytest.raises(CommandError, match="has no sets") as failure:
        printed(str(empty.pk), out=str(tmp_path))
    assert failure.value.returncode == 2


def test_a_folder_that_cannot_be_written_is_refused(workshop, tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CommandError, match="--out: nothing can be written to") as failure:
        printed(str(workshop.pk), out=str(tmp_path / "file"))
    assert failure.value.returncode == 2


def test_a_file_in_the_way_of_a_sheet_is_named(workshop, tmp_path):
    (tmp_path / "set-1-slate-wall.pdf").mkdir()
    with pytest.raises(CommandError, match=r"set-1-slate-wall\.pdf cannot be written") as failure:
        printed(str(workshop.pk), out=str(tmp_path))
    assert failure.value.returncode == 2
    assert not [path for path in os.listdir(tmp_path) if path.endswith(".part")]


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Slate wall", "set-3-slate-wall.pdf"),
        ("../../etc/passwd", "set-3-etcpasswd.pdf"),
        ("Grünes Haus", "set-3-grunes-haus.pdf"),
        ("\N{CAMERA}", "set-3.pdf"),
        ("x" * 500, "set-3-" + "x" * 60 + ".pdf"),
    ],
)
def test_file_names_are_safe_whatever_the_title(title, name):
    assert file_name(3, title) == name
    assert Path(name).name == name


@pytest.fixture
def office(client):
    client.force_login(make.UserFactory())
    return client


def sent(office, model: str, action: str, ids: list[int]):
    page = reverse(f"admin:{model}_changelist")
    return office.post(page, {"action": action, "_selected_action": ids}, follow=True)


def test_the_office_prints_a_set_from_its_list(office, workshop):
    first = workshop.sets.get(position=1)
    answer = sent(office, "planning_plannedset", "print_sets", [first.pk])
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'attachment; filename="set-1-slate-wall.pdf"'
    assert len(PdfReader(io.BytesIO(answer.content)).pages) == 2


def test_the_office_prints_a_whole_workshop(office, workshop):
    answer = sent(office, "workshops_workshop", "print_workshops", [workshop.pk])
    assert answer["Content-Type"] == "application/pdf"
    assert len(PdfReader(io.BytesIO(answer.content)).pages) == 4


def test_the_office_is_told_which_set_has_no_plan(office, workshop):
    second = workshop.sets.get(position=2)
    nowhere(workshop)
    answer = sent(office, "planning_plannedset", "print_sets", [second.pk])
    assert answer.status_code == 200
    assert f"Set {second.pk} is not printed" in answer.content.decode()


def test_a_workshop_without_sets_prints_nothing_and_says_so(office):
    empty = make.WorkshopFactory()
    answer = sent(office, "workshops_workshop", "print_workshops", [empty.pk])
    assert "There are no sets to print" in answer.content.decode()


def test_a_stranger_prints_nothing(client, workshop):
    answer = sent(client, "workshops_workshop", "print_workshops", [workshop.pk])
    assert answer["Content-Type"] != "application/pdf"

"""Whatever a record's texts hold, every document is printed: with it, or saying what it leaves out.

Every free text of every model is filled, so that a new field is tried without being named here;
every document of the site is printed, so that a new one is too, and held to the rules of PDF/UA-1:
one printing of everything serves both, for printing is what costs.
"""

import re
import subprocess
from collections.abc import Iterator

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, models, transaction
from django.test import Client

from tests.conftest import need
from tests.pages import full_house
from tests.sheets.test_pdf_rules import documents, faults, validator  # noqa: F401 (a fixture)
from workshops.models import House

pytestmark = pytest.mark.django_db

# No free text: what programs read, and what is told apart by its whole text.
NO_TEXT = {
    "timezone_name", "currency", "language", "password", "code", "digest", "figure", "witness",
    "calendar_host", "key", "record_type", "record_id", "email", "to_address",
}  # fmt: skip
# Names by which one record finds another: alike before, alike afterwards.
NAMES = {"light_name", "own_trigger", "body"}
# Told only of what was cancelled or opened again, which the database sees to.
ONLY_WITH = {"cancelled_reason", "reopened_reason"}

MARKUP = (
    "<script>alert(1)</script><img src=file:///etc/passwd><img src='http://e.example/x.png'>"
    "</td></table>--><!--]]>&amp;&#0;<style>@page{size:1mm}</style>"
)
TEMPLATE = "{{ 7|add:7 }}{% load static %}%(name)s %s %d %%(x)d {x} {0.__class__} {"
RIGHT_TO_LEFT = "\N{RIGHT-TO-LEFT OVERRIDE}\u05e9\u05dc\u05d5\u05dd \u0645\u0631\u062d\u0628\u0627"
EMOJI = "\U0001f469\u200d\U0001f467 \U0001f4f8\ufe0f \u2764\ufe0f \U0001f1e9\U0001f1ea"
UNSEEN = (
    "a\u200bb\ufeffc\u2060d\u00ade\u034ff\u180e\u3164\x01\x07\x1b[31m\x7f\x85\ufffe\uffff\x0b\x0c"
)
BREAKS = "one\u2028two\u2029three"  # pasted out of a word processor
SHORT = f"<b>{{{{ 7 }}}} \u2028 %s {{0}} {EMOJI} \x0b {RIGHT_TO_LEFT} file:///etc/passwd"
HOSTILE = {
    "all sorts": " ".join((BREAKS, EMOJI, MARKUP, TEMPLATE, RIGHT_TO_LEFT, UNSEEN)),
    "all sorts, the other way round": " ".join((UNSEEN, RIGHT_TO_LEFT, TEMPLATE, MARKUP)),
    "50,000 characters": "lorem ipsum <b> & dolor " * 2100,
    "one word of 50,000 letters": "W" * 50_000,
    "nothing but ends of lines": "\n\n\r\n" * 300 + "end" + "\n- x" * 12_000,
    "spaces that do not break": "\N{NO-BREAK SPACE}" * 5000 + "x",
    "tags in tags": "<" * 3000 + ">" * 3000,
    "signs our fonts lack": "\u6c34\u4e2d\u306e\u5149" * 3000,
    "marks on marks": "e" + "\u0301\u0316\u20dd" * 400,
    "letters beyond the first plane": "\U0001d56c\U0001d4ea\ufb01\u0130\u00df\u01c6" * 300,
}
SAID = ("cannot be printed here: see the record", "no se pueden imprimir aquí")
FEWEST_FIELDS = 50  # of which a text was found again on some document
NARROW = ("labels",)  # no room to own up: the kit sheet beside them does


def free_texts() -> Iterator[tuple[type[models.Model], models.Field]]:
    """Yield every field of ours that holds what somebody typed."""
    for model in apps.get_models():
        if model._meta.app_label not in ("workshops", "planning"):
            continue
        for field in model._meta.local_fields:
            typed = type(field) in (models.CharField, models.TextField) and not field.choices
            if typed and field.name not in NO_TEXT:
                yield model, field


def fill(text: str) -> dict[str, str]:
    """Put a text into every free text of every record; return each field's own sign, by field."""
    signs: dict[str, str] = {}
    for number, (model, field) in enumerate(free_texts()):
        signs[str(field)] = sign = f"z{number:03}q"
        for pk, old in list(model._base_manager.values_list("pk", field.name)):
            if field.name in NAMES:
                new = f"{old} {text}" if old else ""
            else:
                new = f"{sign}{pk} {old[:20]} {text}"
            _overwrite(model, field, pk, new[: field.max_length])
    return signs


def _overwrite(model: type[models.Model], field: models.Field, pk: object, text: str) -> None:
    """Write past forms and services: some of these records refuse to be changed by ours."""
    name = connection.ops.quote_name
    table, column, key = map(name, (model._meta.db_table, field.column, model._meta.pk.column))
    pk = model._meta.pk.get_db_prep_value(pk, connection)
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"UPDATE {table} SET {column} = %s WHERE {key} = %s", [text, pk])
    except IntegrityError:
        assert field.name in ONLY_WITH, f"{field}: fill it by hand, or say that it is no free text"


def read(content: bytes) -> str:
    """Return a document's text, by a reader that is none of ours."""
    asked = [need("pdftotext"), "-", "-"]
    told = subprocess.run(asked, input=content, capture_output=True, check=True)
    return re.sub(r"\s+", " ", told.stdout.decode())


@pytest.fixture
def office(tmp_path) -> Client:
    client = Client()
    client.force_login(full_house.build(tmp_path))
    return client


def test_every_document_prints_whatever_its_records_say(office, tmp_path, request):
    signs = fill(SHORT)
    made = documents(office)
    texts = {name: read(content) for name, content in made.items()}
    shown = {field for field, sign in signs.items() if any(sign in one for one in texts.values())}
    assert len(shown) >= FEWEST_FIELDS, sorted(signs.keys() - shown)
    silent = [name for name, text in texts.items() if not any(one in text for one in SAID)]
    assert silent == list(NARROW), "signs left out, and not a word of it"
    assert all("<b>{{ 7" in text for name, text in texts.items() if name not in NARROW)
    active = re.compile(rb"/(JavaScript|Launch|URI|EmbeddedFile)\b")
    assert not [name for name, content in made.items() if active.search(content)]
    # Asked for last: where the validator is missing, all before it has been tested.
    found = faults(request.getfixturevalue("validator"), made, tmp_path)
    assert not found, "\n".join(sorted(found))


@pytest.mark.slow
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("kind", HOSTILE)
def test_every_document_prints_in_both_languages(
    kind,
    language,
    office,
    tmp_path,
    validator,  # noqa: F811
):
    fill(HOSTILE[kind])
    House.objects.update(language=language)
    found = faults(validator, documents(office), tmp_path)
    assert not found, "\n".join(sorted(found))

"""Every word a sheet prints can be translated; only figures and the house's own texts stay.

A made-up language writes whatever it is asked for in Greek letters, and the house's texts are
in Greek too: a Latin word on a page has never been asked for.
"""

import ast
import html
import re
from dataclasses import fields, is_dataclass, replace
from functools import cache
from pathlib import Path

import pytest
from django.template.loader import render_to_string
from django.utils.translation import override, trans_real

from planning.plan import evaluate
from planning.plan.inputs import AttendeeInputs, ForecastInputs
from planning.sheets import pages
from planning.sheets.options import PrintOptions
from tests.planning import day
from tests.sheets.example import FILL, OCTA, RIM, full_beach, slate_wall

OPTIONS = PrintOptions(language="xx")
# Marks, units and letters that read the same in every language a sheet may be printed in.
SIGNS = {
    *("M", "f", "ISO", "WB", "ND", "EV", "GN", "m", "o", "e"),
    *("mm", "kg", "K", "N", "Wh", "W", "s", "C"),
}
OWN_TEXTS = {
    *("title", "workshop", "name", "owner", "strobe", "stand", "modifier", "gel", "trigger"),
    *("channel", "backdrop", "wardrobe", "notes", "objective", "emergency", "hazards", "revision"),
    *("flash_system", "fits", "guardian", "meter"),
}
ROOT = Path(__file__).resolve().parents[2]
MARKERS = ("_", "gettext", "ngettext", "gettext_noop")
LATIN = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
GREEK = "αβγδεζηθικλμνξοπρσςτυφχψωϊΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΪΤΥΦΧΨΩΫ"
PLACES = r"(\{\w*\}|%\(\w+\)[sd]|%[sd%])"  # of figures within a message
TO_GREEK = str.maketrans(LATIN, GREEK)


class Foreign(trans_real.DjangoTranslation):
    """A language without a Latin letter, whatever message it is asked for."""

    asked: set[str]

    def gettext(self, message):
        if trans_real.CONTEXT_SEPARATOR not in message:  # the months, which Django brings
            self.asked.add(message)
        parts = re.split(PLACES, message.rpartition(trans_real.CONTEXT_SEPARATOR)[2])
        return "".join(
            part if place % 2 else part.translate(TO_GREEK) for place, part in enumerate(parts)
        )

    def ngettext(self, one, many, number):
        return self.gettext(one if number == 1 else many)


@pytest.fixture(name="language", autouse=True)
def made_up_language(monkeypatch):
    language = Foreign("en")
    language.asked = set()
    monkeypatch.setitem(trans_real._translations, "xx", language)
    return language


@cache
def marked() -> set[str]:
    """Every message the translators are shown: what makemessages would find in our files."""
    found = set()
    for path in (ROOT / "planning").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in MARKERS:
                found |= {one.value for one in node.args if isinstance(one, ast.Constant)}
    for path in (ROOT / "templates").rglob("*.*"):
        text = path.read_text(encoding="utf-8")
        found |= set(re.findall(r'{% translate "([^"]*)"', text))
        for block in re.findall(r"{% blocktranslate.*?%}(.*?){% endblocktranslate %}", text):
            found |= {re.sub(r"{{ (\w+) }}", r"%(\1)s", one) for one in block.split("{% plural %}")}
    return found


def in_greek(part):
    """The same inputs with every text of the house's own in letters no message holds."""
    if isinstance(part, tuple):
        return tuple(in_greek(one) for one in part)
    if isinstance(part, str):  # one of a list of names
        return part.translate(TO_GREEK)
    if not is_dataclass(part):
        return part
    changed = {}
    for field in fields(part):
        value = getattr(part, field.name)
        own = field.name in OWN_TEXTS or (
            isinstance(part, ForecastInputs) and field.name == "source"
        )
        if isinstance(value, str):
            changed[field.name] = value.translate(TO_GREEK) if own else value
        else:
            changed[field.name] = in_greek(value)
    return replace(part, **changed)


def untranslated(text: str) -> set[str]:
    return set(re.findall(r"[A-Za-z]+", text)) - SIGNS


def shown(page: str) -> str:
    """What a page of HTML shows, the texts for its margins included."""
    margins = re.findall(r'data-(?:leaf|side|foot)="([^"]*)"', page)
    words = re.sub(r"<[^>]*>", " ", page.replace("<strong>", "").replace("</strong>", ""))
    return html.unescape(" ".join([words, *margins]))


NO_SHOE = replace(day.CAMERA, owner="Una", name="Body U", shoe="none")
CASES = {
    "worked day": slate_wall(),
    "everything": full_beach(),
    "continued": slate_wall(
        attendees=tuple(replace(one, name=f"{one.name} {n}") for n in (1, 2, 3) for one in
                        slate_wall().attendees),
        lights=(OCTA, FILL, RIM, replace(RIM, name="Rim two"), replace(RIM, name="Rim three")),
    ),
    "no lamp": slate_wall(lights=()),
    "no forecast": slate_wall(forecast=None),
    "hand held": slate_wall(lights=(replace(OCTA, hand_held=True, stand=""),)),
    "calm": slate_wall(forecast=replace(slate_wall().forecast, wind_m_s=2.0, gust_m_s=4.0)),
    "too heavy": slate_wall(lights=(replace(OCTA, rated_load_kg=1.0),)),
    "too weak": slate_wall(lights=(replace(OCTA, guide_number_m=9.0), RIM)),
    "too strong": slate_wall(lights=(replace(OCTA, least_power=0.9, guide_number_m=200.0),)),
    "fill": slate_wall(job="fill", stops_under=0.0, lights=(replace(FILL, angle_deg=-30),)),
    "spot": slate_wall(base_kind="spot", readings=()),
    "nobody served": slate_wall(
        attendees=(*slate_wall().attendees, AttendeeInputs("Una", NO_SHOE))
    ),
    "someone under age": slate_wall(
        attendees=(replace(slate_wall().attendees[0], under_age=True),), strobe_sensitive=True
    ),
    "evening": slate_wall(
        start_at=day.START.replace(hour=21, minute=40),
        end_at=day.START.replace(hour=22, minute=20),
        given_f_number=4.0,
        readings=(),
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_no_word_of_a_sheet_escapes_the_translators(case, language):
    inputs = in_greek(CASES[case])
    plan = evaluate(inputs)
    found = set()
    with override("xx"):
        room = pages.ROOMS[-1] if case == "continued" else pages.ROOMS[0]
        front = pages.front_page(plan, inputs, OPTIONS, room)
        back = pages.back_page(plan, inputs, OPTIONS, room, pages.ROOMY_BACK)
        for template, context in (("set_front.html", front), ("set_back.html", back)):
            found |= untranslated(shown(render_to_string(f"sheets/{template}", context)))
        say = OPTIONS.figures(inputs.location.timezone)
        text = render_to_string("planning/set_plan.txt", {"plan": plan, "say": say})
        found |= untranslated(text)
    assert not found - {inputs.location.footing}  # the house's own word, which a caution asks for
    unmarked = language.asked - marked() - {"W.s"}  # a unit
    assert not unmarked


def test_the_page_margins_and_the_free_side_are_translated():
    with override("xx"):
        for is_back in (False, True):
            style = render_to_string("sheets/sheet.css", pages.style(OPTIONS, is_back=is_back))
            texts = " ".join(re.findall(r'content:[^;]*?"([^"]*)"', style))
            assert not untranslated(texts)
        free = render_to_string("sheets/free_side.html", {"options": OPTIONS})
    assert not untranslated(shown(free))


def test_a_text_of_the_house_stays_as_it_was_written():
    inputs = slate_wall(wardrobe="sky", title="key")
    with override("xx"):
        back = pages.back_page(evaluate(inputs), inputs, OPTIONS, pages.ROOMS[0], pages.ROOMY_BACK)
        page = render_to_string("sheets/set_back.html", back)
    heading = re.search(r"<h1[^>]*>(.*?):", page).group(1)
    assert heading.endswith("2&ensp;key")

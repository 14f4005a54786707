"""A whole tally sheet typed in: all of it or nothing."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from planning.forms.tally_paper import WORDS, PaperForm, Row
from planning.paper_lines import paper_lines
from planning.selectors.lesson import noted_from
from planning.selectors.tally import tallies_of
from planning.selectors.tally_choices import for_tally, tally_choices
from planning.services.paper import note_paper
from planning.sheets.options import print_options
from workshops.access import found, may
from workshops.views.edit import BAD, add_refusal

KEPT = "paper"  # under which the session keeps a paper that is half typed in
LONGEST = 500  # of what one box holds


@may("add", "tallyevent", "planning")
def tally_paper(request: HttpRequest, pk: int) -> HttpResponse:
    planned_set, now = found(request, for_tally(), pk), timezone.now()
    tally, kept = tallies_of([pk])[pk], request.session.get(KEPT, {}).get(str(pk), {})
    form = PaperForm(
        request.POST or None,
        choices=tally_choices(planned_set),
        tally=tally,
        house=request.house,
        initial=dict(kept),
    )
    if request.method == "POST" and "book" in request.POST:
        _keep(request, pk, form)
        return redirect(reverse("booking-new", args=[planned_set.workshop_id]) + f"?paper={pk}")
    if request.method == "POST" and form.is_valid():
        try:
            count = note_paper(
                by=request.user,
                planned_set=planned_set,
                key=form.cleaned_data["key"],
                now=now,
                lines=paper_lines(form, now),
            )
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            _forget(request, pk)
            messages.success(request, _told(count))
            return redirect("tally", pk)
    context = {
        "form": form,
        "kept": bool(kept) and not form.is_bound,
        "planned_set": planned_set,
        "workshop": planned_set.workshop,
        "tally": tally,
        "is_early": now < noted_from(planned_set),
        "say": print_options(request.house).figures(planned_set.location.timezone_name),
        **_boxes(form),
    }
    return render(request, "planning/tally_paper.html", context, status=BAD if form.errors else 200)


def _keep(request: HttpRequest, pk: int, form: PaperForm) -> None:
    """Keep what was typed so far, while somebody who came unbooked is given a seat."""
    typed = {name: form.data.get(name, "")[:LONGEST] for name in form.fields}
    # Of one paper, the one last typed in: a session is no store.
    request.session[KEPT] = {str(pk): {name: text for name, text in typed.items() if text}}


def _forget(request: HttpRequest, pk: int) -> None:
    if str(pk) in request.session.get(KEPT, {}):
        del request.session[KEPT]


def _told(count: int) -> str:
    if not count:
        return _("Everything on this paper was noted already.")
    return ngettext(
        "The paper is noted: %(n)d event is new.",
        "The paper is noted: %(n)d events are new.",
        count,
    ) % {"n": count}


def _boxes(form: PaperForm) -> dict:
    """Return the boxes in the order of the paper; one that is noted already shows no field."""
    # What was typed and refused is never hidden.
    hidden = set() if form.is_bound else set(form.noted()) - set(form.initial)
    people = {one.booking_id: one for one in form.tally.people}
    heads = {one.light: one for one in form.tally.heads}
    return {
        "times": [form[name] for name in ("began_at", "ended_at") if name not in hidden],
        "base": [
            form[name] for name in ("base_at", "base_f", "base_tenths", "base_shutter", "base_iso")
        ],
        "recipe": [
            form[name] for name in ("recipe_at", "recipe_f", "recipe_shutter", "recipe_iso")
        ],
        "weather": [form[name] for name in ("gust_m_s", "sky")],
        "people": [
            (row, people.get(int(row.key)), _fields(form, row, hidden)) for row in form.people
        ],
        "heads": [(row, heads[row.name], _fields(form, row, hidden)) for row in form.heads],
        "words": [form[name] for name, _label in WORDS],
    }


def _fields(form: PaperForm, row: Row, hidden: set[str]) -> list:
    return [[form[name] for name in names if name not in hidden] for names in row.groups]

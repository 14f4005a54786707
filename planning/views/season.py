"""The season: what workshops of some dates came to, as a page, as CSV and as a workbook."""

from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from planning.forms.season import SeasonForm
from planning.season_page import season_page
from planning.season_tables import CODES, TITLES, table, tables
from planning.selectors.season import Dates, SeasonRows, season_rows, whole_span
from planning.sheets.options import print_options
from workshops.access import may
from workshops.lists.writing import as_workbook
from workshops.models.base import in_zone
from workshops.views.edit import BAD
from workshops.views.lists import book_file, csv_file


@may("view", "workshop")
def season(request: HttpRequest) -> HttpResponse:
    """The figures of the account's own workshops; money only where it may be seen."""
    form, dates = _asked(request)
    context = {"form": form, "dates": dates, "years": _years(request)}
    if dates is None:
        return render(request, "planning/season.html", context, status=BAD)
    found = _found(request, dates)
    say = print_options(request.house).figures(request.house.timezone_name)
    context |= {
        "found": found,
        "page": season_page(found, request.house, say),
        "say": say,
        "query": _query(dates),
        "files": TITLES,
    }
    if not found.workshops and (span := whole_span(request.user)):
        context |= {"span": span, "span_query": _query(span)}
    return render(request, "planning/season.html", context)


@may("view", "workshop")
def season_csv(request: HttpRequest, code: str) -> HttpResponse:
    """One table of the season as CSV."""
    if code not in CODES:
        raise Http404(code)
    _form, dates = _asked(request)
    if dates is None:
        return _back(request)
    one = table(_found(request, dates), code)
    return csv_file(_name(dates, one.title), one.header, one.rows)


@may("view", "workshop")
def season_xlsx(request: HttpRequest) -> HttpResponse:
    """All tables of the season as a workbook, a sheet each."""
    _form, dates = _asked(request)
    if dates is None:
        return _back(request)
    sheets = [(one.title, one.header, one.rows) for one in tables(_found(request, dates))]
    return book_file(as_workbook(sheets), _name(dates, _("season")))


def _asked(request: HttpRequest) -> tuple[SeasonForm, Dates | None]:
    """Return the form and the dates it asks for, None where it cannot be answered."""
    form = SeasonForm(request.GET, today=_today(request))
    if not form.is_valid():
        return form, None
    dates = form.cleaned_data["dates"]
    return SeasonForm({"from": dates.first, "to": dates.last}, today=form.today), dates


def _found(request: HttpRequest, dates: Dates) -> SeasonRows:
    with_money = request.user.has_perm("workshops.view_payment")
    return season_rows(request.user, dates, request.house, timezone.now(), with_money=with_money)


def _today(request: HttpRequest) -> date:
    return in_zone(timezone.now(), request.house.timezone_name).date()


def _years(request: HttpRequest) -> list[tuple[int, str]]:
    """Return this year and the two before, each with the query that shows it."""
    year = _today(request).year
    return [
        (one, _query(Dates(date(one, 1, 1), date(one, 12, 31))))
        for one in range(year, year - 3, -1)
    ]


def _query(dates: Dates) -> str:
    return f"from={dates.first:%Y-%m-%d}&to={dates.last:%Y-%m-%d}"


def _back(request: HttpRequest) -> HttpResponse:
    """Lead to the page, which says what is wrong with the dates."""
    return redirect(f"{reverse('season')}?{request.GET.urlencode()}")


def _name(dates: Dates, title: str) -> str:
    return f"{title} {dates.first} {dates.last}"

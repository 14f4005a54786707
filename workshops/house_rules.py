"""The house on every request: its record, and the language its pages are in."""

from dataclasses import dataclass

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext_lazy as _

import workshops
from workshops.models import User
from workshops.selectors.house import house


class HouseMiddleware:
    """Put the House record on the request and speak its language for the answer."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.house = house()
        with translation.override(spoken(request.house.language)):
            response = self.get_response(request)
            response.headers.setdefault("Content-Language", translation.get_language())
        return response


def spoken(language: str) -> str:
    """Return the language code if the pages exist in it, else the site's own."""
    return language if language in dict(settings.LANGUAGES) else settings.LANGUAGE_CODE


PAGES = (  # of the navigation: name, URL name, right without which it is left out
    (_("Start"), "start", None),
    (_("Workshops"), "workshops", "workshops.view_workshop"),
    (_("Handed out"), "handed-out", "workshops.view_checkout"),
    (_("Locations"), "locations", "workshops.view_location"),
    (_("Kit"), "kit", "workshops.view_kitkind"),
    (_("Own figures"), "learnt", "planning.view_flashreading"),
    (_("Points"), "points", "planning.view_teachingpoint"),
    (_("People"), "people", "workshops.view_person"),
    (_("Season"), "season", "workshops.view_workshop"),
    (_("House"), "house", "workshops.change_house"),
    (_("Accounts"), "accounts", "workshops.manage_accounts"),
)


@dataclass(frozen=True)
class Page:
    """A link of the navigation; ``current`` is its aria-current, empty elsewhere."""

    name: str
    place: str
    current: str


def site(request: HttpRequest) -> dict:
    """Return what every page shows: the house, the version, the navigation (context processor)."""
    # Outside a request that went through the middleware there is no house to name.
    rules = getattr(request, "house", None)
    user = getattr(request, "user", None)
    pages = _pages(user, request.path) if user and user.is_authenticated else []
    return {"house": rules, "version": workshops.__version__, "pages": pages}


def _pages(user: User, here: str) -> list[Page]:
    pages = []
    for name, url_name, right in PAGES:
        if right and not user.has_perm(right):
            continue
        place = reverse(url_name)
        inside = place != "/" and here.startswith(place)
        pages.append(Page(name, place, "page" if here == place else "true" if inside else ""))
    return pages

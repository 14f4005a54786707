"""The house settings: one page, obeyed by every sheet and page."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import may
from workshops.forms.house import HouseForm
from workshops.selectors.house import house
from workshops.services.house import save_house
from workshops.views.edit import answer


@may("change", "house")
def house_edit(request: HttpRequest) -> HttpResponse:
    # Read once more: a refused form must not colour the rules this page is shown by.
    form = HouseForm(request.POST or None, instance=house(), house=request.house)
    return answer(
        request,
        form,
        template="workshops/house.html",
        save=lambda form: save_house(
            by=request.user,
            now=timezone.now(),
            record=form.instance,
            seen=form.cleaned_data["seen"],
        ),
        then=lambda _house: reverse("house"),
        context={
            "heading": _("House settings"),
            "lead": _("What stands here is obeyed by every page and every sheet."),
        },
    )

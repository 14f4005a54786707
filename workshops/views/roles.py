"""Who teaches, models and helps at a workshop."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from workshops.access import asked, found, found_workshop, may
from workshops.forms.roles import RoleForm
from workshops.models import Workshop, WorkshopRole
from workshops.selectors.people import people
from workshops.services.workshops import save_role
from workshops.views.edit import answer, delete


@may("add", "workshoprole")
def role_new(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    role = WorkshopRole(workshop=workshop, role=request.GET.get("role", ""))
    context = {"heading": _("Somebody for the day"), "asked": asked(request)}
    return _role(request, role, workshop, context)


@may("change", "workshoprole")
def role_edit(request: HttpRequest, pk: int) -> HttpResponse:
    role = found(request, WorkshopRole.objects.select_related("workshop", "person"), pk)
    context = {"heading": str(role.person), "remove": reverse("role-delete", args=[pk])}
    return _role(request, role, role.workshop, context)


def _role(
    request: HttpRequest, role: WorkshopRole, workshop: Workshop, context: dict
) -> HttpResponse:
    back = reverse("workshop", args=[workshop.pk])
    form = RoleForm(
        request.POST or None,
        instance=role,
        house=request.house,
        people=people(asked(request)),
        new_people=request.user.has_perm("workshops.add_person"),
    )
    return answer(
        request,
        form,
        template="workshops/somebody.html",
        save=lambda form: save_role(
            by=request.user,
            role=form.instance,
            new_person=form.new_person(),
            seen=form.cleaned_data["seen"],
        ),
        then=lambda _saved: back,
        context=context | {"back": back, "back_to": str(workshop)},
    )


@may("delete", "workshoprole")
def role_delete(request: HttpRequest, pk: int) -> HttpResponse:
    role = found(request, WorkshopRole.objects.select_related("workshop", "person"), pk)
    then = reverse("workshop", args=[role.workshop_id])
    return delete(request, role, back=reverse("role-edit", args=[pk]), then=then)

"""Who may do what: an account's role gives its rights, and its workshops their bounds.

Every view says its right in one line (``may``) and finds its record among those the account may
see (``own``); everybody else gets the 403 or the 404 page. Nothing is granted anywhere else.
"""

from collections.abc import Callable, Iterable

from django.apps import apps
from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.decorators import permission_required
from django.db.models import Model, Q, QuerySet
from django.http import HttpRequest
from django.shortcuts import get_object_or_404

from workshops.models import Person, User, Workshop, WorkshopRole

Role = User.Role

ACTIONS = ("view", "add", "change", "delete")
# Nobody's by role: the audit is written by the site, medical answers are read by who leads.
KEPT_APART = ("auditentry", "medicalanswers", "user")
TEACHES = (WorkshopRole.Role.LEAD, WorkshopRole.Role.INSTRUCTOR)

PRESENCE = (
    "workshops.note_presence"  # who is here, comes later, leaves: of a booking, and only that
)


def _every(*models: str, actions: Iterable[str] = ACTIONS, app: str = "workshops") -> set[str]:
    return {f"{app}.{action}_{model}" for action in actions for model in models}


INSTRUCTOR = frozenset(
    _every("workshop", "workshoprole", "booking", "person", "reservation", actions=["view"])
    | _every("location", "forecast", "tidepoint", "landmark", "guidenumberreading", "traveltime")
    | _every("workshopbreak", "weathercall")
    | _every("kitkind", "kitunit", actions=["view", "change"])
    | _every("camerabody", actions=["view", "add", "change"])
    | _every("rehearsal", "checkout", actions=["view", "add", "change"])
    | _every("plannedset", "plannedlight", "reading", "teachingpoint", "setpicture", app="planning")
    | _every("tallyevent", actions=["view", "add"], app="planning")
    | _every("flashreading", "framelot", "frame", "cameraclock", app="planning")
    | _every("leftout", "countsfrom", actions=["view"], app="planning")
    | _every("feedback", "closing", actions=["view"])
    | {PRESENCE}
)
HELPER = frozenset(_every("checkout", actions=["view", "add", "change"]))
# Rights that are no record's: accounts on the site's own page, which makes no administrators.
OFFICE_ONLY = frozenset({"workshops.manage_accounts", "workshops.view_auditentry"})


def rights(role: str) -> frozenset[str]:
    """Return what a role may do, as Django names rights: "workshops.change_location"."""
    if role == Role.OFFICE:
        models = (m for app in ("workshops", "planning") for m in apps.get_app_config(app).models)
        both = {name for name in models if name not in KEPT_APART}
        return (
            OFFICE_ONLY
            | {PRESENCE}
            | frozenset(
                right for app in ("workshops", "planning") for right in _every(*both, app=app)
            )
        )
    return {Role.INSTRUCTOR: INSTRUCTOR, Role.HELPER: HELPER}.get(role, frozenset())


class RoleBackend(ModelBackend):
    """Log-in by e-mail and password; rights by role alone, whatever else the database holds."""

    def get_all_permissions(self, user_obj, obj=None):
        if not user_obj.is_active or user_obj.is_anonymous or obj is not None:
            return set()
        return rights(user_obj.role)


def may(action: str, model: str, app: str = "workshops") -> Callable:
    """Return a decorator for views: the account must hold that right, such as "change location".

    Whoever is not logged in is led to the log-in page by the middleware, before this is asked.
    """
    return permission_required(f"{app}.{action}_{model}", raise_exception=True)


def sees_all(user: User) -> bool:
    """Return whether an account sees every workshop: the office and administrators do."""
    return user.is_superuser or user.role == Role.OFFICE


def own_workshops(user: User) -> QuerySet[Workshop]:
    """Return the workshops an account has to do with: all, or where its person has a role."""
    if sees_all(user):
        return Workshop.objects.all()
    if user.person_id is None:
        return Workshop.objects.none()
    wanted = TEACHES if user.role == Role.INSTRUCTOR else (*TEACHES, WorkshopRole.Role.HELPER)
    named = WorkshopRole.objects.filter(person=user.person_id, role__in=wanted)
    return Workshop.objects.filter(pk__in=named.values("workshop"))


def own(user: User, rows: QuerySet, path: str = "workshop") -> QuerySet:
    """Return the rows of the account's own workshops; ``path`` leads from a row to its workshop."""
    if sees_all(user):
        return rows
    return rows.filter(**{f"{path}__in": own_workshops(user)})


def seen_by(user: User) -> set[int]:
    """Return the numbers of the workshops an account may open, for links beside other names."""
    return set(own_workshops(user).values_list("pk", flat=True))


def own_people(user: User) -> QuerySet[Person]:
    """Return the people an account may see: all, or itself and those of its own workshops."""
    if sees_all(user):
        return Person.objects.all()
    workshops = own_workshops(user)
    booked = Person.objects.filter(bookings__workshop__in=workshops).values("pk")
    named = Person.objects.filter(roles__workshop__in=workshops).values("pk")
    return Person.objects.filter(Q(pk__in=booked) | Q(pk__in=named) | Q(pk=user.person_id))


def found(
    request: HttpRequest, rows: QuerySet | type[Model], pk: int, path: str = "workshop"
) -> Model:
    """Return one record of the account's own workshops; anybody else's is not found (404)."""
    rows = rows if isinstance(rows, QuerySet) else rows._default_manager.all()
    return get_object_or_404(own(request.user, rows, path), pk=pk)


def found_workshop(request: HttpRequest, pk: int, rows: QuerySet | None = None) -> Workshop:
    """Return one of the account's own workshops, or 404."""
    return found(request, Workshop if rows is None else rows, pk, path="pk")


def leads(user: User, workshop: Workshop) -> bool:
    """Return whether the account's person is the lead instructor of a workshop.

    Being an administrator or of the office is not enough.
    """
    if user.person_id is None or not user.is_active:
        return False
    return workshop.roles.filter(person=user.person_id, role=WorkshopRole.Role.LEAD).exists()


def asked(request: HttpRequest) -> str:
    """Return what a list is searched for."""
    return request.GET.get("q", "").strip()

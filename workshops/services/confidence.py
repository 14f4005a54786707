"""Nobody alone gives themselves what opens medical answers; where there is only one, it is told.

Whoever runs the accounts can in the end become anybody on the site, and whoever has the machine
and its key can read everything. So a step towards the answers takes two, and each one, like every
reading, is written down and shown to the lead (``selectors.confidence``).
"""

from django.db.models import Q
from django.utils.translation import gettext as _

from workshops.errors import Refused
from workshops.models import User, WorkshopRole


def check_own_person(*, by: User | None, user: User) -> None:
    """Raise Refused when somebody changes which person their own account is, not being alone.

    The person of an account leads, or does not lead, workshops.
    """
    if by is None or by.pk != user.pk or not _has_others(by):
        return
    if User.objects.values_list("person_id", flat=True).get(pk=user.pk) != user.person_id:
        sentence = _(
            "Person: somebody else with the right to accounts changes who you are; an account "
            "opens what people told in confidence to the one it belongs to."
        )
        raise Refused({"person": sentence})


def check_own_lead(*, by: User | None, role: WorkshopRole) -> None:
    """Raise Refused when somebody names themselves lead where people have told something already.

    The lead who hands over, or anybody else of the office, names the new one.
    """
    if by is None or by.person_id is None or role.role != WorkshopRole.Role.LEAD:
        return
    if role.person_id != by.person_id or not role.workshop.medical_answers.exists():
        return
    led = WorkshopRole.objects.filter(
        workshop=role.workshop_id, person=by.person_id, role=WorkshopRole.Role.LEAD
    )
    if not led.exists() and _has_others(by):
        sentence = _(
            "Role: people have told the lead something in confidence: somebody else of the office "
            "names you, or the lead does."
        )
        raise Refused({"role": sentence})


def _has_others(by: User) -> bool:
    """Return whether another account could take the step: of the office, or an administrator."""
    office = Q(role=User.Role.OFFICE) | Q(is_superuser=True)
    return User.objects.filter(office, is_active=True).exclude(pk=by.pk).exists()

"""Who opened the medical answers of a workshop, and what decided who may."""

from django.db.models import Q, QuerySet

from workshops.models import AuditEntry, User, Workshop, WorkshopRole

Action = AuditEntry.Action
LEAD = WorkshopRole.Role.LEAD
OF_ACCOUNT = ("person", "email", "password", "is_active")  # what decides whose an account is


def opened(workshop: Workshop) -> QuerySet[AuditEntry]:
    """Return the readings of what was told for a workshop, the newest first."""
    return AuditEntry.objects.filter(
        action=Action.READ, record_type=Workshop._meta.label_lower, record_id=str(workshop.pk)
    )


def decided(workshop: Workshop) -> list[AuditEntry]:
    """Return each change of who leads a workshop and of the accounts of leads, newest first."""
    roles = _of_leading(workshop)
    people = {one for entry in roles for one in entry.changes.get("person", ()) if one}
    people |= set(workshop.roles.filter(role=LEAD).values_list("person", flat=True))
    entries = [*roles, *_of_accounts(people)]
    return sorted(entries, key=lambda entry: (entry.at, entry.pk), reverse=True)


def _of_leading(workshop: Workshop) -> list[AuditEntry]:
    rows = AuditEntry.objects.filter(record_type=WorkshopRole._meta.label_lower)
    # A role is of one workshop for good, named where it was made and where it was taken back.
    born = Q(action=Action.CREATED, changes__workshop__1=workshop.pk)
    gone = Q(action=Action.DELETED, changes__workshop__0=workshop.pk)
    there = {str(pk) for pk in workshop.roles.values_list("pk", flat=True)}
    known = there | set(rows.filter(born | gone).order_by().values_list("record_id", flat=True))
    leading, was_lead = [], set()
    for entry in rows.filter(record_id__in=known).order_by("at", "pk"):
        sort = entry.changes.get("role", ())
        if LEAD in sort or (entry.record_id in was_lead and "person" in entry.changes):
            leading.append(entry)
        if sort:
            (was_lead.add if sort[1] == LEAD else was_lead.discard)(entry.record_id)
    return leading


def _of_accounts(people: set[int]) -> list[AuditEntry]:
    rows = AuditEntry.objects.filter(record_type=User._meta.label_lower)
    named = Q(pk__in=())
    for person in people:
        named |= Q(changes__person__0=person) | Q(changes__person__1=person)
    accounts = set(rows.filter(named).order_by().values_list("record_id", flat=True))
    now = User.objects.filter(person__in=people).values_list("pk", flat=True)
    accounts |= {str(pk) for pk in now}
    entries = rows.filter(record_id__in=accounts)
    return [one for one in entries if set(OF_ACCOUNT) & set(one.changes)]

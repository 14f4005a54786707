"""Accounts of office and instructors."""

from django.contrib.auth.models import Permission
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from workshops import audit
from workshops.errors import Refused
from workshops.models import User

# What an instructor has no business changing: accounts, and what the audit says.
NOT_RECORDS = ("user", "auditentry")


@transaction.atomic
def create_user(
    *,
    by: User | None,
    email: str,
    password: str,
    name: str = "",
    is_staff: bool = True,
    is_superuser: bool = False,
) -> User:
    """Return a new account; the first administrator has ``by`` None.

    Raises Refused for an address in use or a password too weak.
    """
    user = User(
        email=email.strip().lower(), name=name, is_staff=is_staff, is_superuser=is_superuser
    )
    try:
        validate_password(password, user)
    except ValidationError as fault:
        raise Refused({"password": fault.messages}) from None
    user.set_password(password)
    audit.write(user, by=by)
    return user


@transaction.atomic
def give_records(*, by: User | None, user: User) -> User:
    """Return the account with the right to see and change every record but accounts and audit."""
    before = rights(user)
    user.user_permissions.set(
        Permission.objects.filter(content_type__app_label__in=("workshops", "planning")).exclude(
            content_type__model__in=NOT_RECORDS
        )
    )
    audit.note(user, before, rights(user), by=by)
    return user


def rights(user: User) -> dict[str, list[str]]:
    """Return what an account may do, as the audit keeps it."""
    own = user.user_permissions.select_related("content_type")
    return {
        "groups": sorted(str(group) for group in user.groups.all()),
        "user_permissions": sorted(str(right) for right in own),
    }

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
def give_records(*, user: User) -> User:
    """Return the account with the right to see and change every record but accounts and audit."""
    user.user_permissions.set(
        Permission.objects.filter(content_type__app_label__in=("workshops", "planning")).exclude(
            content_type__model__in=NOT_RECORDS
        )
    )
    return user

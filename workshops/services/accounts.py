"""Accounts of office and instructors."""

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from workshops import audit
from workshops.errors import Refused
from workshops.models import User


@transaction.atomic
def create_user(
    *,
    by: User | None,
    email: str,
    password: str,
    name: str = "",
    role: str = User.Role.OUTSIDER,
    is_staff: bool = False,
    is_superuser: bool = False,
) -> User:
    """Return a new account; the first administrator has ``by`` None.

    Raises Refused for an address in use or a password too weak.
    """
    user = User(
        email=email.strip().lower(),
        name=name,
        role=role,
        is_staff=is_staff,
        is_superuser=is_superuser,
    )
    try:
        validate_password(password, user)
    except ValidationError as fault:
        raise Refused({"password": fault.messages}) from None
    user.set_password(password)
    audit.write(user, by=by)
    return user

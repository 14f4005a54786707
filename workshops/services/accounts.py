"""Accounts of office, instructors and helpers."""

import secrets

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from workshops import audit
from workshops.errors import Refused
from workshops.models import Person, User
from workshops.services.confidence import check_own_person


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


@transaction.atomic
def open_account(
    *, by: User, email: str, name: str, role: str, person: Person | None = None
) -> User:
    """Return a new account whose owner sets the password by a link in a mail.

    Raises Refused for an address or a person that has an account already.
    """
    user = User(email=email.strip().lower(), name=name, role=role, person=person)
    # Nobody knows it; an account without any would get no link.
    user.set_password(secrets.token_urlsafe(32))
    return audit.write(user, by=by)


@transaction.atomic
def save_account(*, by: User, user: User) -> User:
    """Return an account as its form left it.

    Raises Refused for one's own role, log-in or person, which somebody else must change, and for
    an administrator's account unless ``by`` is one.
    """
    stored = User.objects.select_for_update().get(pk=user.pk)
    if stored.is_superuser and not by.is_superuser:
        raise Refused(_("This is an administrator's account: only an administrator changes it."))
    if stored.pk == by.pk and (stored.role, stored.is_active) != (user.role, user.is_active):
        raise Refused(_("Role: somebody else changes yours, so that nobody locks themselves out."))
    check_own_person(by=by, user=user)
    if user.role != User.Role.OFFICE and not user.is_superuser:
        user.is_staff = False  # the back room knows no bounds of own workshops
    return audit.write(user, by=by)

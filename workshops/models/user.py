"""Accounts: people log in by e-mail."""

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager, PermissionsMixin
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class UserManager(BaseUserManager):
    def get_by_natural_key(self, username):
        return self.get(email__iexact=username)

    def create_user(self, email: str, password: str | None = None, **fields) -> "User":
        """Return a new account, its address in lower case."""
        user = self.model(email=email.strip().lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def create_superuser(self, email: str, password: str | None = None, **fields) -> "User":
        """Return a new account that may do everything in the admin."""
        return self.create_user(email, password, is_staff=True, is_superuser=True, **fields)


class User(AbstractBaseUser, PermissionsMixin):
    """Somebody who may log in: office and instructors. Attendees need no account."""

    class Role(models.TextChoices):
        OFFICE = "office", _("office")
        INSTRUCTOR = "instructor", _("instructor")
        HELPER = "helper", _("helper")
        OUTSIDER = "outsider", _("outsider")

    email = models.EmailField(
        _("e-mail"), unique=True, help_text=_("The address you log in with. Case does not matter.")
    )
    name = models.CharField(_("name"), max_length=120, blank=True)
    role = models.CharField(
        _("role"),
        max_length=10,
        choices=Role.choices,
        default=Role.OUTSIDER,
        help_text=_("What the account may see and do on the site."),
    )
    person = models.OneToOneField(
        "Person",
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="account",
        verbose_name=_("person"),
        help_text=_("Who it is among the people: an instructor's own workshops are found by it."),
    )
    is_active = models.BooleanField(
        _("may log in"), default=True, help_text=_("Untick instead of deleting an account.")
    )
    is_staff = models.BooleanField(
        _("may enter the admin"),
        default=False,
        help_text=_("What may be changed there is set by groups and permissions below."),
    )
    date_joined = models.DateTimeField(_("since"), default=timezone.now, editable=False)

    objects = UserManager()
    audit_hides = ("password", "last_login")

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: tuple[str, ...] = ()

    class Meta:
        verbose_name = _("user")
        verbose_name_plural = _("users")
        ordering = ("email",)
        constraints = (
            models.CheckConstraint(
                condition=Q(is_staff=False) | Q(is_superuser=True) | Q(role="office"),
                name="user_admin_for_the_office",
                violation_error_message=_(
                    "May enter the admin: only the office and administrators; it knows no bounds "
                    "of own workshops."
                ),
            ),
            models.UniqueConstraint(
                Lower("email"),
                name="user_email_once",
                violation_error_message=_("E-mail: an account with this address exists already."),
            ),
        )

    def __str__(self) -> str:
        return self.name or self.email

    def clean(self):
        super().clean()
        self.email = self.email.strip().lower()

    def get_full_name(self) -> str:
        return str(self)

    def get_short_name(self) -> str:
        return str(self)

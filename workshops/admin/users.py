"""Accounts: log-in by e-mail."""

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin as DjangoUserAdmin
from django.contrib.auth.forms import AdminUserCreationForm
from django.contrib.auth.models import Group
from django.db import transaction
from django.utils.translation import gettext_lazy as _

from workshops import audit
from workshops.admin.base import AuditedAdmin
from workshops.models import User
from workshops.services.accounts import rights

# Rights are given to accounts one by one until the house has roles of its own.
admin.site.unregister(Group)


class NewUserForm(AdminUserCreationForm):
    class Meta:
        model = User
        fields = ("email", "name")


@admin.register(User)
class UserAdmin(AuditedAdmin, DjangoUserAdmin):
    add_form = NewUserForm
    ordering = ("email",)
    list_display = ("email", "name", "is_staff", "is_active")
    list_filter = ("is_staff", "is_superuser", "is_active")
    search_fields = ("email", "name")
    readonly_fields = ("last_login", "date_joined")
    fieldsets = (
        (None, {"fields": ("email", "name", "password")}),
        (
            _("Rights"),
            {"fields": ("is_active", "is_staff", "is_superuser", "user_permissions")},
        ),
        (_("Dates"), {"fields": ("last_login", "date_joined")}),
    )
    add_fieldsets = (
        (None, {"fields": ("email", "name", "usable_password", "password1", "password2")}),
    )

    def save_related(self, request, form, formsets, change):
        before = rights(form.instance)
        super().save_related(request, form, formsets, change)
        after = rights(form.instance)
        if before != after:
            audit.note(form.instance, before, after, by=request.user)

    @transaction.atomic
    def user_change_password(self, request, id, form_url=""):
        user = self.get_object(request, id)
        before = audit.snapshot(user) if user else None
        response = super().user_change_password(request, id, form_url)
        if user:
            user.refresh_from_db()
            audit.note(user, before, audit.snapshot(user), by=request.user)
        return response

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
from workshops.services.confidence import check_own_person

# An account has the rights of its role and no others.
admin.site.unregister(Group)


class NewUserForm(AdminUserCreationForm):
    class Meta:
        model = User
        fields = ("email", "name")


@admin.register(User)
class UserAdmin(AuditedAdmin, DjangoUserAdmin):
    add_form = NewUserForm
    ordering = ("email",)
    autocomplete_fields = ("person",)
    filter_horizontal = ()
    list_display = ("email", "name", "role", "is_staff", "is_active")
    list_filter = ("role", "is_staff", "is_superuser", "is_active")
    search_fields = ("email", "name")
    readonly_fields = ("last_login", "date_joined")
    fieldsets = (
        (None, {"fields": ("email", "name", "password")}),
        (
            _("Rights"),
            {"fields": ("is_active", "role", "person", "is_staff", "is_superuser")},
        ),
        (_("Dates"), {"fields": ("last_login", "date_joined")}),
    )
    add_fieldsets = (
        (None, {"fields": ("email", "name", "usable_password", "password1", "password2")}),
    )

    def save_model(self, request, obj, form, change):
        if change:
            check_own_person(by=request.user, user=obj)
        super().save_model(request, obj, form, change)

    @transaction.atomic
    def user_change_password(self, request, id, form_url=""):
        user = self.get_object(request, id)
        before = audit.snapshot(user) if user else None
        response = super().user_change_password(request, id, form_url)
        if user:
            user.refresh_from_db()
            audit.note(user, before, audit.snapshot(user), by=request.user)
        return response

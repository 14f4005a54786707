"""People and their cameras."""

from django.contrib import admin
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin, StackedRows
from workshops.models import CameraBody, Person


class CameraInline(StackedRows):
    model = CameraBody
    extra = 0
    fieldsets = (
        (
            None,
            {
                "fields": (
                    ("name", "firmware"),
                    ("sync_s", "sync_known", "fastest_shutter_s", "curtain_s"),
                    ("lowest_iso", "sensor_width_mm", "sensor_height_mm"),
                    ("shoe", "centre_contact", "pc_socket"),
                    ("electronic_only", "leaf_shutter", "flash_system"),
                )
            },
        ),
    )


@admin.register(Person)
class PersonAdmin(AuditedAdmin):
    list_display = ("name", "email", "phone", "language", "under_age")
    list_filter = ("language", "under_age", "photo_consent", "roles__role")
    search_fields = ("name", "email", "phone", "notes", "cameras__name")
    inlines = (CameraInline,)
    fieldsets = (
        (None, {"fields": ("name", "email", "phone", "language")}),
        (_("In an emergency"), {"fields": ("emergency_name", "emergency_phone")}),
        (
            _("On the day"),
            {
                "fields": (
                    "experience",
                    "goal",
                    "equipment",
                    "own_trigger",
                    "access_needs",
                    "dietary",
                    "swims",
                    "photo_consent",
                )
            },
        ),
        (
            _("Under 18"),
            {"fields": ("under_age", "birth_date", "guardian_name", "guardian_phone")},
        ),
        (None, {"fields": ("notes",)}),
    )


@admin.register(CameraBody)
class CameraBodyAdmin(AuditedAdmin):
    list_display = ("name", "owner", "sync", "iso", "shoe", "centre_contact", "electronic_only")
    list_filter = ("shoe", "centre_contact", "electronic_only", "flash_system")
    list_select_related = ("owner",)
    search_fields = ("name", "owner__name", "flash_system")
    autocomplete_fields = ("owner",)

    @admin.display(description=_("sync"), ordering="sync_s")
    def sync(self, camera):
        return CameraBody._meta.get_field("sync_s").show(camera.sync_s)

    @admin.display(description=_("lowest ISO"), ordering="lowest_iso")
    def iso(self, camera):
        return CameraBody._meta.get_field("lowest_iso").show(camera.lowest_iso)

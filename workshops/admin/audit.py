"""The audit table, to be read only."""

from django.contrib import admin

from workshops.models import AuditEntry


@admin.register(AuditEntry)
class AuditEntryAdmin(admin.ModelAdmin):
    list_display = ("at", "who_text", "action", "record_type", "record_id", "record_text")
    list_filter = ("action", "record_type")
    search_fields = ("who_text", "record_type", "record_id", "record_text")
    date_hierarchy = "at"

    def has_add_permission(self, request):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False

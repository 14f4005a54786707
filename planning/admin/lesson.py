"""Teaching points and events of the day."""

from django.contrib import admin

from planning.models import TallyEvent, TeachingPoint
from workshops.admin.base import AuditedAdmin


@admin.register(TeachingPoint)
class TeachingPointAdmin(AuditedAdmin):
    list_display = ("__str__", "code", "position", "hidden")
    list_filter = ("hidden",)
    search_fields = ("code", "name", "objective")

    def has_delete_permission(self, request, obj=None):
        # A point of the library comes again with the next migrate: it is hidden, not deleted.
        return super().has_delete_permission(request, obj) and (obj is None or not obj.code)


@admin.register(TallyEvent)
class TallyEventAdmin(AuditedAdmin):
    list_display = ("kind", "planned_set", "booking", "round", "at")
    list_filter = ("kind",)
    list_select_related = ("planned_set", "booking__person", "booking__workshop")
    search_fields = ("planned_set__title", "booking__person__name", "notes")
    autocomplete_fields = ("planned_set", "booking", "takes_back")

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False

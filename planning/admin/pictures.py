"""Pictures of sets: words and credit; the picture itself comes in by the site's own page."""

from django.contrib import admin

from planning.models import SetPicture
from workshops.admin.base import AuditedAdmin


@admin.register(SetPicture)
class SetPictureAdmin(AuditedAdmin):
    list_display = ("words", "credit", "planned_set")
    list_select_related = ("planned_set",)
    search_fields = ("words", "credit", "planned_set__title")
    fields = ("words", "credit")

    def has_add_permission(self, request):
        return False

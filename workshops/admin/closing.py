"""Workshops closed, and what people said of them."""

from django.contrib import admin

from workshops.admin.base import AuditedAdmin, TabularRows
from workshops.models import Closing, Feedback, LetBy


class LetByInline(TabularRows):
    model = LetBy
    extra = 0
    can_delete = False
    fields = readonly_fields = ("what", "reason")

    def has_add_permission(self, request, obj):
        return False


@admin.register(Closing)
class ClosingAdmin(AuditedAdmin):
    """Shown only: a workshop is closed, and opened again, on its own page."""

    list_display = ("workshop", "closed_at", "by", "reopened_at")
    list_select_related = ("workshop", "by")
    search_fields = ("workshop__title",)
    inlines = (LetByInline,)

    def has_add_permission(self, request):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False


@admin.register(Feedback)
class FeedbackAdmin(AuditedAdmin):
    list_display = ("booking", "taught", "safe", "given_at")
    list_select_related = ("booking__person", "booking__workshop")
    search_fields = ("booking__person__name", "booking__workshop__title", "words")
    autocomplete_fields = ("booking",)

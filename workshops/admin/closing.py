"""Workshops closed, and what people said of them."""

from django.contrib import admin

from workshops.admin.base import AuditedAdmin, TabularRows
from workshops.models import Closing, Feedback, LetBy


class LetByInline(TabularRows):
    model = LetBy
    extra = 0


@admin.register(Closing)
class ClosingAdmin(AuditedAdmin):
    list_display = ("workshop", "closed_at", "by")
    list_select_related = ("workshop", "by")
    search_fields = ("workshop__title",)
    autocomplete_fields = ("workshop",)
    readonly_fields = ("by",)
    inlines = (LetByInline,)


@admin.register(Feedback)
class FeedbackAdmin(AuditedAdmin):
    list_display = ("booking", "taught", "safe", "given_at")
    list_select_related = ("booking__person", "booking__workshop")
    search_fields = ("booking__person__name", "booking__workshop__title", "words")
    autocomplete_fields = ("booking",)

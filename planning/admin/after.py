"""Frames, clocks, flash readings, and what is left out of the house's own figures."""

from django.contrib import admin

from planning.models import CameraClock, CountsFrom, FlashReading, Frame, FrameLot, LeftOut
from workshops.admin.base import AuditedAdmin


@admin.register(FlashReading)
class FlashReadingAdmin(AuditedAdmin):
    list_display = ("light_name", "planned_set", "how", "at")
    list_select_related = ("planned_set",)
    search_fields = ("light_name", "planned_set__title", "notes")
    autocomplete_fields = ("planned_set", "meter")


@admin.register(FrameLot)
class FrameLotAdmin(AuditedAdmin):
    list_display = ("name", "workshop", "taken", "made_at")
    list_select_related = ("workshop",)
    search_fields = ("name", "workshop__title")
    autocomplete_fields = ("workshop", "booking")
    readonly_fields = ("by", "expected", "done", "taken", "known", "faults", "ended_at")


@admin.register(Frame)
class FrameAdmin(AuditedAdmin):
    list_display = ("file_name", "workshop", "body", "clock_at")
    list_select_related = ("workshop",)
    search_fields = ("file_name", "body", "workshop__title")
    autocomplete_fields = ("lot", "workshop", "booking", "planned_set")


@admin.register(CameraClock)
class CameraClockAdmin(AuditedAdmin):
    list_display = ("body", "workshop", "add_s", "way")
    list_select_related = ("workshop",)
    search_fields = ("body", "workshop__title")
    autocomplete_fields = ("workshop", "frame")


@admin.register(LeftOut)
class LeftOutAdmin(AuditedAdmin):
    list_display = ("figure", "witness", "reason")
    search_fields = ("figure", "witness", "reason")


@admin.register(CountsFrom)
class CountsFromAdmin(AuditedAdmin):
    list_display = ("figure", "from_at", "reason")
    search_fields = ("figure", "reason")

"""Workshops with their places, people, seats and kit."""

from django import forms
from django.contrib import admin
from django.db import transaction
from django.db.models import Count, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin, PlaceTimeForm, StackedRows, TabularRows, local_time
from workshops.errors import Refused
from workshops.forms.figures import CountField
from workshops.models import (
    LIVE,
    Booking,
    Reservation,
    Seat,
    WeatherCall,
    Workshop,
    WorkshopBreak,
    WorkshopPlace,
    WorkshopRole,
)
from workshops.selectors.seats import seats_left
from workshops.services.confidence import check_own_lead
from workshops.services.reservations import check_move, follow_workshop, lock_rules
from workshops.services.workshops import call_off, check_not_closed_here, resize_seats


class WorkshopForm(PlaceTimeForm):
    seats_wanted = CountField(
        label=_("seats"),
        min_value=1,
        max_value=1000,
        initial=6,
        help_text=_("4 to 8 learn well with one light. Fewer: only free seats are removed."),
    )

    class Meta:
        model = Workshop
        fields = "__all__"

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.pk and "seats_wanted" in self.fields:
            self.initial["seats_wanted"] = self.instance.seats.count()

    def _post_clean(self):
        super()._post_clean()
        if not self.errors:
            try:
                check_not_closed_here(self.instance, self.initial.get("status"))
                if self.instance.pk:
                    check_move(self.instance)
            except Refused as refusal:
                at_status = "status" in getattr(refusal, "error_dict", {})
                self.add_error("status" if at_status else None, refusal.messages)

    def clean_seats_wanted(self):
        wanted = self.cleaned_data["seats_wanted"]
        if self.instance.pk:
            held = self.instance.seats.count() - seats_left(self.instance, timezone.now())
            if wanted < held:
                raise forms.ValidationError(
                    _("Seats: %(held)d are held; enter at least %(held)d."), params={"held": held}
                )
        return wanted


class PlaceInline(TabularRows):
    model = WorkshopPlace
    extra = 1
    autocomplete_fields = ("location",)


class RoleInline(StackedRows):
    model = WorkshopRole
    form = PlaceTimeForm
    extra = 0
    autocomplete_fields = ("person",)
    fieldsets = (
        (
            None,
            {
                "fields": (
                    ("person", "role"),
                    ("start_at", "end_at", "minutes_limit"),
                    ("skin_reflectance", "release_signed"),
                    "notes",
                )
            },
        ),
    )


class BreakInline(TabularRows):
    model = WorkshopBreak
    form = PlaceTimeForm
    extra = 0


class WeatherCallInline(StackedRows):
    model = WeatherCall
    form = PlaceTimeForm
    extra = 0
    autocomplete_fields = ("decided_by",)


class KitInline(TabularRows):
    """Shown only: promises are made on the kit page, where a clash is told."""

    model = Reservation
    extra = 0
    can_delete = False
    readonly_fields = ("unit", "start_at", "end_at")

    def has_add_permission(self, request, obj):
        return False


class SeatInline(TabularRows):
    model = Seat
    extra = 0
    can_delete = False
    fields = readonly_fields = ("number", "holder")

    def get_queryset(self, request):
        return super().get_queryset(request).prefetch_related("bookings__person")

    def has_add_permission(self, request, obj=None):
        return False

    @admin.display(description=_("held by"))
    def holder(self, seat):
        return next((str(booking.person) for booking in seat.bookings.all()), _("free"))


class BookingInline(TabularRows):
    model = Booking
    extra = 0
    can_delete = False
    fields = readonly_fields = ("person", "state", "camera")
    show_change_link = True

    def get_queryset(self, request):
        return super().get_queryset(request).select_related("person", "camera__owner")

    def has_add_permission(self, request, obj=None):
        return False


@admin.register(Workshop)
class WorkshopAdmin(AuditedAdmin):
    form = WorkshopForm
    list_display = ("title", "starts", "level", "status", "left", "minimum_to_run")
    list_filter = ("status", "level", "locations")
    search_fields = (
        "title",
        "notes",
        "locations__name",
        "roles__person__name",
        "bookings__person__name",
    )
    date_hierarchy = "start_at"
    autocomplete_fields = ("terms",)
    inlines = (
        PlaceInline,
        RoleInline,
        BreakInline,
        WeatherCallInline,
        KitInline,
        SeatInline,
        BookingInline,
    )
    fieldsets = (
        (None, {"fields": ("title", "level", "status", "cancelled_reason")}),
        (
            _("When"),
            {
                "description": _("Times are read on the clock of the time zone below."),
                "fields": ("timezone_name", "start_at", "end_at", "intro_min", "closing_min"),
            },
        ),
        (
            _("Booking"),
            {"fields": ("seats_wanted", "minimum_to_run", "price", "currency", "terms")},
        ),
        (_("On the day"), {"fields": ("radio_channel", "notes")}),
    )
    starts = local_time("start_at", _("start"))

    def get_queryset(self, request):
        held = Count("bookings", filter=Q(bookings__state__in=LIVE), distinct=True)
        return super().get_queryset(request).annotate(left=Count("seats", distinct=True) - held)

    @admin.display(description=_("seats left"), ordering="left")
    def left(self, workshop):
        return workshop.left

    @transaction.atomic
    def save_model(self, request, obj, form, change):
        """Let the kit follow the workshop's days, as the site's own form does."""
        lock_rules()
        super().save_model(request, obj, form, change)
        follow_workshop(by=request.user, workshop=obj)
        if "status" in form.changed_data and obj.status == Workshop.Status.CANCELLED:
            call_off(by=request.user, workshop=obj, now=timezone.now())

    def check_record(self, request, record):
        if isinstance(record, WorkshopRole):
            check_own_lead(by=request.user, role=record)

    def save_related(self, request, form, formsets, change):
        super().save_related(request, form, formsets, change)
        if "seats_wanted" in form.cleaned_data:
            wanted = form.cleaned_data["seats_wanted"]
            now = timezone.now()
            resize_seats(by=request.user, workshop=form.instance, seats=wanted, now=now)


@admin.register(WorkshopRole)
class WorkshopRoleAdmin(AuditedAdmin):
    form = PlaceTimeForm
    list_display = ("person", "role", "workshop", "release_signed")
    list_filter = ("role", "release_signed", "workshop")
    list_select_related = ("person", "workshop")
    search_fields = ("person__name", "workshop__title", "notes")
    autocomplete_fields = ("workshop", "person")

    def get_queryset(self, request):
        return super().get_queryset(request).select_related("person", "workshop")

    def save_model(self, request, obj, form, change):
        check_own_lead(by=request.user, role=obj)
        super().save_model(request, obj, form, change)

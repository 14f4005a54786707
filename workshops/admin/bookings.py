"""Bookings: a new one gets the lowest free seat; states change by the actions."""

from django import forms
from django.contrib import admin, messages
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin
from workshops.errors import Refused
from workshops.models import Booking
from workshops.services.bookings import cancel_booking, confirm_booking, free_seat


class BookingForm(forms.ModelForm):
    class Meta:
        model = Booking
        fields = ("workshop", "person", "camera", "trigger_unit", "measured_sync_s", "notes")

    def clean(self):
        cleaned = super().clean()
        workshop, person = cleaned.get("workshop"), cleaned.get("person")
        if self.instance._state.adding and workshop and person:
            now = timezone.now()
            # The page's transaction keeps the workshop locked until the booking is saved.
            self.instance.seat = free_seat(workshop=workshop, person=person, now=now)
            self.instance.booked_at = now
        return cleaned


@admin.register(Booking)
class BookingAdmin(AuditedAdmin):
    form = BookingForm
    list_display = ("person", "workshop", "state", "seat", "camera", "booked_at")
    list_filter = ("state", "workshop")
    list_select_related = ("person", "workshop", "seat__workshop", "camera__owner")
    search_fields = ("person__name", "person__email", "workshop__title", "notes")
    autocomplete_fields = ("workshop", "person", "camera", "trigger_unit")
    date_hierarchy = "booked_at"
    actions = ("confirm", "cancel")
    fields = BookingForm.Meta.fields

    def get_readonly_fields(self, request, obj=None):
        return ("workshop", "person", "state", "seat", "booked_at", "cancelled_at") if obj else ()

    def get_fields(self, request, obj=None):
        if obj is None:
            return self.fields
        return (*self.fields, "state", "seat", "booked_at", "cancelled_at")

    def has_delete_permission(self, request, obj=None):
        return False  # a booking is cancelled, and stays on record

    @admin.action(description=_("Confirm selected bookings"), permissions=("change",))
    def confirm(self, request, queryset):
        self._each(request, queryset, lambda one: confirm_booking(by=request.user, booking=one))

    @admin.action(description=_("Cancel selected bookings"), permissions=("change",))
    def cancel(self, request, queryset):
        now = timezone.now()
        self._each(
            request, queryset, lambda one: cancel_booking(by=request.user, booking=one, now=now)
        )

    def _each(self, request, queryset, act):
        for booking in queryset:
            try:
                act(booking)
            except Refused as refusal:
                self.message_user(request, str(refusal), messages.WARNING)
            else:
                told = _("%(booking)s: done") % {"booking": booking}
                self.message_user(request, told, messages.SUCCESS)

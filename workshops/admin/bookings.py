"""Bookings: a new one gets the lowest free seat; states change by the actions."""

from django import forms
from django.contrib import admin, messages
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin
from workshops.errors import Refused
from workshops.models import Booking
from workshops.services.bookings import (
    book_person,
    check_trigger,
    confirm_booking,
    free_seat,
    save_booking,
)
from workshops.services.cancelling import cancel_booking


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
            try:
                self.instance.seat = free_seat(workshop=workshop, person=person, now=now)
            except ValidationError as refusal:
                raise ValidationError(refusal.messages) from None
            self.instance.booked_at = now
        return cleaned

    def _post_clean(self):
        super()._post_clean()
        if not self.errors:
            try:
                check_trigger(self.instance)
            except Refused as refusal:
                self.add_error(None, refusal.messages)


@admin.register(Booking)
class BookingAdmin(AuditedAdmin):
    form = BookingForm
    list_display = ("person", "workshop", "state", "seat", "camera", "booked_at")
    list_filter = ("state", "workshop")
    list_select_related = ("person", "workshop", "seat__workshop", "camera__owner")
    search_fields = ("person__name", "person__email", "workshop__title", "notes")
    autocomplete_fields = ("workshop", "person", "camera", "trigger_unit")
    date_hierarchy = "booked_at"
    actions = ("confirm", "cancel_by_attendee", "cancel_by_house")
    fields = BookingForm.Meta.fields

    def get_readonly_fields(self, request, obj=None):
        return ("workshop", "person", "state", "seat", "booked_at", "cancelled_at") if obj else ()

    def get_fields(self, request, obj=None):
        if obj is None:
            return self.fields
        return (*self.fields, "state", "seat", "booked_at", "cancelled_at")

    def has_delete_permission(self, request, obj=None):
        return False  # a booking is cancelled, and stays on record

    def save_model(self, request, obj, form, change):
        now = timezone.now()
        if change:
            save_booking(by=request.user, booking=obj, now=now)
            return
        given = {name: getattr(obj, name) for name in ("workshop", "person", "camera")}
        given |= {"trigger_unit": obj.trigger_unit, "notes": obj.notes}
        made = book_person(by=request.user, now=now, **given)
        if obj.measured_sync_s:
            made.measured_sync_s = obj.measured_sync_s
            save_booking(by=request.user, booking=made, now=now)
        obj.pk = made.pk
        obj.refresh_from_db()

    @admin.action(description=_("Confirm selected bookings"), permissions=("change",))
    def confirm(self, request, queryset):
        self._each(request, queryset, confirm_booking)

    @admin.action(
        description=_("Cancel selected bookings: called off by the attendee"),
        permissions=("change",),
    )
    def cancel_by_attendee(self, request, queryset):
        self._each(request, queryset, cancel_booking, called_off_by=Booking.CalledOffBy.ATTENDEE)

    @admin.action(
        description=_("Cancel selected bookings: called off by the house"),
        permissions=("change",),
    )
    def cancel_by_house(self, request, queryset):
        self._each(request, queryset, cancel_booking, called_off_by=Booking.CalledOffBy.HOUSE)

    def _each(self, request, queryset, act, **given):
        for booking in queryset:
            try:
                act(by=request.user, booking=booking, now=timezone.now(), **given)
            except Refused as refusal:
                self.message_user(request, str(refusal), messages.WARNING)
            else:
                told = _("%(booking)s: done") % {"booking": booking}
                self.message_user(request, told, messages.SUCCESS)

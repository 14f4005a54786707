"""What every admin page here does: audit each save and delete, keep times local to the place."""

from django import forms
from django.contrib import admin, messages
from django.db import models, transaction
from django.shortcuts import redirect
from django.utils.text import capfirst

from workshops import audit
from workshops.errors import Refused
from workshops.forms.choices import language_choices
from workshops.forms.figures import CountField, FigureField, MoneyField
from workshops.forms.place_time import PlaceTimeForm, zone_of
from workshops.models.base import in_zone

__all__ = ["AuditedAdmin", "PlaceTimeForm", "StackedRows", "TabularRows", "local_time"]


# A browser's number box drops what it cannot read, such as 50,7351, before it is sent.
AS_TYPED = {
    models.FloatField: {"form_class": FigureField},
    models.IntegerField: {"form_class": CountField},
    models.SmallIntegerField: {"form_class": CountField},
    models.PositiveIntegerField: {"form_class": CountField},
    models.PositiveSmallIntegerField: {"form_class": CountField},
    models.DecimalField: {"form_class": MoneyField},
}


class TabularRows(admin.TabularInline):
    """Rows of parts beside one another, their figures as text."""

    formfield_overrides = AS_TYPED


class StackedRows(admin.StackedInline):
    """Parts one above the other, their figures as text."""

    formfield_overrides = AS_TYPED


class AuditedAdmin(admin.ModelAdmin):
    """Writes the audit row with every save and delete, inlines included."""

    save_on_top = True
    list_per_page = 50
    formfield_overrides = AS_TYPED

    def get_form(self, request, obj=None, change=False, **kwargs):
        """Offer the languages the pages exist in, as the site's own forms do."""
        form = super().get_form(request, obj, change=change, **kwargs)
        if "language" in form.base_fields:
            form.base_fields["language"] = forms.ChoiceField(
                label=capfirst(form.base_fields["language"].label),
                choices=language_choices(obj.language if obj else ""),
            )
        return form

    def changeform_view(self, request, object_id=None, form_url="", extra_context=None):
        """Say it where a rule is broken between the form's check and the save; nothing is kept."""
        try:
            return super().changeform_view(request, object_id, form_url, extra_context)
        except Refused as refusal:
            messages.error(request, str(refusal))
            return redirect(request.get_full_path())

    def save_model(self, request, obj, form, change):
        audit.write(obj, by=request.user, checked=True)

    def save_formset(self, request, form, formset, change):
        for record in formset.save(commit=False):
            self.check_record(request, record)
            audit.write(record, by=request.user, checked=True)
        for record in formset.deleted_objects:
            audit.erase(record, by=request.user)
        formset.save_m2m()

    def check_record(self, request, record):
        """Raise Refused for a record of an inline that may not be saved by this account."""

    def delete_model(self, request, obj):
        audit.erase(obj, by=request.user)

    @transaction.atomic
    def delete_queryset(self, request, queryset):
        for record in queryset:
            audit.erase(record, by=request.user)


def local_time(field: str, label: str):
    """Return a list column that shows a time on the clock of its place."""

    @admin.display(description=label, ordering=field)
    def column(self, record):
        value = getattr(record, field)
        zone = zone_of(record)
        return f"{in_zone(value, zone) if zone else value:%Y-%m-%d %H:%M}" if value else "-"

    return column

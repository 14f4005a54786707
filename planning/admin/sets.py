"""Planned sets with their lights and readings."""

from django import forms
from django.contrib import admin, messages
from django.utils.translation import gettext_lazy as _

from planning.models import PlannedLight, PlannedSet, Reading
from planning.physics.errors import OutOfRange
from planning.plan import evaluate
from planning.selectors import set_inputs
from planning.services.sets import job_without_light
from planning.templatetags import figures
from workshops.admin.base import AuditedAdmin, PlaceTimeForm, StackedRows, TabularRows, local_time
from workshops.errors import Refused
from workshops.selectors.house import house


class LightFormSet(forms.BaseInlineFormSet):
    def clean(self):
        super().clean()
        if any(self.errors):
            return
        kept = [form.cleaned_data for form in self.forms if form.cleaned_data.get("role")]
        roles = [data["role"] for data in kept if not data.get("DELETE")]
        if fault := job_without_light(self.instance, roles):
            raise forms.ValidationError(fault)


class LightInline(StackedRows):
    model = PlannedLight
    formset = LightFormSet
    extra = 1
    autocomplete_fields = ("strobe", "strobe_unit", "modifier", "gel", "battery", "stand")
    fieldsets = (
        (
            None,
            {
                "fields": (
                    ("position", "name", "role", "target_stops"),
                    ("strobe", "strobe_unit", "modifier", "gel"),
                    ("distance_m", "angle_deg", "lamp_height_m"),
                    ("stand", "hand_held", "bag_kg"),
                    ("battery", "battery_count"),
                )
            },
        ),
    )


class ReadingInline(TabularRows):
    model = Reading
    form = PlaceTimeForm
    extra = 0
    fields = (
        "at", "kind", "plane", "f_mark", "tenths", "shutter_s", "iso", "ev", "flash_in",
        "meter", "spread_stops",
    )  # fmt: skip
    autocomplete_fields = ("meter",)


@admin.register(PlannedSet)
class PlannedSetAdmin(AuditedAdmin):
    form = PlaceTimeForm
    list_display = ("title", "workshop", "position", "location", "starts", "job", "base_kind")
    list_filter = ("job", "base_kind", "workshop", "location")
    list_select_related = ("workshop", "location")
    search_fields = ("title", "workshop__title", "location__name", "backdrop", "notes")
    autocomplete_fields = ("workshop", "location", "camera", "model")
    inlines = (LightInline, ReadingInline)
    starts = local_time("start_at", _("start"))
    fieldsets = (
        (
            None,
            {
                "description": _("Times are read on the clock of the location."),
                "fields": (
                    "workshop",
                    "position",
                    "title",
                    "location",
                    "start_at",
                    "end_at",
                    "pinned",
                    ("earliest_at", "latest_at"),
                    ("wanted_from_deg", "wanted_to_deg"),
                    ("wanted_low_deg", "wanted_high_deg"),
                    ("main_point", "second_point"),
                    "objective",
                    "channel",
                    "job",
                ),
            },
        ),
        (
            _("Camera"),
            {
                "fields": (
                    "camera",
                    "camera_facing_deg",
                    "camera_distance_m",
                    "focal_mm",
                    ("widest_f_number", "smallest_f_number"),
                    ("iso", "highest_iso"),
                    "slowest_hand_held_s",
                    "white_balance_k",
                    "advanced_trigger",
                )
            },
        ),
        (
            _("Exposure"),
            {
                "fields": (
                    "base_kind",
                    "placement_stops",
                    "stops_under",
                    "wanted_f_number",
                    ("given_f_number", "given_iso"),
                    "least_ratio",
                )
            },
        ),
        (
            _("Backdrop"),
            {
                "fields": (
                    "backdrop",
                    ("backdrop_facing_deg", "backdrop_tilt_deg"),
                    ("backdrop_reflectance", "backdrop_in_sun"),
                    "gap_behind_m",
                    "sky_patch_elevation_deg",
                )
            },
        ),
        (
            _("Subject"),
            {
                "fields": (
                    "model",
                    "subject_in_sun",
                    ("face_height_m", "subject_height_m"),
                    ("wardrobe", "wardrobe_reflectance"),
                )
            },
        ),
        (
            _("Turns"),
            {
                "fields": (
                    ("frames_per_attendee", "demo_frames", "rounds", "stations"),
                    ("rig_min", "brief_min", "demo_min"),
                    ("turn_min", "changeover_min"),
                    ("critique_min", "strike_min"),
                    "notes",
                )
            },
        ),
    )

    def save_related(self, request, form, formsets, change):
        super().save_related(request, form, formsets, change)
        self._tell(request, form.instance)

    def _tell(self, request, planned_set):
        """Say at once what the plan makes of what was entered; what was typed is kept."""
        try:
            plan = evaluate(set_inputs(planned_set.pk))
        except (OutOfRange, Refused) as reason:
            text = _("Kept, but no plan can be made from it yet: %(reason)s")
            self.message_user(request, text % {"reason": reason}, messages.ERROR)
            return
        text = _("The plan: %(mark)s, %(shutter)s, ISO %(iso)s.") % {
            "mark": plan.exposure.working_mark,
            "shutter": figures.shutter(plan.exposure.start_s),
            "iso": figures.iso(plan.exposure.iso),
        }
        self.message_user(request, text, messages.INFO)

    def get_changeform_initial_data(self, request):
        return {"stops_under": house().stops_under} | super().get_changeform_initial_data(request)

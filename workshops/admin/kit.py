"""The shelf: kinds with their figures, units, and what was metered with them."""

from django.contrib import admin
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin
from workshops.models import (
    Ballast,
    Battery,
    Charger,
    Gel,
    GuideNumberReading,
    KitKind,
    KitUnit,
    Meter,
    Modifier,
    NdFilter,
    Stand,
    Strobe,
    Trigger,
)


class KindAdmin(AuditedAdmin):
    """Pages of the kinds with figures of their own."""

    search_fields = ("name", "maker_text", "notes")
    exclude = ("category",)
    figures: tuple[str, ...] = ()

    def get_list_display(self, request):
        return ("name", *self.figures, "mass_kg")


@admin.register(KitKind)
class KitKindAdmin(AuditedAdmin):
    list_display = ("name", "category", "mass_kg")
    list_filter = ("category",)
    search_fields = ("name", "maker_text", "notes")

    def formfield_for_choice_field(self, db_field, request, **kwargs):
        if db_field.name == "category":
            kwargs["choices"] = [(one.value, one.label) for one in KitKind.PLAIN]
        return super().formfield_for_choice_field(db_field, request, **kwargs)

    def get_readonly_fields(self, request, obj=None):
        return ("category",) if obj else ()


@admin.register(Strobe)
class StrobeAdmin(KindAdmin):
    figures = ("energy_ws", "guide_number_m", "hss", "battery_kind")
    list_filter = ("hss", "mains")
    list_select_related = ("battery_kind",)
    autocomplete_fields = ("battery_kind",)
    fieldsets = (
        (None, {"fields": ("name", "maker_text", "mass_kg", "head_width_m")}),
        (
            _("Light"),
            {"fields": ("energy_ws", "guide_number_m", "guide_number_spread_stops")},
        ),
        (
            _("Power and time"),
            {
                "fields": (
                    "least_power",
                    "power_step_stops",
                    "power_scale",
                    "flash_duration_s",
                    "recycle_s",
                    "overheat_flashes",
                )
            },
        ),
        (_("Sync"), {"fields": ("hss", "hss_overhead_stops", "ttl")}),
        (
            _("Energy"),
            {"fields": ("battery_kind", "flashes_at_full", "idle_w", "modelling_w", "mains")},
        ),
        (None, {"fields": ("notes",)}),
    )


@admin.register(Modifier)
class ModifierAdmin(KindAdmin):
    figures = ("shape", "width_m", "height_m", "face", "stops")
    list_filter = ("shape", "face")


@admin.register(Trigger)
class TriggerAdmin(KindAdmin):
    figures = ("advanced", "fits", "sync_penalty_stops", "channel")
    list_filter = ("advanced", "fits")


@admin.register(Stand)
class StandAdmin(KindAdmin):
    figures = ("leg_radius_m", "top_height_m", "rated_load_kg")


@admin.register(Ballast)
class BallastAdmin(KindAdmin):
    pass


@admin.register(Battery)
class BatteryAdmin(KindAdmin):
    figures = ("capacity_wh", "charge_min")


@admin.register(Charger)
class ChargerAdmin(KindAdmin):
    figures = ("slots", "power_w", "battery_kind")


@admin.register(Meter)
class MeterAdmin(KindAdmin):
    figures = ("receptor", "incident_constant", "reflected_constant", "reads_hss")


@admin.register(NdFilter)
class NdFilterAdmin(KindAdmin):
    figures = ("stops", "thread_mm")


@admin.register(Gel)
class GelAdmin(KindAdmin):
    figures = ("loss_stops", "shift_mired")


@admin.register(KitUnit)
class KitUnitAdmin(AuditedAdmin):
    list_display = ("tag", "kind", "category", "state", "health_share", "cycles")
    list_filter = ("state", "kind__category", "kind")
    list_select_related = ("kind",)
    search_fields = ("tag", "serial", "kind__name", "notes")
    autocomplete_fields = ("kind",)

    @admin.display(description=_("category"), ordering="kind__category")
    def category(self, unit):
        return unit.kind.get_category_display()


@admin.register(GuideNumberReading)
class GuideNumberReadingAdmin(AuditedAdmin):
    list_display = ("strobe", "modifier", "read_on", "distance_m", "reads", "power")
    list_filter = ("strobe", "modifier")
    list_select_related = ("strobe", "modifier")
    search_fields = ("strobe__name", "modifier__name", "notes")
    autocomplete_fields = ("strobe", "modifier", "meter")
    fields = (
        "strobe", "modifier", "read_on", "distance_m", "f_mark", "tenths", "power", "iso",
        "flash_alone", "meter", "notes",
    )  # fmt: skip

    @admin.display(description=_("reads"))
    def reads(self, reading):
        mark = GuideNumberReading._meta.get_field("f_mark").show(reading.f_mark)
        return f"{mark} +0.{reading.tenths}" if reading.tenths else mark

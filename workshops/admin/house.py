"""House rules and booking terms."""

from django.contrib import admin
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin
from workshops.models import House, Terms, TermsRow


@admin.register(House)
class HouseAdmin(AuditedAdmin):
    search_fields = ("name",)
    fieldsets = (
        (None, {"fields": ("name", "language", "timezone_name", "currency", "clock", "units")}),
        (_("Sheets"), {"fields": ("paper", "sheet_flip_side")}),
        (
            _("Wind and ballast"),
            {
                "description": _(
                    "Makers' limits, local codes and licensed practice come before these figures."
                ),
                "fields": (
                    "safety_factor",
                    "hold_force_n",
                    "modifier_off_force_n",
                    "gust_limit_m_s",
                    "carry_cap_kg",
                    "gust_factor_inland",
                    "gust_factor_sea",
                ),
            },
        ),
        (
            _("Teaching"),
            {
                "fields": (
                    "stops_under",
                    "sync_outlier_stops",
                    "test_flash_share",
                    "tide_margin_min",
                )
            },
        ),
    )

    def has_add_permission(self, request):
        return super().has_add_permission(request) and not House.objects.exists()

    def has_delete_permission(self, request, obj=None):
        return False


class TermsRowInline(admin.TabularInline):
    model = TermsRow
    extra = 1


@admin.register(Terms)
class TermsAdmin(AuditedAdmin):
    list_display = ("name",)
    search_fields = ("name", "text")
    inlines = (TermsRowInline,)

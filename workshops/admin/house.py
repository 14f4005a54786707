"""House rules and booking terms."""

from django.contrib import admin
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from workshops.admin.base import AuditedAdmin, TabularRows
from workshops.models import House, Terms, TermsRow
from workshops.services.kit_margins import follow_house
from workshops.services.reservations import lock_rules


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

    @transaction.atomic
    def save_model(self, request, obj, form, change):
        lock_rules()
        super().save_model(request, obj, form, change)
        follow_house(by=request.user, now=timezone.now())

    def has_add_permission(self, request):
        return super().has_add_permission(request) and not House.objects.exists()

    def has_delete_permission(self, request, obj=None):
        return False


class TermsRowInline(TabularRows):
    model = TermsRow
    extra = 1


@admin.register(Terms)
class TermsAdmin(AuditedAdmin):
    list_display = ("name",)
    search_fields = ("name", "text")
    inlines = (TermsRowInline,)

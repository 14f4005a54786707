from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class WorkshopsConfig(AppConfig):
    """The records: people, workshops, bookings, kit and places."""

    name = "workshops"
    verbose_name = _("Workshops")
    default_auto_field = "django.db.models.BigAutoField"

from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PlanningConfig(AppConfig):
    """The planned sets, their numbers and their sheets."""

    name = "planning"
    verbose_name = _("Planning")
    default_auto_field = "django.db.models.BigAutoField"

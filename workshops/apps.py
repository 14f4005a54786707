from django.apps import AppConfig
from django.db.models.signals import post_migrate
from django.utils.translation import gettext_lazy as _


class WorkshopsConfig(AppConfig):
    """The records: people, workshops, bookings, kit and places."""

    name = "workshops"
    verbose_name = _("Workshops")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from workshops import guards  # needs the app's tables, not its models
        from workshops.forms import wording

        wording.say_what_to_do()
        post_migrate.connect(guards.lay, sender=self, dispatch_uid="workshops.guards")

from django.apps import AppConfig
from django.db.models.signals import post_migrate
from django.utils.translation import gettext_lazy as _


class PlanningConfig(AppConfig):
    """The planned sets, their numbers and their sheets."""

    name = "planning"
    verbose_name = _("Planning")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self):
        from planning import library  # needs the app's tables, not its models
        from planning.frames_in import store
        from planning.sheets import worker
        from workshops import due, started

        started.ALSO.append(worker.warm)
        due.ALSO.append(store.forget_old)
        post_migrate.connect(library.lay, sender=self, dispatch_uid="planning.library")

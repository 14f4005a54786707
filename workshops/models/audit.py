"""Who changed what, and when: written with the change, never edited."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class AuditEntry(models.Model):
    """One change to one record, in the transaction that made it."""

    class Action(models.TextChoices):
        CREATED = "created", _("created")
        CHANGED = "changed", _("changed")
        DELETED = "deleted", _("deleted")
        READ = "read", _("read")  # only what is told in confidence

    at = models.DateTimeField(_("at"), auto_now_add=True)
    who = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.SET_NULL,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("account"),
    )
    who_text = models.CharField(_("who"), max_length=254, blank=True)
    action = models.CharField(_("action"), max_length=8, choices=Action.choices)
    record_type = models.CharField(_("kind of record"), max_length=80)
    record_id = models.CharField(_("record"), max_length=40)
    record_text = models.CharField(_("called"), max_length=200)
    changes = models.JSONField(
        _("fields, before and after"), help_text=_("Field: [before, after].")
    )

    class Meta:
        verbose_name = _("audit entry")
        verbose_name_plural = _("audit")
        ordering = ("-at", "-pk")
        indexes = (models.Index(fields=("record_type", "record_id"), name="audit_of_record"),)

    def __str__(self) -> str:
        return f"{self.record_type} {self.record_id} {self.get_action_display()}"

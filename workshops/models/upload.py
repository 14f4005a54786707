"""A file somebody brought in, kept between its preview and its import."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class ImportFile(models.Model):
    """The bytes of a list, and how they are read; forgotten after the import or after a day."""

    class Kind(models.TextChoices):
        PEOPLE = "people", _("attendees")
        KIT = "kit", _("kit")

    kind = models.CharField(_("list of"), max_length=6, choices=Kind.choices)
    name = models.CharField(_("file name"), max_length=200)
    content = models.BinaryField(_("content"))
    reading = models.JSONField(_("how it is read"), default=dict)
    workshop = models.ForeignKey(
        "Workshop", on_delete=models.CASCADE, null=True, verbose_name=_("workshop")
    )
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, verbose_name=_("account")
    )
    made_at = models.DateTimeField(_("brought in"))

    class Meta:
        verbose_name = _("list brought in")
        verbose_name_plural = _("lists brought in")

    def __str__(self) -> str:
        return self.name

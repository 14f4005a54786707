"""Calendar entries that are out already keep the name they went out under."""

from django.conf import settings
from django.db import migrations, models


def keep_hosts(apps, schema_editor):
    Workshop = apps.get_model("workshops", "Workshop")
    Workshop._base_manager.update(calendar_host=settings.SITE_HOST)


class Migration(migrations.Migration):
    dependencies = [("workshops", "0007_chargers")]

    operations = [
        migrations.AddField(
            model_name="workshop",
            name="calendar_host",
            field=models.CharField(blank=True, editable=False, max_length=255),
        ),
        migrations.RunPython(keep_hosts, migrations.RunPython.noop),
    ]

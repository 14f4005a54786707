from django.db import migrations


def keep_closings(apps, schema_editor):
    """Workshops closed before closings were kept: closed when they last changed, by nobody."""
    Workshop = apps.get_model("workshops", "Workshop")
    Closing = apps.get_model("workshops", "Closing")
    for workshop in Workshop.objects.filter(status="closed", closings=None):
        Closing.objects.create(workshop=workshop, closed_at=workshop.changed_at)


class Migration(migrations.Migration):
    dependencies = [
        ("workshops", "0013_closing_opened_again"),
    ]

    operations = [
        migrations.RunPython(keep_closings, migrations.RunPython.noop),
    ]

import uuid

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("workshops", "0004_carry_over"),
    ]

    operations = [
        migrations.RemoveField(model_name="person", name="photosensitive"),
        migrations.DeleteModel(name="WorkshopKit"),
        migrations.AlterField(
            model_name="workshop",
            name="calendar_uid",
            field=models.UUIDField(default=uuid.uuid4, editable=False, unique=True),
        ),
        migrations.AddConstraint(
            model_name="user",
            constraint=models.CheckConstraint(
                condition=models.Q(is_staff=False)
                | models.Q(is_superuser=True)
                | models.Q(role="office"),
                name="user_admin_for_the_office",
                violation_error_message="May enter the admin: only the office and "
                "administrators; it knows no bounds of own workshops.",
            ),
        ),
    ]

"""A birth date is asked for between 1900 and today; what stands there already stays."""

from django.db import migrations, models

from workshops.models.person import birth_day


class Migration(migrations.Migration):
    dependencies = [("workshops", "0008_calendar_host")]

    operations = [
        migrations.AlterField(
            model_name="person",
            name="birth_date",
            field=models.DateField(
                blank=True,
                help_text="Only needed under 18; settles the question by the day of the workshop.",
                null=True,
                validators=[birth_day],
                verbose_name="birth date",
            ),
        )
    ]

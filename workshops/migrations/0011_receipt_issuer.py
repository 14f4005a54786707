"""A receipt keeps the house's name and address as they were; those given out get today's."""

from django.db import migrations, models
from django.utils import translation
from django.utils.translation import gettext


def keep_issuers(apps, schema_editor):
    house = apps.get_model("workshops", "House").objects.first()
    if house is None:
        return
    with translation.override(house.language):
        number = gettext("Tax number %(number)s") % {"number": house.tax_number}
    parts = (house.name, house.postal_address.strip(), number if house.tax_number else "")
    issuer = "\n".join(part for part in parts if part)
    apps.get_model("workshops", "Payment")._base_manager.update(issuer=issuer)


class Migration(migrations.Migration):
    dependencies = [("workshops", "0010_handout")]

    operations = [
        migrations.AddField(
            model_name="payment",
            name="issuer",
            field=models.TextField(
                blank=True,
                editable=False,
                help_text="Name, address and tax number of the house as they were.",
                verbose_name="issued by",
            ),
        ),
        migrations.RunPython(keep_issuers, migrations.RunPython.noop),
    ]

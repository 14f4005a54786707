"""Chargers entered as plain kinds get the figures of a charger, all of them still open."""

from django.db import migrations

FILL = """
    INSERT INTO workshops_charger (kitkind_ptr_id, slots)
    SELECT id, 1 FROM workshops_kitkind
    WHERE category = 'charger'
      AND id NOT IN (SELECT kitkind_ptr_id FROM workshops_charger)
"""


class Migration(migrations.Migration):
    dependencies = [("workshops", "0006_day")]

    # Back again the row stays a plain kind: its table goes with the migration before.
    operations = [migrations.RunSQL(FILL, migrations.RunSQL.noop)]

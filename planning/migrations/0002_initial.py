import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("planning", "0001_initial"),
        ("workshops", "0001_initial"),
    ]

    operations = [
        migrations.AddField(
            model_name="plannedlight",
            name="battery",
            field=models.ForeignKey(
                blank=True,
                help_text="Empty: the strobe's own kind.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.battery",
                verbose_name="battery",
            ),
        ),
        migrations.AddField(
            model_name="plannedlight",
            name="gel",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.gel",
                verbose_name="gel",
            ),
        ),
        migrations.AddField(
            model_name="plannedlight",
            name="modifier",
            field=models.ForeignKey(
                blank=True,
                help_text="Empty: the standard reflector.",
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.modifier",
                verbose_name="modifier",
            ),
        ),
        migrations.AddField(
            model_name="plannedlight",
            name="stand",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.stand",
                verbose_name="stand",
            ),
        ),
        migrations.AddField(
            model_name="plannedlight",
            name="strobe",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.strobe",
                verbose_name="strobe",
            ),
        ),
        migrations.AddField(
            model_name="plannedlight",
            name="strobe_unit",
            field=models.ForeignKey(
                blank=True,
                help_text="The unit, if settled: its own counted flashes are then used.",
                limit_choices_to={"kind__category": "strobe"},
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="workshops.kitunit",
                verbose_name="which one",
            ),
        ),
        migrations.AddField(
            model_name="plannedset",
            name="camera",
            field=models.ForeignKey(
                help_text="The instructor's body: frame, curtain and fastest shutter are reckoned by it.",
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.camerabody",
                verbose_name="camera",
            ),
        ),
        migrations.AddField(
            model_name="plannedset",
            name="location",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="sets",
                to="workshops.location",
                verbose_name="location",
            ),
        ),
        migrations.AddField(
            model_name="plannedset",
            name="model",
            field=models.ForeignKey(
                blank=True,
                help_text="Of this workshop. Skin and time limit come from there.",
                limit_choices_to={"role__in": ("model", "stand-in")},
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.workshoprole",
                verbose_name="model",
            ),
        ),
        migrations.AddField(
            model_name="plannedset",
            name="workshop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="sets",
                to="workshops.workshop",
                verbose_name="workshop",
            ),
        ),
        migrations.AddField(
            model_name="plannedlight",
            name="planned_set",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="lights",
                to="planning.plannedset",
                verbose_name="set",
            ),
        ),
        migrations.AddField(
            model_name="reading",
            name="location",
            field=models.ForeignKey(
                blank=True,
                help_text="For a reading of the recce, without a set.",
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="readings",
                to="workshops.location",
                verbose_name="location",
            ),
        ),
        migrations.AddField(
            model_name="reading",
            name="meter",
            field=models.ForeignKey(
                blank=True,
                help_text="Its constant is reckoned in. Empty: C 250, K 12.5.",
                limit_choices_to={"kind__category": "meter"},
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="workshops.kitunit",
                verbose_name="meter",
            ),
        ),
        migrations.AddField(
            model_name="reading",
            name="planned_set",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="readings",
                to="planning.plannedset",
                verbose_name="set",
            ),
        ),
        migrations.AddConstraint(
            model_name="plannedset",
            constraint=models.UniqueConstraint(
                fields=("workshop", "position"),
                name="set_position_once",
                violation_error_message="Number in the day: this workshop has a set of that number; enter the next.",
            ),
        ),
        migrations.AddConstraint(
            model_name="plannedlight",
            constraint=models.UniqueConstraint(
                fields=("planned_set", "name"),
                name="light_name_once",
                violation_error_message="Name: this set has a light of that name.",
            ),
        ),
        migrations.AddConstraint(
            model_name="plannedlight",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("hand_held", True), ("stand", None)),
                    models.Q(("hand_held", False), ("stand__isnull", False)),
                    _connector="OR",
                ),
                name="light_on_a_stand_or_in_hand",
                violation_error_message="Stand: choose one, or tick hand held and leave it empty.",
            ),
        ),
        migrations.AddConstraint(
            model_name="reading",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("location", None), ("planned_set__isnull", False)),
                    models.Q(("location__isnull", False), ("planned_set", None)),
                    _connector="OR",
                ),
                name="reading_of_set_or_location",
                violation_error_message="Set or location: choose exactly one of them.",
            ),
        ),
    ]

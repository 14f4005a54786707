import django.core.validators
import django.db.models.deletion
import django.db.models.functions.text
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models

import workshops.models.base
import workshops.models.fields
import workshops.models.location


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
    ]

    operations = [
        migrations.CreateModel(
            name="KitKind",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "category",
                    models.CharField(
                        choices=[
                            ("strobe", "strobe"),
                            ("trigger", "trigger"),
                            ("modifier", "modifier"),
                            ("stand", "stand"),
                            ("ballast", "ballast"),
                            ("battery", "battery"),
                            ("charger", "charger"),
                            ("meter", "meter"),
                            ("nd filter", "ND filter"),
                            ("gel", "gel"),
                            ("tether", "tether"),
                            ("other", "other"),
                        ],
                        default="other",
                        help_text="Kinds with figures of their own are entered under their own heading.",
                        max_length=10,
                        verbose_name="category",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="Short: it is printed on the sheet.",
                        max_length=120,
                        unique=True,
                        verbose_name="name",
                    ),
                ),
                (
                    "mass_kg",
                    models.FloatField(
                        default=0.0,
                        help_text="Of one, ready to use. A 600 W.s head weighs about 3, an octa 1, a stand 3.",
                        verbose_name="mass (kg)",
                    ),
                ),
                (
                    "maker_text",
                    models.CharField(
                        blank=True,
                        help_text="As on its label.",
                        max_length=120,
                        verbose_name="make and model",
                    ),
                ),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "kind of kit",
                "verbose_name_plural": "kinds of kit",
                "ordering": ("category", "name"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("category", "stand"), _negated=True),
                            ("mass_kg__gt", 0),
                            _connector="OR",
                        ),
                        name="kind_stand_has_a_mass",
                        violation_error_message="Mass: enter what the stand weighs; its weight is what holds it.",
                    ),
                    workshops.models.base.Within(
                        field="mass_kg", high=100, low=0, name="kind_mass_kg_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Booking",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("held", "held"),
                            ("confirmed", "confirmed"),
                            ("cancelled", "cancelled"),
                        ],
                        default="held",
                        max_length=10,
                        verbose_name="state",
                    ),
                ),
                (
                    "measured_sync_s",
                    workshops.models.fields.ShutterField(
                        blank=True,
                        help_text="Fastest shutter without a band, tried with this trigger. Beats the manual.",
                        null=True,
                        verbose_name="measured sync",
                    ),
                ),
                ("booked_at", models.DateTimeField(verbose_name="booked")),
                (
                    "cancelled_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="cancelled"),
                ),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "booking",
                "verbose_name_plural": "bookings",
                "ordering": ("booked_at", "pk"),
            },
        ),
        migrations.CreateModel(
            name="CameraBody",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("name", models.CharField(max_length=120, verbose_name="make and model")),
                (
                    "sync_s",
                    workshops.models.fields.ShutterField(
                        help_text="Fastest shutter for flash, from the manual: 1/160 to 1/250, old ones 1/60.",
                        verbose_name="flash sync speed",
                    ),
                ),
                (
                    "fastest_shutter_s",
                    workshops.models.fields.ShutterField(
                        default="1/4000",
                        help_text="Mechanical: usually 1/4000 or 1/8000.",
                        verbose_name="fastest shutter",
                    ),
                ),
                (
                    "lowest_iso",
                    workshops.models.fields.IsoField(
                        default="100",
                        help_text="64, 100 or 200; not the extended one.",
                        verbose_name="lowest native ISO",
                    ),
                ),
                (
                    "curtain_s",
                    workshops.models.fields.ShutterField(
                        blank=True,
                        help_text="Only if measured; empty: taken as the sync speed.",
                        null=True,
                        verbose_name="shortest curtain travel",
                    ),
                ),
                (
                    "sensor_width_mm",
                    models.FloatField(
                        default=36.0,
                        help_text="36 full frame, about 23.5 APS-C, 17.3 four thirds.",
                        verbose_name="sensor width (mm)",
                    ),
                ),
                (
                    "sensor_height_mm",
                    models.FloatField(
                        default=24.0,
                        help_text="24 full frame, about 15.6 APS-C, 13 four thirds.",
                        verbose_name="sensor height (mm)",
                    ),
                ),
                (
                    "shoe",
                    models.CharField(
                        choices=[
                            ("standard", "standard"),
                            ("other", "another foot or rail: needs an adapter"),
                            ("none", "none"),
                        ],
                        default="standard",
                        max_length=8,
                        verbose_name="hot shoe",
                    ),
                ),
                (
                    "centre_contact",
                    models.BooleanField(
                        default=True,
                        help_text="Untick if the shoe lacks the middle contact: simple triggers never fire.",
                        verbose_name="centre contact",
                    ),
                ),
                (
                    "electronic_only",
                    models.BooleanField(
                        default=False,
                        help_text="No mechanical shutter: most such bodies cannot use flash.",
                        verbose_name="electronic shutter only",
                    ),
                ),
                (
                    "flash_system",
                    models.CharField(
                        blank=True,
                        help_text="The family of dedicated flashes it talks to, in your own words.",
                        max_length=60,
                        verbose_name="flash system",
                    ),
                ),
            ],
            options={
                "verbose_name": "camera body",
                "verbose_name_plural": "camera bodies",
                "ordering": ("owner", "name", "pk"),
                "constraints": [
                    workshops.models.base.Within(
                        field="sync_s", high=1, low=3.0517578125e-05, name="camera_sync_s_range"
                    ),
                    workshops.models.base.Within(
                        field="fastest_shutter_s",
                        high=1,
                        low=3.0517578125e-05,
                        name="camera_fastest_shutter_s_range",
                    ),
                    workshops.models.base.Within(
                        field="curtain_s",
                        high=1,
                        low=3.0517578125e-05,
                        name="camera_curtain_s_range",
                    ),
                    workshops.models.base.Within(
                        field="lowest_iso", high=3200.0, low=25.0, name="camera_lowest_iso_range"
                    ),
                    workshops.models.base.Within(
                        field="sensor_width_mm",
                        high=100,
                        low=4,
                        name="camera_sensor_width_mm_range",
                    ),
                    workshops.models.base.Within(
                        field="sensor_height_mm",
                        high=100,
                        low=3,
                        name="camera_sensor_height_mm_range",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("fastest_shutter_s__lte", models.F("sync_s"))),
                        name="camera_fastest_not_slower_than_sync",
                        violation_error_message="Fastest shutter: enter a time no slower than the flash sync speed.",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Forecast",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("valid_from", models.DateTimeField(verbose_name="holds from")),
                ("valid_to", models.DateTimeField(verbose_name="until")),
                (
                    "taken_at",
                    models.DateTimeField(
                        help_text="Of several for the same hours the newest counts.",
                        verbose_name="read at",
                    ),
                ),
                (
                    "source",
                    models.CharField(
                        help_text="Who forecasts it.", max_length=120, verbose_name="source"
                    ),
                ),
                (
                    "sky",
                    models.CharField(
                        choices=[
                            ("clear", "clear: 0 to 3 tenths of cloud"),
                            ("partly", "partly: 4 to 7 tenths"),
                            ("overcast", "overcast: 8 to 10 tenths"),
                        ],
                        max_length=8,
                        verbose_name="sky",
                    ),
                ),
                (
                    "temperature_c",
                    models.FloatField(blank=True, null=True, verbose_name="temperature (°C)"),
                ),
                (
                    "humidity_percent",
                    models.FloatField(blank=True, null=True, verbose_name="humidity (%)"),
                ),
                (
                    "wind_m_s",
                    models.FloatField(
                        blank=True,
                        help_text="At 10 m, as forecasts give it. 1 m/s is 3.6 km/h, 2.2 mph, 1.9 knots.",
                        null=True,
                        verbose_name="mean wind (m/s)",
                    ),
                ),
                (
                    "gust_m_s",
                    models.FloatField(
                        blank=True,
                        help_text="No smaller than the mean. Empty: reckoned from the mean by the house.",
                        null=True,
                        verbose_name="gust (m/s)",
                    ),
                ),
                (
                    "wind_from_deg",
                    models.FloatField(
                        blank=True, null=True, verbose_name="wind from (degrees true)"
                    ),
                ),
                ("thunder", models.BooleanField(default=False, verbose_name="thunder possible")),
                ("uv_index", models.FloatField(blank=True, null=True, verbose_name="UV index")),
                (
                    "pressure_hpa",
                    models.FloatField(
                        blank=True,
                        help_text="At sea level; low lifts the sea.",
                        null=True,
                        verbose_name="pressure (hPa)",
                    ),
                ),
            ],
            options={
                "verbose_name": "forecast",
                "verbose_name_plural": "forecasts",
                "ordering": ("location", "-valid_from", "-taken_at", "-pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("valid_to__gt", models.F("valid_from"))),
                        name="forecast_ends_after_start",
                        violation_error_message="Until: enter a time after the beginning.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("gust_m_s", None),
                            ("wind_m_s", None),
                            ("gust_m_s__gte", models.F("wind_m_s")),
                            _connector="OR",
                        ),
                        name="forecast_gust_not_below_mean",
                        violation_error_message="Gust: enter no less than the mean wind, or leave it empty.",
                    ),
                    workshops.models.base.Within(
                        field="temperature_c", high=60, low=-40, name="forecast_temperature_c_range"
                    ),
                    workshops.models.base.Within(
                        field="humidity_percent",
                        high=100,
                        low=0,
                        name="forecast_humidity_percent_range",
                    ),
                    workshops.models.base.Within(
                        field="wind_m_s", high=80, low=0, name="forecast_wind_m_s_range"
                    ),
                    workshops.models.base.Within(
                        field="gust_m_s", high=120, low=0, name="forecast_gust_m_s_range"
                    ),
                    workshops.models.base.Within(
                        field="wind_from_deg", high=360, low=0, name="forecast_wind_from_deg_range"
                    ),
                    workshops.models.base.Within(
                        field="uv_index", high=25, low=0, name="forecast_uv_index_range"
                    ),
                    workshops.models.base.Within(
                        field="pressure_hpa", high=1100, low=850, name="forecast_pressure_hpa_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="GuideNumberReading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "f_mark",
                    workshops.models.fields.ApertureField(
                        help_text="The whole mark: 11.", verbose_name="meter says f/"
                    ),
                ),
                (
                    "tenths",
                    models.PositiveSmallIntegerField(
                        default=0,
                        help_text="The small figure: 3 reads f/11 and three tenths.",
                        verbose_name="and tenths",
                    ),
                ),
                (
                    "iso",
                    workshops.models.fields.IsoField(
                        default="100", verbose_name="ISO set on the meter"
                    ),
                ),
                ("read_on", models.DateField(verbose_name="read on")),
                (
                    "distance_m",
                    models.FloatField(
                        help_text="Front fabric or rim to the meter, along the cord; 2 m.",
                        verbose_name="distance (m)",
                    ),
                ),
                (
                    "power",
                    workshops.models.fields.FractionField(
                        default=1.0, help_text="As set: 1, 1/2, 1/4.", verbose_name="power"
                    ),
                ),
                (
                    "flash_alone",
                    models.BooleanField(
                        default=True,
                        help_text="Dark room, or daylight at least four stops down. Others teach nothing.",
                        verbose_name="flash alone",
                    ),
                ),
                ("notes", models.CharField(blank=True, max_length=200, verbose_name="notes")),
            ],
            options={
                "verbose_name": "guide number reading",
                "verbose_name_plural": "guide number readings",
                "ordering": ("strobe", "modifier", "read_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("flash_alone", True)),
                        name="reading_is_flash_alone",
                        violation_error_message="Flash alone: take the reading without daylight and tick this.",
                    ),
                    workshops.models.base.Within(
                        field="distance_m",
                        high=100,
                        low=0.05,
                        name="guide_reading_distance_m_range",
                    ),
                    workshops.models.base.Within(
                        field="f_mark",
                        high=90.50966799187809,
                        low=0.7071067811865476,
                        name="guide_reading_f_mark_range",
                    ),
                    workshops.models.base.Within(
                        field="tenths", high=9, low=0, name="guide_reading_tenths_range"
                    ),
                    workshops.models.base.Within(
                        field="power", high=1, low=0.0001220703125, name="guide_reading_power_range"
                    ),
                    workshops.models.base.Within(
                        field="iso", high=102400.0, low=25.0, name="guide_reading_iso_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="House",
            fields=[
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "id",
                    models.PositiveSmallIntegerField(
                        default=1, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="Printed on every sheet.",
                        max_length=120,
                        verbose_name="name of the house",
                    ),
                ),
                (
                    "paper",
                    models.CharField(
                        choices=[("a4", "A4"), ("letter", "US Letter")],
                        default="a4",
                        help_text="Sheets print on this paper unless told otherwise.",
                        max_length=8,
                        verbose_name="paper",
                    ),
                ),
                (
                    "sheet_flip_side",
                    models.CharField(
                        choices=[
                            ("long", "over the long edge, like a book"),
                            ("short", "over the short edge, like a clipboard"),
                        ],
                        default="long",
                        help_text="How a set sheet is turned over on its clipboard.",
                        max_length=8,
                        verbose_name="second side turns",
                    ),
                ),
                (
                    "units",
                    models.CharField(
                        choices=[
                            ("metric", "metres, kilograms, Celsius"),
                            ("imperial", "feet, pounds, Fahrenheit"),
                        ],
                        default="metric",
                        help_text="For reading; records are always kept in metres, kilograms and Celsius.",
                        max_length=8,
                        verbose_name="units",
                    ),
                ),
                (
                    "clock",
                    models.CharField(
                        choices=[("24", "24 hours (14:10)"), ("12", "12 hours (2:10 pm)")],
                        default="24",
                        max_length=2,
                        verbose_name="clock",
                    ),
                ),
                (
                    "currency",
                    models.CharField(
                        default="EUR",
                        help_text="Three letters, such as EUR.",
                        max_length=3,
                        verbose_name="currency",
                    ),
                ),
                (
                    "language",
                    models.CharField(
                        default="en",
                        help_text="Language code, such as en.",
                        max_length=10,
                        verbose_name="language",
                    ),
                ),
                (
                    "timezone_name",
                    models.CharField(
                        default="UTC",
                        help_text="Of the office, as an IANA name such as Europe/London.",
                        max_length=64,
                        validators=[workshops.models.base.validate_timezone],
                        verbose_name="time zone",
                    ),
                ),
                (
                    "safety_factor",
                    models.FloatField(
                        default=1.5,
                        help_text="Ballast must hold this many times the overturning moment of the gust. 1.5 is usual; it equals 1.22 on wind speed.",
                        verbose_name="safety factor on overturning",
                    ),
                ),
                (
                    "hold_force_n",
                    models.FloatField(
                        default=40.0,
                        help_text="Wind force on the modifier. 40 N is the weight of 4 kg.",
                        verbose_name="somebody holds the stand from (N)",
                    ),
                ),
                (
                    "modifier_off_force_n",
                    models.FloatField(
                        default=80.0,
                        help_text="No smaller than the holding force. 80 N is what one person can hold.",
                        verbose_name="modifier comes off above (N)",
                    ),
                ),
                (
                    "gust_limit_m_s",
                    models.FloatField(
                        default=11.0,
                        help_text="11 m/s is 40 km/h or 25 mph. Makers' limits come first where lower.",
                        verbose_name="strike everything above a gust of (m/s)",
                    ),
                ),
                (
                    "carry_cap_kg",
                    models.FloatField(
                        default=25.0,
                        help_text="What somebody will really carry to the place. Above it the modifier goes.",
                        verbose_name="ballast carried for one stand, at most (kg)",
                    ),
                ),
                (
                    "gust_factor_inland",
                    models.FloatField(
                        default=1.7,
                        help_text="Used where a forecast gives only the mean wind.",
                        verbose_name="gust over mean wind, inland",
                    ),
                ),
                (
                    "gust_factor_sea",
                    models.FloatField(
                        default=1.4,
                        help_text="The same on an open shore or pier.",
                        verbose_name="gust over mean wind, at sea",
                    ),
                ),
                (
                    "sync_outlier_stops",
                    models.FloatField(
                        default=1.0,
                        help_text="A body that would cost the group this much is planned by itself.",
                        verbose_name="a slow camera gets its own line from (stops)",
                    ),
                ),
                (
                    "tide_margin_min",
                    models.FloatField(
                        default=60.0,
                        help_text="The group is off the path this long before the water reaches it.",
                        verbose_name="margin before the path floods (minutes)",
                    ),
                ),
                (
                    "test_flash_share",
                    models.FloatField(
                        default=0.1,
                        help_text="Meter and test pops: 0.1 adds one flash to every ten.",
                        verbose_name="test flashes on top of the frames (share)",
                    ),
                ),
                (
                    "stops_under",
                    models.FloatField(
                        default=1.0,
                        help_text="1 keeps the backdrop readable, 2 is for drama.",
                        verbose_name="backdrop under by (stops), for new sets",
                    ),
                ),
            ],
            options={
                "verbose_name": "house",
                "verbose_name_plural": "house",
                "constraints": [
                    models.CheckConstraint(condition=models.Q(("id", 1)), name="one_house"),
                    models.CheckConstraint(
                        condition=models.Q(("modifier_off_force_n__gte", models.F("hold_force_n"))),
                        name="house_off_force_not_below_hold",
                        violation_error_message="Modifier comes off above: enter no less than the force from which somebody holds the stand.",
                    ),
                    workshops.models.base.Within(
                        field="safety_factor", high=5, low=1, name="house_safety_factor_range"
                    ),
                    workshops.models.base.Within(
                        field="hold_force_n", high=500, low=1, name="house_hold_force_n_range"
                    ),
                    workshops.models.base.Within(
                        field="modifier_off_force_n",
                        high=500,
                        low=1,
                        name="house_modifier_off_force_n_range",
                    ),
                    workshops.models.base.Within(
                        field="gust_limit_m_s", high=30, low=1, name="house_gust_limit_m_s_range"
                    ),
                    workshops.models.base.Within(
                        field="carry_cap_kg", high=200, low=0, name="house_carry_cap_kg_range"
                    ),
                    workshops.models.base.Within(
                        field="gust_factor_inland",
                        high=3,
                        low=1,
                        name="house_gust_factor_inland_range",
                    ),
                    workshops.models.base.Within(
                        field="gust_factor_sea", high=3, low=1, name="house_gust_factor_sea_range"
                    ),
                    workshops.models.base.Within(
                        field="sync_outlier_stops",
                        high=6,
                        low=0,
                        name="house_sync_outlier_stops_range",
                    ),
                    workshops.models.base.Within(
                        field="tide_margin_min", high=600, low=0, name="house_tide_margin_min_range"
                    ),
                    workshops.models.base.Within(
                        field="test_flash_share", high=2, low=0, name="house_test_flash_share_range"
                    ),
                    workshops.models.base.Within(
                        field="stops_under", high=5, low=-3, name="house_stops_under_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="KitUnit",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "tag",
                    models.CharField(
                        help_text="As written on the thing itself.",
                        max_length=40,
                        unique=True,
                        verbose_name="asset tag",
                    ),
                ),
                (
                    "serial",
                    models.CharField(blank=True, max_length=80, verbose_name="serial number"),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("ready", "ready"),
                            ("out", "out"),
                            ("fault", "fault"),
                            ("retired", "retired"),
                        ],
                        default="ready",
                        max_length=8,
                        verbose_name="state",
                    ),
                ),
                (
                    "health_share",
                    models.FloatField(
                        default=1.0,
                        help_text="Battery: what is left of the capacity it was bought with; 1 when new.",
                        verbose_name="battery health (share)",
                    ),
                ),
                (
                    "cycles",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="Battery: full charges so far.",
                        null=True,
                        verbose_name="battery cycles",
                    ),
                ),
                (
                    "flashes_at_full",
                    models.FloatField(
                        blank=True,
                        help_text="Strobe: counted by you, with this head. Empty: the kind's figure.",
                        null=True,
                        verbose_name="full-power flashes, one charge",
                    ),
                ),
                (
                    "sync_penalty_stops",
                    models.FloatField(
                        blank=True,
                        help_text="Trigger: measured with this unit. Empty: the kind's figure.",
                        null=True,
                        verbose_name="costs of sync (stops)",
                    ),
                ),
                (
                    "channel",
                    models.CharField(
                        blank=True,
                        help_text="Trigger: if it cannot be changed.",
                        max_length=20,
                        verbose_name="channel",
                    ),
                ),
                (
                    "incident_constant",
                    models.FloatField(
                        blank=True,
                        help_text="Meter: of this unit. ISO 2720: 250 flat disc, about 330 dome. Empty: kind's.",
                        null=True,
                        verbose_name="incident constant C",
                    ),
                ),
                (
                    "reflected_constant",
                    models.FloatField(
                        blank=True,
                        help_text="Meter: of this unit. 12.5 or 14 are usual. Empty: the kind's.",
                        null=True,
                        verbose_name="reflected constant K",
                    ),
                ),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "unit of kit",
                "verbose_name_plural": "units of kit",
                "ordering": ("kind", "tag"),
                "constraints": [
                    workshops.models.base.Within(
                        field="health_share", high=1, low=0.05, name="unit_health_share_range"
                    ),
                    workshops.models.base.Within(
                        field="flashes_at_full",
                        high=100000,
                        low=1,
                        name="unit_flashes_at_full_range",
                    ),
                    workshops.models.base.Within(
                        field="sync_penalty_stops",
                        high=3,
                        low=0,
                        name="unit_sync_penalty_stops_range",
                    ),
                    workshops.models.base.Within(
                        field="incident_constant",
                        high=600,
                        low=100,
                        name="unit_incident_constant_range",
                    ),
                    workshops.models.base.Within(
                        field="reflected_constant",
                        high=30,
                        low=5,
                        name="unit_reflected_constant_range",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Landmark",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("name", models.CharField(max_length=80, verbose_name="name")),
                ("bearing_deg", models.FloatField(verbose_name="bearing (degrees true)")),
                (
                    "distance_m",
                    models.FloatField(blank=True, null=True, verbose_name="distance (m)"),
                ),
            ],
            options={
                "verbose_name": "landmark",
                "verbose_name_plural": "landmarks",
                "ordering": ("location", "bearing_deg", "pk"),
                "constraints": [
                    workshops.models.base.Within(
                        field="bearing_deg", high=360, low=0, name="landmark_bearing_deg_range"
                    ),
                    workshops.models.base.Within(
                        field="distance_m", high=500000, low=0, name="landmark_distance_m_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Location",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                (
                    "latitude_deg",
                    models.FloatField(
                        blank=True,
                        help_text="North positive, decimal: 50.7351. Sheets need it.",
                        null=True,
                        verbose_name="latitude (degrees)",
                    ),
                ),
                (
                    "longitude_deg",
                    models.FloatField(
                        blank=True,
                        help_text="East positive, decimal: -3.5320.",
                        null=True,
                        verbose_name="longitude (degrees)",
                    ),
                ),
                ("elevation_m", models.FloatField(default=0.0, verbose_name="elevation (m)")),
                (
                    "timezone_name",
                    models.CharField(
                        help_text="IANA name such as Europe/London. Times of the place are typed in it.",
                        max_length=64,
                        validators=[workshops.models.base.validate_timezone],
                        verbose_name="time zone",
                    ),
                ),
                (
                    "declination_deg",
                    models.FloatField(
                        blank=True,
                        help_text="East positive, from a current chart. Sheets then print compass bearings.",
                        null=True,
                        verbose_name="magnetic declination (degrees)",
                    ),
                ),
                (
                    "declination_on",
                    models.DateField(blank=True, null=True, verbose_name="declination as of"),
                ),
                (
                    "ground_reflectance",
                    models.FloatField(
                        default=0.2,
                        help_text="Grass 0.2, dark soil 0.1, dry sand 0.35, concrete 0.3, fresh snow 0.8.",
                        verbose_name="ground reflectance",
                    ),
                ),
                (
                    "footing",
                    models.CharField(
                        blank=True,
                        help_text="What stands stand on: firm, sand, mud, shingle, deck, paving.",
                        max_length=60,
                        verbose_name="footing",
                    ),
                ),
                (
                    "slope_deg",
                    models.FloatField(
                        default=0.0,
                        help_text="Up to 30. A stand on a slope tips sooner.",
                        verbose_name="slope (degrees)",
                    ),
                ),
                (
                    "wind_exposure_factor",
                    models.FloatField(
                        default=1.0,
                        help_text="1 open and level; crest, pier, bridge or gap 1.3 to 1.5. Never below 1.",
                        verbose_name="wind exposure",
                    ),
                ),
                (
                    "at_sea",
                    models.BooleanField(
                        default=False,
                        help_text="Winds there gust less over their mean.",
                        verbose_name="at the sea",
                    ),
                ),
                (
                    "horizon",
                    models.JSONField(
                        blank=True,
                        default=list,
                        help_text="Height of hills, trees and roofs: [[azimuth, elevation], ...] in degrees, azimuth rising, straight between, joined round north. Empty: level.",
                        validators=[workshops.models.location.validate_horizon],
                        verbose_name="horizon",
                    ),
                ),
                (
                    "sky_cover_share",
                    models.FloatField(
                        default=0.0,
                        help_text="By walls and trees, 0 to 0.95: a street 0.4, a courtyard 0.6.",
                        verbose_name="share of the sky hidden",
                    ),
                ),
                ("under_trees", models.BooleanField(default=False, verbose_name="under trees")),
                (
                    "water",
                    models.CharField(
                        choices=[
                            ("none", "none"),
                            ("still", "still"),
                            ("river", "river"),
                            ("tidal", "tidal"),
                        ],
                        default="none",
                        max_length=8,
                        verbose_name="water",
                    ),
                ),
                (
                    "path_low_point_m",
                    models.FloatField(
                        blank=True,
                        help_text="Above the datum of the tide table. It floods before the set does.",
                        null=True,
                        verbose_name="lowest point of the way out (m)",
                    ),
                ),
                (
                    "stand_height_m",
                    models.FloatField(
                        blank=True,
                        help_text="Above the same datum.",
                        null=True,
                        verbose_name="ground under the stands (m)",
                    ),
                ),
                (
                    "water_bearing_deg",
                    models.FloatField(
                        blank=True, null=True, verbose_name="bearing to the water's edge"
                    ),
                ),
                (
                    "water_distance_m",
                    models.FloatField(
                        blank=True, null=True, verbose_name="distance to the water's edge (m)"
                    ),
                ),
                (
                    "walk_min",
                    models.FloatField(
                        default=0.0,
                        help_text="Past the low point, one way.",
                        verbose_name="walk with the kit (minutes)",
                    ),
                ),
                (
                    "permission_number",
                    models.CharField(blank=True, max_length=80, verbose_name="permit"),
                ),
                (
                    "permission_until",
                    models.DateField(blank=True, null=True, verbose_name="permit expires"),
                ),
                (
                    "permission_hours",
                    models.CharField(blank=True, max_length=120, verbose_name="permitted hours"),
                ),
                (
                    "stands_clause",
                    models.CharField(
                        blank=True,
                        help_text="Such as: no stands on the footway, 1.5 m left free.",
                        max_length=200,
                        verbose_name="what it says of stands",
                    ),
                ),
                (
                    "head_limit",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        help_text="Everybody counts: model and helpers too.",
                        null=True,
                        verbose_name="heads permitted",
                    ),
                ),
                ("access", models.TextField(blank=True, verbose_name="access")),
                ("parking", models.CharField(blank=True, max_length=200, verbose_name="parking")),
                (
                    "signal",
                    models.CharField(
                        blank=True,
                        help_text="Where the nearest is.",
                        max_length=120,
                        verbose_name="phone signal",
                    ),
                ),
                (
                    "emergency",
                    models.CharField(
                        blank=True,
                        help_text="With address, and the grid reference to give for this place.",
                        max_length=200,
                        verbose_name="nearest emergency department",
                    ),
                ),
                (
                    "hazards",
                    models.TextField(
                        blank=True,
                        help_text="One line each: hazard, then control.",
                        verbose_name="hazards and controls",
                    ),
                ),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "location",
                "verbose_name_plural": "locations",
                "ordering": ("name", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("latitude_deg", None), ("longitude_deg", None)),
                            models.Q(
                                ("latitude_deg__isnull", False), ("longitude_deg__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="location_both_coordinates",
                        violation_error_message="Latitude and longitude: enter both, or none yet.",
                    ),
                    workshops.models.base.Within(
                        field="latitude_deg",
                        high=89.8,
                        low=-89.8,
                        name="location_latitude_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="longitude_deg",
                        high=180,
                        low=-180,
                        name="location_longitude_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="elevation_m", high=9000, low=-450, name="location_elevation_m_range"
                    ),
                    workshops.models.base.Within(
                        field="declination_deg",
                        high=180,
                        low=-180,
                        name="location_declination_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="ground_reflectance",
                        high=1,
                        low=0,
                        name="location_ground_reflectance_range",
                    ),
                    workshops.models.base.Within(
                        field="slope_deg", high=30, low=0, name="location_slope_deg_range"
                    ),
                    workshops.models.base.Within(
                        field="wind_exposure_factor",
                        high=3,
                        low=1,
                        name="location_wind_exposure_factor_range",
                    ),
                    workshops.models.base.Within(
                        field="sky_cover_share",
                        high=0.95,
                        low=0,
                        name="location_sky_cover_share_range",
                    ),
                    workshops.models.base.Within(
                        field="path_low_point_m",
                        high=100,
                        low=-20,
                        name="location_path_low_point_m_range",
                    ),
                    workshops.models.base.Within(
                        field="stand_height_m",
                        high=100,
                        low=-20,
                        name="location_stand_height_m_range",
                    ),
                    workshops.models.base.Within(
                        field="water_bearing_deg",
                        high=360,
                        low=0,
                        name="location_water_bearing_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="water_distance_m",
                        high=10000,
                        low=0,
                        name="location_water_distance_m_range",
                    ),
                    workshops.models.base.Within(
                        field="walk_min", high=600, low=0, name="location_walk_min_range"
                    ),
                    workshops.models.base.Within(
                        field="head_limit", high=10000, low=1, name="location_head_limit_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Person",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "name",
                    models.CharField(
                        help_text="As it is printed in the order of turns.",
                        max_length=120,
                        verbose_name="name",
                    ),
                ),
                ("email", models.EmailField(blank=True, max_length=254, verbose_name="e-mail")),
                (
                    "phone",
                    models.CharField(
                        blank=True,
                        max_length=31,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^\\+?[0-9 ()./-]{5,30}$",
                                "Enter a phone number: digits, spaces, perhaps a + in front.",
                            )
                        ],
                        verbose_name="phone on the day",
                    ),
                ),
                (
                    "emergency_name",
                    models.CharField(blank=True, max_length=120, verbose_name="emergency contact"),
                ),
                (
                    "emergency_phone",
                    models.CharField(
                        blank=True,
                        max_length=31,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^\\+?[0-9 ()./-]{5,30}$",
                                "Enter a phone number: digits, spaces, perhaps a + in front.",
                            )
                        ],
                        verbose_name="emergency phone",
                    ),
                ),
                (
                    "language",
                    models.CharField(
                        default="en",
                        help_text="Language code, such as en.",
                        max_length=10,
                        verbose_name="language",
                    ),
                ),
                (
                    "experience",
                    models.TextField(
                        blank=True,
                        help_text="Manual exposure? Flash off the camera before? The goal in one sentence.",
                        verbose_name="experience",
                    ),
                ),
                (
                    "access_needs",
                    models.TextField(
                        blank=True,
                        help_text="Walking, standing, lifting, hearing, sight and colour vision, left-handed.",
                        verbose_name="access needs",
                    ),
                ),
                ("dietary", models.CharField(blank=True, max_length=200, verbose_name="dietary")),
                (
                    "photosensitive",
                    models.BooleanField(
                        default=False,
                        help_text="Raises a caution on the sheets of the day, without the name. No diagnosis is kept.",
                        verbose_name="no strobe effects near me",
                    ),
                ),
                (
                    "photo_consent",
                    models.CharField(
                        choices=[("unasked", "not asked yet"), ("yes", "yes"), ("no", "no")],
                        default="unasked",
                        max_length=8,
                        verbose_name="may be in pictures of the day",
                    ),
                ),
                (
                    "birth_date",
                    models.DateField(
                        blank=True,
                        help_text="Only needed under 18; settles the question by the day of the workshop.",
                        null=True,
                        verbose_name="birth date",
                    ),
                ),
                (
                    "under_age",
                    models.BooleanField(
                        default=False,
                        help_text="Tick where no birth date is given.",
                        verbose_name="under 18",
                    ),
                ),
                (
                    "guardian_name",
                    models.CharField(
                        blank=True,
                        help_text="The adult who stays with somebody under 18. Required with the tick above.",
                        max_length=120,
                        verbose_name="guardian",
                    ),
                ),
                (
                    "guardian_phone",
                    models.CharField(
                        blank=True,
                        max_length=31,
                        validators=[
                            django.core.validators.RegexValidator(
                                "^\\+?[0-9 ()./-]{5,30}$",
                                "Enter a phone number: digits, spaces, perhaps a + in front.",
                            )
                        ],
                        verbose_name="guardian's phone",
                    ),
                ),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "person",
                "verbose_name_plural": "people",
                "ordering": ("name", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("under_age", False),
                            models.Q(("guardian_name", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="under_age_has_guardian",
                        violation_error_message="Guardian: enter the adult who comes along with somebody under 18.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Seat",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("number", models.PositiveSmallIntegerField(verbose_name="number")),
            ],
            options={
                "verbose_name": "seat",
                "verbose_name_plural": "seats",
                "ordering": ("workshop", "number"),
                "constraints": [
                    workshops.models.base.Within(
                        field="number", high=1000, low=1, name="seat_number_range"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Terms",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("name", models.CharField(max_length=80, unique=True, verbose_name="name")),
                (
                    "text",
                    models.TextField(
                        blank=True, help_text="Shown to whoever books.", verbose_name="in words"
                    ),
                ),
            ],
            options={
                "verbose_name": "booking terms",
                "verbose_name_plural": "booking terms",
                "ordering": ("name",),
            },
        ),
        migrations.CreateModel(
            name="TermsRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "days_before",
                    models.PositiveSmallIntegerField(
                        help_text="90 with a share of 1 reads: up to 90 days before, all is refunded.",
                        validators=[django.core.validators.MinValueValidator(0)],
                        verbose_name="days before the start",
                    ),
                ),
                (
                    "refunded_share",
                    models.FloatField(
                        help_text="0 nothing, 0.5 half, 1 all of what was paid.",
                        verbose_name="share refunded",
                    ),
                ),
            ],
            options={
                "verbose_name": "terms row",
                "verbose_name_plural": "terms rows",
                "ordering": ("terms", "-days_before"),
                "constraints": [
                    workshops.models.base.Within(
                        field="refunded_share", high=1, low=0, name="terms_refunded_share_range"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="TidePoint",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "at",
                    models.DateTimeField(
                        help_text="On the clock of the place. Many tables keep standard time in summer: add 1.",
                        verbose_name="at",
                    ),
                ),
                (
                    "height_m",
                    models.FloatField(
                        help_text="Above the table's datum.", verbose_name="height (m)"
                    ),
                ),
                (
                    "turn",
                    models.CharField(
                        choices=[("high", "high water"), ("low", "low water")],
                        max_length=4,
                        verbose_name="turn",
                    ),
                ),
                (
                    "source",
                    models.CharField(
                        blank=True,
                        help_text="Name of the table, and its port.",
                        max_length=120,
                        verbose_name="table",
                    ),
                ),
            ],
            options={
                "verbose_name": "tide",
                "verbose_name_plural": "tides",
                "ordering": ("location", "at"),
                "constraints": [
                    workshops.models.base.Within(
                        field="height_m", high=20, low=-20, name="tide_height_m_range"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Workshop",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("title", models.CharField(max_length=120, verbose_name="title")),
                (
                    "level",
                    models.CharField(
                        choices=[
                            ("first", "first steps with a strobe"),
                            ("some", "has used flash off the camera"),
                            ("advanced", "advanced"),
                        ],
                        default="first",
                        max_length=10,
                        verbose_name="level",
                    ),
                ),
                ("start_at", models.DateTimeField(verbose_name="start")),
                ("end_at", models.DateTimeField(verbose_name="end")),
                (
                    "timezone_name",
                    models.CharField(
                        help_text="Of the place, as an IANA name such as Europe/London.",
                        max_length=64,
                        validators=[workshops.models.base.validate_timezone],
                        verbose_name="time zone",
                    ),
                ),
                (
                    "status",
                    models.CharField(
                        choices=[
                            ("draft", "draft"),
                            ("open", "open for booking"),
                            ("confirmed", "confirmed: it will run"),
                            ("run", "has run"),
                            ("closed", "closed"),
                            ("cancelled", "cancelled"),
                        ],
                        default="draft",
                        help_text="Bookings are taken while it is open or confirmed.",
                        max_length=10,
                        verbose_name="status",
                    ),
                ),
                (
                    "cancelled_reason",
                    models.CharField(
                        blank=True,
                        help_text="Required with the status cancelled, and only then.",
                        max_length=200,
                        verbose_name="reason of the cancellation",
                    ),
                ),
                (
                    "minimum_to_run",
                    models.PositiveSmallIntegerField(
                        default=1,
                        help_text="Below this many confirmed bookings it is usually called off.",
                        verbose_name="people needed to run",
                    ),
                ),
                (
                    "price",
                    models.DecimalField(
                        decimal_places=2, default=0, max_digits=9, verbose_name="price"
                    ),
                ),
                (
                    "currency",
                    models.CharField(
                        default="EUR",
                        help_text="Three letters, such as EUR.",
                        max_length=3,
                        verbose_name="currency",
                    ),
                ),
                (
                    "radio_channel",
                    models.CharField(
                        blank=True,
                        help_text="Of heads and triggers; not the channel every set leaves the shop with.",
                        max_length=20,
                        verbose_name="radio channel",
                    ),
                ),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "workshop",
                "verbose_name_plural": "workshops",
                "ordering": ("-start_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("end_at__gt", models.F("start_at"))),
                        name="workshop_ends_after_start",
                        violation_error_message="End: enter a time after the start.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("status", "cancelled"),
                                models.Q(("cancelled_reason", ""), _negated=True),
                            ),
                            models.Q(
                                models.Q(("status", "cancelled"), _negated=True),
                                ("cancelled_reason", ""),
                            ),
                            _connector="OR",
                        ),
                        name="workshop_reason_with_cancelled",
                        violation_error_message="Reason of the cancellation: enter one with the status cancelled, and leave it empty otherwise.",
                    ),
                    workshops.models.base.Within(
                        field="minimum_to_run",
                        high=1000,
                        low=1,
                        name="workshop_minimum_to_run_range",
                    ),
                    workshops.models.base.Within(
                        field="price", high=None, low=0, name="workshop_price_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WorkshopKit",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
            ],
            options={
                "verbose_name": "kit of the workshop",
                "verbose_name_plural": "kit of the workshop",
                "ordering": ("workshop", "unit"),
            },
        ),
        migrations.CreateModel(
            name="WorkshopPlace",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("position", models.PositiveSmallIntegerField(default=1, verbose_name="order")),
            ],
            options={
                "verbose_name": "place of the workshop",
                "verbose_name_plural": "places of the workshop",
                "ordering": ("workshop", "position", "pk"),
            },
        ),
        migrations.CreateModel(
            name="WorkshopRole",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("lead", "lead instructor"),
                            ("instructor", "instructor"),
                            ("model", "model"),
                            ("stand-in", "stand-in"),
                            ("helper", "helper"),
                            ("chaperone", "chaperone"),
                        ],
                        help_text="Everybody listed counts for the head limit of a permit.",
                        max_length=10,
                        verbose_name="role",
                    ),
                ),
                ("start_at", models.DateTimeField(blank=True, null=True, verbose_name="from")),
                ("end_at", models.DateTimeField(blank=True, null=True, verbose_name="until")),
                (
                    "minutes_limit",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        help_text="On one set, before a break. Models and stand-ins only.",
                        null=True,
                        verbose_name="minutes in front of the camera, at most",
                    ),
                ),
                (
                    "skin_reflectance",
                    models.FloatField(
                        default=0.3,
                        help_text="0.18 is mid-grey; light skin about 0.35, deep skin 0.10. 0.30 if not known.",
                        verbose_name="skin reflectance",
                    ),
                ),
                (
                    "release_signed",
                    models.BooleanField(default=False, verbose_name="model release signed"),
                ),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "role at the workshop",
                "verbose_name_plural": "roles at the workshop",
                "ordering": ("workshop", "role", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("start_at", None),
                            ("end_at", None),
                            ("end_at__gt", models.F("start_at")),
                            _connector="OR",
                        ),
                        name="role_ends_after_start",
                        violation_error_message="Until: enter a time after the beginning.",
                    ),
                    workshops.models.base.Within(
                        field="skin_reflectance",
                        high=1,
                        low=0.01,
                        name="role_skin_reflectance_range",
                    ),
                    workshops.models.base.Within(
                        field="minutes_limit", high=1440, low=1, name="role_minutes_limit_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="User",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                (
                    "is_superuser",
                    models.BooleanField(
                        default=False,
                        help_text="Designates that this user has all permissions without explicitly assigning them.",
                        verbose_name="superuser status",
                    ),
                ),
                (
                    "email",
                    models.EmailField(
                        help_text="The address you log in with. Case does not matter.",
                        max_length=254,
                        unique=True,
                        verbose_name="e-mail",
                    ),
                ),
                ("name", models.CharField(blank=True, max_length=120, verbose_name="name")),
                (
                    "is_active",
                    models.BooleanField(
                        default=True,
                        help_text="Untick instead of deleting an account.",
                        verbose_name="may log in",
                    ),
                ),
                (
                    "is_staff",
                    models.BooleanField(
                        default=False,
                        help_text="What may be changed there is set by groups and permissions below.",
                        verbose_name="may enter the admin",
                    ),
                ),
                (
                    "date_joined",
                    models.DateTimeField(
                        default=django.utils.timezone.now, editable=False, verbose_name="since"
                    ),
                ),
                (
                    "groups",
                    models.ManyToManyField(
                        blank=True,
                        help_text="The groups this user belongs to. A user will get all permissions granted to each of their groups.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.group",
                        verbose_name="groups",
                    ),
                ),
                (
                    "user_permissions",
                    models.ManyToManyField(
                        blank=True,
                        help_text="Specific permissions for this user.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.permission",
                        verbose_name="user permissions",
                    ),
                ),
            ],
            options={
                "verbose_name": "user",
                "verbose_name_plural": "users",
                "ordering": ("email",),
                "constraints": [
                    models.UniqueConstraint(
                        django.db.models.functions.text.Lower("email"),
                        name="user_email_once",
                        violation_error_message="E-mail: an account with this address exists already.",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="AuditEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True, verbose_name="at")),
                ("who_text", models.CharField(blank=True, max_length=254, verbose_name="who")),
                (
                    "action",
                    models.CharField(
                        choices=[
                            ("created", "created"),
                            ("changed", "changed"),
                            ("deleted", "deleted"),
                        ],
                        max_length=8,
                        verbose_name="action",
                    ),
                ),
                ("record_type", models.CharField(max_length=80, verbose_name="kind of record")),
                ("record_id", models.CharField(max_length=40, verbose_name="record")),
                ("record_text", models.CharField(max_length=200, verbose_name="called")),
                (
                    "changes",
                    models.JSONField(
                        help_text="Field: [before, after].", verbose_name="fields, before and after"
                    ),
                ),
                (
                    "who",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="account",
                    ),
                ),
            ],
            options={
                "verbose_name": "audit entry",
                "verbose_name_plural": "audit",
                "ordering": ("-at", "-pk"),
            },
        ),
        migrations.CreateModel(
            name="Ballast",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
            ],
            options={
                "verbose_name": "ballast",
                "verbose_name_plural": "ballast",
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="Battery",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "capacity_wh",
                    models.FloatField(
                        help_text="Volts times ampere hours: about 40 for 200 W.s, 90 to 100 for 600 W.s.",
                        verbose_name="capacity (Wh)",
                    ),
                ),
            ],
            options={
                "verbose_name": "battery",
                "verbose_name_plural": "batteries",
                "constraints": [
                    workshops.models.base.Within(
                        field="capacity_wh", high=5000, low=1, name="battery_capacity_wh_range"
                    )
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="Gel",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "loss_stops",
                    models.FloatField(
                        help_text="Warming: quarter 0.25, half 0.5, full 1.1; blue 1.5.",
                        verbose_name="costs (stops)",
                    ),
                ),
                (
                    "shift_mired",
                    models.FloatField(
                        help_text="Warming is positive: quarter 42 to 64, half 81 to 109, full 159 to 167.",
                        verbose_name="shift (mired)",
                    ),
                ),
            ],
            options={
                "verbose_name": "gel",
                "verbose_name_plural": "gels",
                "constraints": [
                    workshops.models.base.Within(
                        field="loss_stops", high=6, low=0, name="gel_loss_stops_range"
                    ),
                    workshops.models.base.Within(
                        field="shift_mired", high=500, low=-150, name="gel_shift_mired_range"
                    ),
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="Meter",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "receptor",
                    models.CharField(
                        choices=[
                            ("dome", "dome"),
                            ("flat", "flat disc"),
                            ("both", "dome and flat disc"),
                        ],
                        default="dome",
                        max_length=8,
                        verbose_name="receptor",
                    ),
                ),
                (
                    "incident_constant",
                    models.FloatField(
                        default=250.0,
                        help_text="ISO 2720: 250 for a flat disc, about 330 for a dome. From its manual.",
                        verbose_name="incident constant C",
                    ),
                ),
                (
                    "reflected_constant",
                    models.FloatField(
                        default=12.5,
                        help_text="ISO 2720: 12.5; some makers use 14.",
                        verbose_name="reflected constant K",
                    ),
                ),
                ("reads_spot", models.BooleanField(default=False, verbose_name="reads spots")),
                (
                    "reads_hss",
                    models.BooleanField(
                        default=False,
                        help_text="Most flash meters do not: then high-speed sync is set by the histogram.",
                        verbose_name="reads high-speed sync",
                    ),
                ),
            ],
            options={
                "verbose_name": "meter",
                "verbose_name_plural": "meters",
                "constraints": [
                    workshops.models.base.Within(
                        field="incident_constant",
                        high=600,
                        low=100,
                        name="meter_incident_constant_range",
                    ),
                    workshops.models.base.Within(
                        field="reflected_constant",
                        high=30,
                        low=5,
                        name="meter_reflected_constant_range",
                    ),
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="Modifier",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "shape",
                    models.CharField(
                        choices=[
                            ("round", "round, octa, umbrella"),
                            ("rectangle", "rectangle, strip"),
                        ],
                        default="round",
                        max_length=10,
                        verbose_name="shape",
                    ),
                ),
                (
                    "width_m",
                    models.FloatField(
                        help_text="Of the face, edge to edge.", verbose_name="width (m)"
                    ),
                ),
                (
                    "height_m",
                    models.FloatField(
                        blank=True,
                        help_text="Rectangles. Empty: same as the width.",
                        null=True,
                        verbose_name="height (m)",
                    ),
                ),
                (
                    "face",
                    models.CharField(
                        choices=[
                            ("diffuse", "diffuse: fabric, umbrella, dish"),
                            ("beam", "beam: deep, gridded or bare reflector"),
                        ],
                        default="diffuse",
                        help_text="A diffuse face falls off slowly near by; a beam starts behind its rim.",
                        max_length=8,
                        verbose_name="light",
                    ),
                ),
                (
                    "source_diameter_m",
                    models.FloatField(
                        blank=True,
                        help_text="Diffuse faces only. Empty: a disc of the same area as the face.",
                        null=True,
                        verbose_name="diameter as a light source (m)",
                    ),
                ),
                (
                    "source_offset_m",
                    models.FloatField(
                        default=0.0,
                        help_text="Beams only, from two readings at two distances. 0 if not known.",
                        verbose_name="beam starts behind the rim by (m)",
                    ),
                ),
                (
                    "beam_deg",
                    models.FloatField(
                        blank=True,
                        help_text="Edge to edge at half the light: grid 10 to 40, standard reflector 60 to 80.",
                        null=True,
                        verbose_name="beam angle (degrees)",
                    ),
                ),
                (
                    "stops",
                    models.FloatField(
                        default=0.0,
                        help_text="A loss is negative. Deep reflector +1 to +2; grid 40/20/10 degrees -0.3/-1/-1.7; dish -0.5 to -1; umbrella -1 to -2; octa 90 -2, 120 -2 to -2.5. Usual figures: meter yours once and enter the reading under guide number readings.",
                        verbose_name="stops against the standard reflector",
                    ),
                ),
                (
                    "drag_coefficient",
                    models.FloatField(
                        default=1.42,
                        help_text="Open hollow shell, the worst case: 1.42. Flat plate: 1.2.",
                        verbose_name="drag coefficient",
                    ),
                ),
                (
                    "overhang_m",
                    models.FloatField(
                        default=0.0,
                        help_text="Of the modifier on its head: softboxes about 0.3.",
                        verbose_name="centre of mass ahead of the pole (m)",
                    ),
                ),
            ],
            options={
                "verbose_name": "modifier",
                "verbose_name_plural": "modifiers",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("face", "diffuse"), ("source_offset_m", 0)),
                            models.Q(("face", "beam"), ("source_diameter_m", None)),
                            _connector="OR",
                        ),
                        name="modifier_diameter_or_offset",
                        violation_error_message="Light: a diffuse face has a diameter and no beam start; a beam has no diameter. Empty the one that does not belong.",
                    ),
                    workshops.models.base.Within(
                        field="width_m", high=5, low=0.02, name="modifier_width_m_range"
                    ),
                    workshops.models.base.Within(
                        field="height_m", high=5, low=0.02, name="modifier_height_m_range"
                    ),
                    workshops.models.base.Within(
                        field="source_diameter_m",
                        high=5,
                        low=0.01,
                        name="modifier_source_diameter_m_range",
                    ),
                    workshops.models.base.Within(
                        field="source_offset_m",
                        high=10,
                        low=0,
                        name="modifier_source_offset_m_range",
                    ),
                    workshops.models.base.Within(
                        field="beam_deg", high=179, low=1, name="modifier_beam_deg_range"
                    ),
                    workshops.models.base.Within(
                        field="stops", high=5, low=-8, name="modifier_stops_range"
                    ),
                    workshops.models.base.Within(
                        field="drag_coefficient",
                        high=3,
                        low=0.1,
                        name="modifier_drag_coefficient_range",
                    ),
                    workshops.models.base.Within(
                        field="overhang_m", high=2, low=0, name="modifier_overhang_m_range"
                    ),
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="NdFilter",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "stops",
                    models.FloatField(
                        help_text="2, 3 or 6 are usual; 0.9 density is 3.", verbose_name="stops"
                    ),
                ),
                (
                    "thread_mm",
                    models.FloatField(
                        blank=True,
                        help_text="67 to 82; with rings for the rest.",
                        null=True,
                        verbose_name="thread (mm)",
                    ),
                ),
            ],
            options={
                "verbose_name": "ND filter",
                "verbose_name_plural": "ND filters",
                "constraints": [
                    workshops.models.base.Within(
                        field="stops", high=12, low=0.1, name="filter_stops_range"
                    ),
                    workshops.models.base.Within(
                        field="thread_mm", high=150, low=20, name="filter_thread_mm_range"
                    ),
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="Stand",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "leg_radius_m",
                    models.FloatField(
                        help_text="From the pole to the tip of a leg as set up: 0.4 to 0.6.",
                        verbose_name="leg radius (m)",
                    ),
                ),
                (
                    "top_height_m",
                    models.FloatField(
                        help_text="Fully extended: 2.4 to 2.8, a heavy one up to 4.",
                        verbose_name="top height (m)",
                    ),
                ),
                (
                    "rated_load_kg",
                    models.FloatField(
                        blank=True,
                        help_text="From the maker, if given.",
                        null=True,
                        verbose_name="rated load (kg)",
                    ),
                ),
            ],
            options={
                "verbose_name": "stand",
                "verbose_name_plural": "stands",
                "constraints": [
                    workshops.models.base.Within(
                        field="leg_radius_m", high=3, low=0.05, name="stand_leg_radius_m_range"
                    ),
                    workshops.models.base.Within(
                        field="top_height_m", high=10, low=0.1, name="stand_top_height_m_range"
                    ),
                    workshops.models.base.Within(
                        field="rated_load_kg", high=200, low=0.1, name="stand_rated_load_kg_range"
                    ),
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="Strobe",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "energy_ws",
                    models.FloatField(
                        blank=True,
                        help_text="Hot-shoe flash 50 to 75, portable 200 to 600. Or give a guide number.",
                        null=True,
                        verbose_name="energy (W.s)",
                    ),
                ),
                (
                    "guide_number_m",
                    models.FloatField(
                        blank=True,
                        help_text="At full power with the standard reflector: metres times f-number. 200 W.s: about 46, 600 W.s: about 80. Empty: guessed from the W.s, a stop either way.",
                        null=True,
                        verbose_name="guide number (m, ISO 100)",
                    ),
                ),
                (
                    "guide_number_spread_stops",
                    models.FloatField(
                        default=0.5,
                        help_text="Makers measure with different reflectors: 0.5; metered by you: 0.2.",
                        verbose_name="guide number is right within (stops)",
                    ),
                ),
                (
                    "least_power",
                    workshops.models.fields.FractionField(
                        default=0.00390625,
                        help_text="As a share of full: 1/256, 1/128, simple heads 1/32.",
                        verbose_name="least power",
                    ),
                ),
                (
                    "power_step_stops",
                    workshops.models.fields.FractionField(
                        choices=[
                            (1.0, "whole stops"),
                            (0.5, "half stops"),
                            (0.3333333333333333, "third stops"),
                            (0.1, "tenth stops"),
                        ],
                        default=0.3333333333333333,
                        error_messages={
                            "invalid_choice": "Power step: choose whole, half, third or tenth stops."
                        },
                        help_text="The finest the head is set in.",
                        verbose_name="power step",
                    ),
                ),
                (
                    "power_scale",
                    models.CharField(
                        choices=[
                            ("fraction", "fractions: 1/1, 1/2, 1/4"),
                            ("ten", "tens: 10.0 is full, one whole less is a stop less"),
                        ],
                        default="fraction",
                        max_length=8,
                        verbose_name="power scale",
                    ),
                ),
                (
                    "flash_duration_s",
                    workshops.models.fields.FractionField(
                        blank=True,
                        help_text="1/200 to 1/1000. Not t0.5, which is about a third of it.",
                        null=True,
                        verbose_name="flash duration t0.1 at full (s)",
                    ),
                ),
                (
                    "recycle_s",
                    models.FloatField(
                        blank=True,
                        help_text="0.5 to 3.",
                        null=True,
                        verbose_name="recycle time at full (s)",
                    ),
                ),
                (
                    "overheat_flashes",
                    models.PositiveIntegerField(
                        blank=True,
                        help_text="From the manual: it then pauses to cool.",
                        null=True,
                        verbose_name="full-power flashes in ten minutes, at most",
                    ),
                ),
                (
                    "idle_w",
                    models.FloatField(
                        default=0.0,
                        help_text="Switched on and charged: 2 to 5.",
                        verbose_name="draw when idle (W)",
                    ),
                ),
                (
                    "modelling_w",
                    models.FloatField(
                        default=0.0,
                        help_text="As used on location: 0 if it stays off, LED 10 to 30.",
                        verbose_name="modelling lamp (W)",
                    ),
                ),
                ("hss", models.BooleanField(default=False, verbose_name="high-speed sync")),
                (
                    "ttl",
                    models.BooleanField(
                        default=False, verbose_name="automatic flash exposure (TTL)"
                    ),
                ),
                (
                    "hss_overhead_stops",
                    models.FloatField(
                        default=1.0,
                        help_text="Lost at once on switching over: 0.5 to 1.5. From one pair of readings.",
                        verbose_name="high-speed sync overhead (stops)",
                    ),
                ),
                (
                    "mains",
                    models.BooleanField(
                        default=False, help_text="Never near water.", verbose_name="needs mains"
                    ),
                ),
                (
                    "flashes_at_full",
                    models.FloatField(
                        blank=True,
                        help_text="Counted. Empty: from the battery's watt-hours at 75 %.",
                        null=True,
                        verbose_name="full-power flashes, one charge",
                    ),
                ),
                (
                    "head_width_m",
                    models.FloatField(
                        default=0.18,
                        help_text="Of the standard reflector, without a modifier: the wind sees a disc of it.",
                        verbose_name="width of the head (m)",
                    ),
                ),
            ],
            options={
                "verbose_name": "strobe",
                "verbose_name_plural": "strobes",
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("energy_ws__isnull", False),
                            ("guide_number_m__isnull", False),
                            _connector="OR",
                        ),
                        name="strobe_has_a_figure",
                        violation_error_message="Energy: enter the W.s, or a guide number.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("power_step_stops__in", [1.0, 0.5, 0.3333333333333333, 0.1])
                        ),
                        name="strobe_power_step",
                        violation_error_message="Power step: choose whole, half, third or tenth stops.",
                    ),
                    workshops.models.base.Within(
                        field="energy_ws", high=20000, low=1, name="strobe_energy_ws_range"
                    ),
                    workshops.models.base.Within(
                        field="guide_number_m", high=1000, low=1, name="strobe_guide_number_m_range"
                    ),
                    workshops.models.base.Within(
                        field="guide_number_spread_stops",
                        high=4,
                        low=0,
                        name="strobe_guide_number_spread_stops_range",
                    ),
                    workshops.models.base.Within(
                        field="least_power",
                        high=1,
                        low=0.0001220703125,
                        name="strobe_least_power_range",
                    ),
                    workshops.models.base.Within(
                        field="flash_duration_s",
                        high=0.1,
                        low=1e-05,
                        name="strobe_flash_duration_s_range",
                    ),
                    workshops.models.base.Within(
                        field="recycle_s", high=60, low=0.01, name="strobe_recycle_s_range"
                    ),
                    workshops.models.base.Within(
                        field="overheat_flashes",
                        high=100000,
                        low=1,
                        name="strobe_overheat_flashes_range",
                    ),
                    workshops.models.base.Within(
                        field="idle_w", high=100, low=0, name="strobe_idle_w_range"
                    ),
                    workshops.models.base.Within(
                        field="modelling_w", high=1000, low=0, name="strobe_modelling_w_range"
                    ),
                    workshops.models.base.Within(
                        field="hss_overhead_stops",
                        high=4,
                        low=0,
                        name="strobe_hss_overhead_stops_range",
                    ),
                    workshops.models.base.Within(
                        field="flashes_at_full",
                        high=100000,
                        low=1,
                        name="strobe_flashes_at_full_range",
                    ),
                    workshops.models.base.Within(
                        field="head_width_m", high=1, low=0.02, name="strobe_head_width_m_range"
                    ),
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.CreateModel(
            name="Trigger",
            fields=[
                (
                    "kitkind_ptr",
                    models.OneToOneField(
                        auto_created=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        parent_link=True,
                        primary_key=True,
                        serialize=False,
                        to="workshops.kitkind",
                    ),
                ),
                (
                    "advanced",
                    models.BooleanField(
                        default=False,
                        help_text="Sets power and high-speed sync from the camera. Simple ones only say fire.",
                        verbose_name="advanced",
                    ),
                ),
                ("hss", models.BooleanField(default=False, verbose_name="high-speed sync")),
                (
                    "ttl",
                    models.BooleanField(
                        default=False, verbose_name="automatic flash exposure (TTL)"
                    ),
                ),
                (
                    "fits",
                    models.CharField(
                        blank=True,
                        help_text="Flash system it is made for, in the cameras' words. Empty: any shoe.",
                        max_length=60,
                        verbose_name="fits",
                    ),
                ),
                (
                    "sync_penalty_stops",
                    workshops.models.fields.FractionField(
                        default=0.3333333333333333,
                        help_text="Delay of the radio. Simple triggers about 1/3; 0 for a dedicated one.",
                        verbose_name="costs of sync (stops)",
                    ),
                ),
                ("channel", models.CharField(blank=True, max_length=20, verbose_name="channel")),
            ],
            options={
                "verbose_name": "trigger",
                "verbose_name_plural": "triggers",
                "constraints": [
                    workshops.models.base.Within(
                        field="sync_penalty_stops",
                        high=3,
                        low=0,
                        name="trigger_sync_penalty_stops_range",
                    )
                ],
            },
            bases=("workshops.kitkind",),
        ),
        migrations.AddField(
            model_name="booking",
            name="camera",
            field=models.ForeignKey(
                blank=True,
                help_text="The own body or one on loan. Its sync and lowest ISO enter the plan.",
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="workshops.camerabody",
                verbose_name="camera on the day",
            ),
        ),
        migrations.AddField(
            model_name="kitunit",
            name="kind",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="units",
                to="workshops.kitkind",
                verbose_name="kind",
            ),
        ),
        migrations.AddField(
            model_name="guidenumberreading",
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
            model_name="booking",
            name="trigger_unit",
            field=models.ForeignKey(
                blank=True,
                help_text="The unit this person shoots with, if it is settled already.",
                limit_choices_to={"kind__category": "trigger"},
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="workshops.kitunit",
                verbose_name="trigger",
            ),
        ),
        migrations.AddField(
            model_name="location",
            name="fallback",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="workshops.location",
                verbose_name="fallback place",
            ),
        ),
        migrations.AddField(
            model_name="landmark",
            name="location",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="landmarks",
                to="workshops.location",
                verbose_name="location",
            ),
        ),
        migrations.AddField(
            model_name="forecast",
            name="location",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="forecasts",
                to="workshops.location",
                verbose_name="location",
            ),
        ),
        migrations.AddField(
            model_name="camerabody",
            name="owner",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="cameras",
                to="workshops.person",
                verbose_name="owner",
            ),
        ),
        migrations.AddField(
            model_name="booking",
            name="person",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="bookings",
                to="workshops.person",
                verbose_name="person",
            ),
        ),
        migrations.AddField(
            model_name="booking",
            name="seat",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="bookings",
                to="workshops.seat",
                verbose_name="seat",
            ),
        ),
        migrations.AddField(
            model_name="termsrow",
            name="terms",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="rows",
                to="workshops.terms",
                verbose_name="terms",
            ),
        ),
        migrations.AddField(
            model_name="tidepoint",
            name="location",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="tide_points",
                to="workshops.location",
                verbose_name="location",
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="terms",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                to="workshops.terms",
                verbose_name="booking terms",
            ),
        ),
        migrations.AddField(
            model_name="seat",
            name="workshop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="seats",
                to="workshops.workshop",
                verbose_name="workshop",
            ),
        ),
        migrations.AddField(
            model_name="booking",
            name="workshop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="bookings",
                to="workshops.workshop",
                verbose_name="workshop",
            ),
        ),
        migrations.AddField(
            model_name="workshopkit",
            name="unit",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="workshops",
                to="workshops.kitunit",
                verbose_name="unit",
            ),
        ),
        migrations.AddField(
            model_name="workshopkit",
            name="workshop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="kit",
                to="workshops.workshop",
                verbose_name="workshop",
            ),
        ),
        migrations.AddField(
            model_name="workshopplace",
            name="location",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="workshops.location",
                verbose_name="location",
            ),
        ),
        migrations.AddField(
            model_name="workshopplace",
            name="workshop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="places",
                to="workshops.workshop",
                verbose_name="workshop",
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="locations",
            field=models.ManyToManyField(
                related_name="workshops",
                through="workshops.WorkshopPlace",
                to="workshops.location",
                verbose_name="places",
            ),
        ),
        migrations.AddField(
            model_name="workshoprole",
            name="person",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="roles",
                to="workshops.person",
                verbose_name="person",
            ),
        ),
        migrations.AddField(
            model_name="workshoprole",
            name="workshop",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="roles",
                to="workshops.workshop",
                verbose_name="workshop",
            ),
        ),
        migrations.AddIndex(
            model_name="auditentry",
            index=models.Index(fields=["record_type", "record_id"], name="audit_of_record"),
        ),
        migrations.AddField(
            model_name="guidenumberreading",
            name="modifier",
            field=models.ForeignKey(
                blank=True,
                help_text="Empty: the standard reflector.",
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="readings",
                to="workshops.modifier",
                verbose_name="modifier",
            ),
        ),
        migrations.AddField(
            model_name="strobe",
            name="battery_kind",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="strobes",
                to="workshops.battery",
                verbose_name="battery",
            ),
        ),
        migrations.AddField(
            model_name="guidenumberreading",
            name="strobe",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="readings",
                to="workshops.strobe",
                verbose_name="strobe",
            ),
        ),
        migrations.AddConstraint(
            model_name="termsrow",
            constraint=models.UniqueConstraint(
                fields=("terms", "days_before"),
                name="terms_day_once",
                violation_error_message="Days before: these terms have a row for that day.",
            ),
        ),
        migrations.AddConstraint(
            model_name="tidepoint",
            constraint=models.UniqueConstraint(
                fields=("location", "at"),
                name="tide_once",
                violation_error_message="At: this place has a tide for that time.",
            ),
        ),
        migrations.AddConstraint(
            model_name="seat",
            constraint=models.UniqueConstraint(
                fields=("workshop", "number"), name="seat_number_once"
            ),
        ),
        migrations.AddConstraint(
            model_name="booking",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state__in", ("held", "confirmed"))),
                fields=("workshop", "person"),
                name="one_live_booking_each",
                violation_error_message="Person: already holds a booking of this workshop.",
            ),
        ),
        migrations.AddConstraint(
            model_name="booking",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state__in", ("held", "confirmed"))),
                fields=("seat",),
                name="one_live_booking_a_seat",
                violation_error_message="Seat: another booking holds it; choose a free one.",
            ),
        ),
        migrations.AddConstraint(
            model_name="booking",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(
                        ("state__in", ("held", "confirmed")),
                        ("cancelled_at", None),
                        ("seat__isnull", False),
                    ),
                    models.Q(
                        ("state", "cancelled"), ("cancelled_at__isnull", False), ("seat", None)
                    ),
                    _connector="OR",
                ),
                name="live_booking_has_a_seat",
                violation_error_message="Seat: a live booking holds one; a cancelled one holds none and says when.",
            ),
        ),
        migrations.AddConstraint(
            model_name="workshopkit",
            constraint=models.UniqueConstraint(
                fields=("workshop", "unit"),
                name="workshop_unit_once",
                violation_error_message="Unit: is on this workshop's list already.",
            ),
        ),
        migrations.AddConstraint(
            model_name="workshopplace",
            constraint=models.UniqueConstraint(
                fields=("workshop", "location"),
                name="workshop_place_once",
                violation_error_message="Location: this workshop has it already.",
            ),
        ),
        migrations.AddConstraint(
            model_name="workshoprole",
            constraint=models.UniqueConstraint(
                fields=("workshop", "person", "role"),
                name="workshop_role_once",
                violation_error_message="Person: has that role at this workshop already.",
            ),
        ),
        migrations.AddConstraint(
            model_name="workshoprole",
            constraint=models.UniqueConstraint(
                condition=models.Q(("role", "lead")),
                fields=("workshop",),
                name="workshop_one_lead",
                violation_error_message="Role: this workshop has a lead instructor already.",
            ),
        ),
    ]

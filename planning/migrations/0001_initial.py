import django.db.models.expressions
from django.db import migrations, models

import workshops.models.base
import workshops.models.fields


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="PlannedLight",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("position", models.PositiveSmallIntegerField(default=1, verbose_name="order")),
                (
                    "name",
                    models.CharField(
                        help_text="As you call it on the set: octa, edge, wall.",
                        max_length=60,
                        verbose_name="name",
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[
                            ("key", "key"),
                            ("fill", "fill"),
                            ("rim", "rim"),
                            ("background", "background"),
                        ],
                        default="key",
                        max_length=10,
                        verbose_name="role",
                    ),
                ),
                (
                    "target_stops",
                    models.FloatField(
                        default=0.0,
                        help_text="Key 0; two keys share in the ratio of their targets. Fill in a key set: under the working aperture, -2. Fill in a fill set: where the shadow side shall stand against the sunny side, -1. Rim +0.5 to +1.",
                        verbose_name="wanted (stops)",
                    ),
                ),
                (
                    "battery_count",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        help_text="For this light. Empty: those of the kind on the workshop's kit list.",
                        null=True,
                        verbose_name="charged packs",
                    ),
                ),
                (
                    "distance_m",
                    models.FloatField(
                        help_text="Front fabric to face, along the slant: what a knotted cord measures.",
                        verbose_name="distance (m)",
                    ),
                ),
                (
                    "angle_deg",
                    models.FloatField(
                        help_text="Seen from the subject, off the camera's direction: 45 to the camera's right, -45 to its left, 180 straight behind.",
                        verbose_name="angle (degrees)",
                    ),
                ),
                ("lamp_height_m", models.FloatField(verbose_name="height of the lamp (m)")),
                (
                    "hand_held",
                    models.BooleanField(
                        default=False,
                        help_text="Somebody carries it on a pole: no stand.",
                        verbose_name="hand held",
                    ),
                ),
                (
                    "bag_kg",
                    models.FloatField(
                        default=0.0,
                        help_text="At the centre, clear of the ground. Always some: 5 to 10.",
                        verbose_name="ballast hung (kg)",
                    ),
                ),
            ],
            options={
                "verbose_name": "light",
                "verbose_name_plural": "lights",
                "ordering": ("planned_set", "position", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("role__in", ("key", "fill")), _negated=True),
                            models.Q(("angle_deg__gt", -150), ("angle_deg__lt", 150)),
                            _connector="OR",
                        ),
                        name="light_key_and_fill_in_front",
                        violation_error_message="Angle: from 150 degrees on the lamp stands behind the subject: make it a rim, or bring it round to the front.",
                    ),
                    workshops.models.base.Within(
                        field="target_stops", high=6, low=-6, name="light_target_stops_range"
                    ),
                    workshops.models.base.Within(
                        field="distance_m", high=100, low=0.1, name="light_distance_m_range"
                    ),
                    workshops.models.base.Within(
                        field="angle_deg", high=180, low=-180, name="light_angle_deg_range"
                    ),
                    workshops.models.base.Within(
                        field="lamp_height_m", high=20, low=0.05, name="light_lamp_height_m_range"
                    ),
                    workshops.models.base.Within(
                        field="bag_kg", high=200, low=0, name="light_bag_kg_range"
                    ),
                    workshops.models.base.Within(
                        field="battery_count", high=100, low=1, name="light_battery_count_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PlannedSet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "position",
                    models.PositiveSmallIntegerField(
                        default=1,
                        help_text="Shifts who begins, so that it is fair.",
                        verbose_name="number in the day",
                    ),
                ),
                ("title", models.CharField(max_length=120, verbose_name="title")),
                (
                    "objective",
                    models.TextField(
                        blank=True,
                        help_text="What everybody can do afterwards.",
                        verbose_name="objective",
                    ),
                ),
                ("start_at", models.DateTimeField(verbose_name="start")),
                ("end_at", models.DateTimeField(verbose_name="end")),
                (
                    "channel",
                    models.CharField(
                        blank=True,
                        help_text="Empty: the workshop's.",
                        max_length=20,
                        verbose_name="radio channel",
                    ),
                ),
                (
                    "job",
                    models.CharField(
                        choices=[
                            ("key", "key: the flash is the main light"),
                            ("fill", "fill: the flash lifts the shadows of the sun"),
                            ("rim", "rim: the flash draws an edge"),
                        ],
                        default="key",
                        max_length=4,
                        verbose_name="job of the flash",
                    ),
                ),
                (
                    "camera_facing_deg",
                    models.FloatField(
                        help_text="0 north, 90 east. Not the compass reading.",
                        verbose_name="camera faces (degrees true)",
                    ),
                ),
                ("focal_mm", models.FloatField(default=85.0, verbose_name="focal length (mm)")),
                (
                    "camera_distance_m",
                    models.FloatField(
                        default=4.0,
                        help_text="For frame and depth of field.",
                        verbose_name="camera to subject (m)",
                    ),
                ),
                (
                    "widest_f_number",
                    workshops.models.fields.ApertureField(
                        default="2.8", help_text="Of the lens.", verbose_name="widest aperture"
                    ),
                ),
                (
                    "smallest_f_number",
                    workshops.models.fields.ApertureField(
                        default="22",
                        help_text="The smallest you want to use; beyond f/16 pictures soften.",
                        verbose_name="smallest aperture",
                    ),
                ),
                (
                    "iso",
                    workshops.models.fields.IsoField(
                        default="100",
                        help_text="The lowest the group works at.",
                        verbose_name="ISO",
                    ),
                ),
                (
                    "highest_iso",
                    workshops.models.fields.IsoField(
                        default="1600", help_text="For dusk and shade.", verbose_name="highest ISO"
                    ),
                ),
                (
                    "slowest_hand_held_s",
                    workshops.models.fields.ShutterField(
                        default="1/60",
                        help_text="About one over the focal length; the ladder says where hands give out.",
                        verbose_name="slowest hand-held shutter",
                    ),
                ),
                (
                    "white_balance_k",
                    models.FloatField(
                        default=5500.0,
                        help_text="5500 matches a bare flash; about 3800 with a half warm gel; low sun 4000.",
                        verbose_name="white balance (K)",
                    ),
                ),
                (
                    "advanced_trigger",
                    models.BooleanField(
                        default=True,
                        help_text="Untick to plan with simple triggers alone: no high-speed sync.",
                        verbose_name="the instructor's advanced trigger is used",
                    ),
                ),
                (
                    "base_kind",
                    models.CharField(
                        choices=[
                            ("incident", "incident, at the backdrop: it keeps its own tone"),
                            ("spot", "spot, off the backdrop: it lands where placement says"),
                            ("sky", "spot, off the sky: it lands where placement says"),
                        ],
                        default="incident",
                        max_length=8,
                        verbose_name="base reading",
                    ),
                ),
                (
                    "placement_stops",
                    models.FloatField(
                        default=0.0,
                        help_text="Spot readings only: sky +1, stone 0, dark wood -1.",
                        verbose_name="placement (stops over mid-grey)",
                    ),
                ),
                (
                    "stops_under",
                    models.FloatField(
                        default=1.0,
                        help_text="1 as a rule, 2 for drama, 0 for a fill set.",
                        verbose_name="backdrop under by (stops)",
                    ),
                ),
                (
                    "wanted_f_number",
                    workshops.models.fields.ApertureField(
                        blank=True,
                        help_text="A wider one than the plan gives, such as f/2.8: its price is then printed.",
                        null=True,
                        verbose_name="wanted aperture",
                    ),
                ),
                (
                    "given_f_number",
                    workshops.models.fields.ApertureField(
                        blank=True,
                        help_text="Where light fades: the aperture to work at. Empty: chosen by the plan.",
                        null=True,
                        verbose_name="low light: aperture",
                    ),
                ),
                (
                    "given_iso",
                    workshops.models.fields.IsoField(
                        blank=True, null=True, verbose_name="low light: ISO"
                    ),
                ),
                (
                    "least_ratio",
                    models.FloatField(
                        blank=True,
                        help_text="4 means 4:1. The ladder ends where it is lost.",
                        null=True,
                        verbose_name="least ratio, lit to shadow",
                    ),
                ),
                (
                    "backdrop",
                    models.CharField(
                        blank=True,
                        help_text="In words: slate wall, sea, sky.",
                        max_length=120,
                        verbose_name="backdrop",
                    ),
                ),
                (
                    "backdrop_facing_deg",
                    models.FloatField(
                        blank=True,
                        help_text="Where its face looks. Empty: at the camera.",
                        null=True,
                        verbose_name="backdrop faces (degrees true)",
                    ),
                ),
                (
                    "backdrop_tilt_deg",
                    models.FloatField(
                        default=90.0,
                        help_text="90 a wall, 0 flat ground.",
                        verbose_name="backdrop tilt (degrees)",
                    ),
                ),
                (
                    "backdrop_reflectance",
                    models.FloatField(
                        default=0.18,
                        help_text="Dark wood 0.08, slate 0.12, grey stone 0.25, white render 0.7.",
                        verbose_name="backdrop reflectance",
                    ),
                ),
                (
                    "backdrop_in_sun",
                    models.BooleanField(
                        default=True,
                        help_text="When the sun is out and reaches it.",
                        verbose_name="backdrop in the sun",
                    ),
                ),
                (
                    "gap_behind_m",
                    models.FloatField(
                        blank=True,
                        help_text="Empty: open sky, or too far for the flash.",
                        null=True,
                        verbose_name="subject to backdrop (m)",
                    ),
                ),
                (
                    "sky_patch_elevation_deg",
                    models.FloatField(
                        default=20.0,
                        help_text="Above the horizon, behind the subject, where the sky is read.",
                        verbose_name="height of the sky patch (degrees)",
                    ),
                ),
                (
                    "subject_in_sun",
                    models.BooleanField(default=True, verbose_name="subject in the sun"),
                ),
                (
                    "face_height_m",
                    models.FloatField(
                        default=1.55,
                        help_text="Standing 1.55, seated 1.1.",
                        verbose_name="height of the face (m)",
                    ),
                ),
                (
                    "subject_height_m",
                    models.FloatField(default=1.75, verbose_name="height of the subject (m)"),
                ),
                ("wardrobe", models.CharField(blank=True, max_length=120, verbose_name="wardrobe")),
                (
                    "wardrobe_reflectance",
                    models.FloatField(
                        default=0.18,
                        help_text="Black wool 0.04, denim 0.1, grey 0.18, white cotton 0.8.",
                        verbose_name="wardrobe reflectance",
                    ),
                ),
                (
                    "frames_per_attendee",
                    models.PositiveSmallIntegerField(default=25, verbose_name="frames each"),
                ),
                (
                    "demo_frames",
                    models.PositiveSmallIntegerField(
                        default=40, verbose_name="frames in the demonstration"
                    ),
                ),
                (
                    "rounds",
                    models.PositiveSmallIntegerField(
                        default=1,
                        help_text="2 short ones where light fades: everybody has a pass.",
                        verbose_name="rounds",
                    ),
                ),
                ("rig_min", models.FloatField(default=12.0, verbose_name="rigging (minutes)")),
                ("brief_min", models.FloatField(default=3.0, verbose_name="briefing (minutes)")),
                (
                    "demo_min",
                    models.FloatField(default=10.0, verbose_name="demonstration (minutes)"),
                ),
                ("turn_min", models.FloatField(default=5.0, verbose_name="one turn (minutes)")),
                (
                    "changeover_min",
                    models.FloatField(default=1.0, verbose_name="between turns (minutes)"),
                ),
                (
                    "critique_min",
                    models.FloatField(default=8.0, verbose_name="talking over (minutes)"),
                ),
                ("strike_min", models.FloatField(default=8.0, verbose_name="striking (minutes)")),
                ("notes", models.TextField(blank=True, verbose_name="notes")),
            ],
            options={
                "verbose_name": "planned set",
                "verbose_name_plural": "planned sets",
                "ordering": ("workshop", "position", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("end_at__gt", models.F("start_at"))),
                        name="set_ends_after_start",
                        violation_error_message="End: enter a time after the start.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("base_kind", "incident"), _negated=True),
                            ("placement_stops", 0),
                            _connector="OR",
                        ),
                        name="set_incident_keeps_tone",
                        violation_error_message="Placement: an incident reading keeps the backdrop's own tone: set placement to 0, or choose a spot reading.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("smallest_f_number__gte", models.F("widest_f_number"))),
                        name="set_smallest_not_wider",
                        violation_error_message="Smallest aperture: enter an f-number no lower than the widest one's.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("highest_iso__gte", models.F("iso"))),
                        name="set_highest_iso_not_lower",
                        violation_error_message="Highest ISO: enter no less than the ISO.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "camera_distance_m__gt",
                                django.db.models.expressions.CombinedExpression(
                                    models.F("focal_mm"), "/", models.Value(1000.0)
                                ),
                            )
                        ),
                        name="set_camera_beyond_focal_length",
                        violation_error_message="Camera to subject: enter more than the focal length; nothing nearer is sharp.",
                    ),
                    workshops.models.base.Within(
                        field="position", high=100, low=1, name="set_position_range"
                    ),
                    workshops.models.base.Within(
                        field="camera_facing_deg",
                        high=360,
                        low=0,
                        name="set_camera_facing_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="focal_mm", high=2000, low=4, name="set_focal_mm_range"
                    ),
                    workshops.models.base.Within(
                        field="camera_distance_m",
                        high=1000,
                        low=0.1,
                        name="set_camera_distance_m_range",
                    ),
                    workshops.models.base.Within(
                        field="widest_f_number",
                        high=90.50966799187809,
                        low=0.7071067811865476,
                        name="set_widest_f_number_range",
                    ),
                    workshops.models.base.Within(
                        field="smallest_f_number",
                        high=90.50966799187809,
                        low=0.7071067811865476,
                        name="set_smallest_f_number_range",
                    ),
                    workshops.models.base.Within(
                        field="iso", high=102400.0, low=25.0, name="set_iso_range"
                    ),
                    workshops.models.base.Within(
                        field="highest_iso", high=102400.0, low=25.0, name="set_highest_iso_range"
                    ),
                    workshops.models.base.Within(
                        field="slowest_hand_held_s",
                        high=32.0,
                        low=3.0517578125e-05,
                        name="set_slowest_hand_held_s_range",
                    ),
                    workshops.models.base.Within(
                        field="white_balance_k",
                        high=20000,
                        low=1500,
                        name="set_white_balance_k_range",
                    ),
                    workshops.models.base.Within(
                        field="placement_stops", high=6, low=-6, name="set_placement_stops_range"
                    ),
                    workshops.models.base.Within(
                        field="stops_under", high=6, low=-3, name="set_stops_under_range"
                    ),
                    workshops.models.base.Within(
                        field="wanted_f_number",
                        high=90.50966799187809,
                        low=0.7071067811865476,
                        name="set_wanted_f_number_range",
                    ),
                    workshops.models.base.Within(
                        field="given_f_number",
                        high=90.50966799187809,
                        low=0.7071067811865476,
                        name="set_given_f_number_range",
                    ),
                    workshops.models.base.Within(
                        field="given_iso", high=102400.0, low=25.0, name="set_given_iso_range"
                    ),
                    workshops.models.base.Within(
                        field="least_ratio", high=1000, low=1, name="set_least_ratio_range"
                    ),
                    workshops.models.base.Within(
                        field="backdrop_facing_deg",
                        high=360,
                        low=0,
                        name="set_backdrop_facing_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="backdrop_tilt_deg",
                        high=180,
                        low=0,
                        name="set_backdrop_tilt_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="backdrop_reflectance",
                        high=1,
                        low=0.01,
                        name="set_backdrop_reflectance_range",
                    ),
                    workshops.models.base.Within(
                        field="gap_behind_m", high=1000, low=0, name="set_gap_behind_m_range"
                    ),
                    workshops.models.base.Within(
                        field="sky_patch_elevation_deg",
                        high=90,
                        low=0,
                        name="set_sky_patch_elevation_deg_range",
                    ),
                    workshops.models.base.Within(
                        field="face_height_m", high=10, low=0.1, name="set_face_height_m_range"
                    ),
                    workshops.models.base.Within(
                        field="subject_height_m",
                        high=20,
                        low=0.1,
                        name="set_subject_height_m_range",
                    ),
                    workshops.models.base.Within(
                        field="wardrobe_reflectance",
                        high=1,
                        low=0.01,
                        name="set_wardrobe_reflectance_range",
                    ),
                    workshops.models.base.Within(
                        field="rounds", high=20, low=1, name="set_rounds_range"
                    ),
                    workshops.models.base.Within(
                        field="rig_min", high=600, low=0, name="set_rig_min_range"
                    ),
                    workshops.models.base.Within(
                        field="brief_min", high=600, low=0, name="set_brief_min_range"
                    ),
                    workshops.models.base.Within(
                        field="demo_min", high=600, low=0, name="set_demo_min_range"
                    ),
                    workshops.models.base.Within(
                        field="turn_min", high=600, low=0.5, name="set_turn_min_range"
                    ),
                    workshops.models.base.Within(
                        field="changeover_min", high=600, low=0, name="set_changeover_min_range"
                    ),
                    workshops.models.base.Within(
                        field="critique_min", high=600, low=0, name="set_critique_min_range"
                    ),
                    workshops.models.base.Within(
                        field="strike_min", high=600, low=0, name="set_strike_min_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Reading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
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
                ("at", models.DateTimeField(verbose_name="read at")),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("incident", "incident"),
                            ("spot", "spot, reflected"),
                            ("sky", "spot of the sky"),
                        ],
                        max_length=8,
                        verbose_name="kind",
                    ),
                ),
                (
                    "plane",
                    models.CharField(
                        choices=[
                            ("backdrop", "backdrop"),
                            ("face", "face, lit side"),
                            ("shade", "face, shadow side"),
                            ("sky", "sky"),
                        ],
                        max_length=8,
                        verbose_name="of what",
                    ),
                ),
                (
                    "f_mark",
                    workshops.models.fields.ApertureField(
                        blank=True,
                        help_text="The whole mark: 11.",
                        null=True,
                        verbose_name="meter says f/",
                    ),
                ),
                (
                    "shutter_s",
                    workshops.models.fields.ShutterField(
                        blank=True, null=True, verbose_name="at shutter"
                    ),
                ),
                (
                    "ev",
                    models.FloatField(
                        blank=True,
                        help_text="As the meter shows it at that ISO, instead of f/ and shutter.",
                        null=True,
                        verbose_name="or EV",
                    ),
                ),
                (
                    "flash_in",
                    models.BooleanField(
                        default=False,
                        help_text="Only readings without flash replace the daylight estimate.",
                        verbose_name="flash in the reading",
                    ),
                ),
                (
                    "spread_stops",
                    models.FloatField(
                        default=0.2,
                        help_text="0.2 is what careful metering holds.",
                        verbose_name="right within (stops)",
                    ),
                ),
                (
                    "spot",
                    models.CharField(
                        blank=True,
                        help_text="Recce: the backdrop's words, as the sets call it. Empty: any there.",
                        max_length=120,
                        verbose_name="which backdrop",
                    ),
                ),
                (
                    "sky",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("clear", "clear: 0 to 3 tenths of cloud"),
                            ("partly", "partly: 4 to 7 tenths"),
                            ("overcast", "overcast: 8 to 10 tenths"),
                        ],
                        help_text="Recce: the reading serves days of the same sky only.",
                        max_length=8,
                        verbose_name="sky at the time",
                    ),
                ),
                ("notes", models.CharField(blank=True, max_length=200, verbose_name="notes")),
            ],
            options={
                "verbose_name": "meter reading",
                "verbose_name_plural": "meter readings",
                "ordering": ("at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("ev__isnull", False), ("f_mark", None), ("shutter_s", None)),
                            models.Q(
                                ("ev", None),
                                ("f_mark__isnull", False),
                                ("shutter_s__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="reading_mark_or_ev",
                        violation_error_message="Meter says: enter f/ and shutter, or the EV alone.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "sky"), ("plane", "sky")),
                            models.Q(
                                models.Q(("kind", "sky"), _negated=True),
                                models.Q(("plane", "sky"), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="reading_sky_of_sky",
                        violation_error_message="Of what: a sky reading is of the sky, and only it is.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("kind", "spot"), _negated=True),
                            models.Q(("plane__in", ("face", "shade")), _negated=True),
                            _connector="OR",
                        ),
                        name="reading_spot_of_backdrop",
                        violation_error_message="Of what: a spot reading is of the backdrop: read the face with the dome, or choose the backdrop.",
                    ),
                    workshops.models.base.Within(
                        field="f_mark",
                        high=90.50966799187809,
                        low=0.7071067811865476,
                        name="reading_f_mark_range",
                    ),
                    workshops.models.base.Within(
                        field="tenths", high=9, low=0, name="reading_tenths_range"
                    ),
                    workshops.models.base.Within(
                        field="shutter_s",
                        high=32.0,
                        low=3.0517578125e-05,
                        name="reading_shutter_s_range",
                    ),
                    workshops.models.base.Within(
                        field="iso", high=102400.0, low=25.0, name="reading_iso_range"
                    ),
                    workshops.models.base.Within(
                        field="ev", high=25, low=-10, name="reading_ev_range"
                    ),
                    workshops.models.base.Within(
                        field="spread_stops", high=4, low=0, name="reading_spread_stops_range"
                    ),
                ],
            },
        ),
    ]

import uuid

import django.contrib.postgres.fields.ranges
import django.contrib.postgres.operations
import django.core.validators
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import workshops.models.base
import workshops.models.encrypted
import workshops.models.fields
import workshops.models.reservation


class Migration(migrations.Migration):
    dependencies = [
        ("workshops", "0002_help_texts"),
    ]

    operations = [
        django.contrib.postgres.operations.BtreeGistExtension(),
        migrations.CreateModel(
            name="LabelSheet",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                ("name", models.CharField(max_length=60, unique=True, verbose_name="name")),
                (
                    "paper",
                    models.CharField(
                        choices=[("a4", "A4"), ("letter", "US Letter")],
                        max_length=8,
                        verbose_name="paper",
                    ),
                ),
                ("columns", models.PositiveSmallIntegerField(verbose_name="labels across")),
                ("rows", models.PositiveSmallIntegerField(verbose_name="labels down")),
                ("label_width_mm", models.FloatField(verbose_name="label width (mm)")),
                ("label_height_mm", models.FloatField(verbose_name="label height (mm)")),
                ("left_mm", models.FloatField(verbose_name="first label from the left edge (mm)")),
                ("top_mm", models.FloatField(verbose_name="first label from the top edge (mm)")),
                (
                    "column_step_mm",
                    models.FloatField(verbose_name="from one label to the next across (mm)"),
                ),
                (
                    "row_step_mm",
                    models.FloatField(verbose_name="from one label to the next down (mm)"),
                ),
            ],
            options={
                "verbose_name": "sheet of labels",
                "verbose_name_plural": "sheets of labels",
                "ordering": ("paper", "name"),
                "indexes": [],
                "constraints": [
                    workshops.models.base.Within(
                        field="columns", low=1, high=20, name="labels_columns_range"
                    ),
                    workshops.models.base.Within(
                        field="rows", low=1, high=40, name="labels_rows_range"
                    ),
                    workshops.models.base.Within(
                        field="label_width_mm", low=20, high=216, name="labels_label_width_mm_range"
                    ),
                    workshops.models.base.Within(
                        field="label_height_mm",
                        low=15,
                        high=297,
                        name="labels_label_height_mm_range",
                    ),
                    workshops.models.base.Within(
                        field="left_mm", low=0, high=100, name="labels_left_mm_range"
                    ),
                    workshops.models.base.Within(
                        field="top_mm", low=0, high=100, name="labels_top_mm_range"
                    ),
                    workshops.models.base.Within(
                        field="column_step_mm", low=20, high=216, name="labels_column_step_mm_range"
                    ),
                    workshops.models.base.Within(
                        field="row_step_mm", low=15, high=297, name="labels_row_step_mm_range"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DayCost",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "workshop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="costs",
                        to="workshops.workshop",
                        verbose_name="workshop",
                    ),
                ),
                (
                    "name",
                    models.CharField(
                        help_text="Model, permit, travel, food, helper.",
                        max_length=80,
                        verbose_name="what for",
                    ),
                ),
                (
                    "amount",
                    models.DecimalField(decimal_places=2, max_digits=9, verbose_name="amount"),
                ),
                ("each", models.BooleanField(default=False, verbose_name="for every attendee")),
            ],
            options={
                "verbose_name": "cost of the day",
                "verbose_name_plural": "costs of the day",
                "ordering": ("workshop", "each", "pk"),
                "constraints": [
                    workshops.models.base.Within(
                        field="amount", high=None, low=0, name="cost_amount_range"
                    )
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="Reservation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "workshop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="kit",
                        to="workshops.workshop",
                        verbose_name="workshop",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="reservations",
                        to="workshops.kitunit",
                        verbose_name="unit",
                    ),
                ),
                ("start_at", models.DateTimeField(editable=False, verbose_name="promised from")),
                ("end_at", models.DateTimeField(editable=False, verbose_name="promised until")),
            ],
            options={
                "verbose_name": "kit of the workshop",
                "verbose_name_plural": "kit of the workshop",
                "ordering": ("workshop", "unit"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("workshop", "unit"),
                        name="reservation_unit_once",
                        violation_error_message="Unit: is on this workshop's list already.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("end_at__gt", models.F("start_at"))),
                        name="reservation_ends_after_start",
                    ),
                    workshops.models.reservation.OnPostgresql(
                        expressions=[
                            ("unit", "="),
                            (
                                models.Func(
                                    models.F("start_at"),
                                    models.F("end_at"),
                                    function="TSTZRANGE",
                                    output_field=django.contrib.postgres.fields.ranges.DateTimeRangeField(),
                                ),
                                "&&",
                            ),
                        ],
                        name="unit_promised_once",
                    ),
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="Checkout",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "workshop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="checkouts",
                        to="workshops.workshop",
                        verbose_name="workshop",
                    ),
                ),
                (
                    "unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="checkouts",
                        to="workshops.kitunit",
                        verbose_name="unit",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="checkouts",
                        to="workshops.person",
                        verbose_name="who has it",
                    ),
                ),
                ("out_at", models.DateTimeField(verbose_name="signed out")),
                (
                    "condition_out",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="condition when signed out"
                    ),
                ),
                ("in_at", models.DateTimeField(blank=True, null=True, verbose_name="taken back")),
                (
                    "condition_in",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="condition when taken back"
                    ),
                ),
                (
                    "fault",
                    models.BooleanField(default=False, verbose_name="came back with a fault"),
                ),
            ],
            options={
                "verbose_name": "kit signed out",
                "verbose_name_plural": "kit signed out",
                "ordering": ("-out_at", "-pk"),
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("in_at", None)),
                        fields=("unit",),
                        name="unit_out_once",
                        violation_error_message="Unit: somebody has it already; take it back first.",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("in_at", None), ("in_at__gte", models.F("out_at")), _connector="OR"
                        ),
                        name="checkout_back_after_out",
                        violation_error_message="Taken back: enter no time before it was signed out.",
                    ),
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="Payment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "booking",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="payments",
                        to="workshops.booking",
                        verbose_name="booking",
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("deposit", "deposit"),
                            ("balance", "balance"),
                            ("refund", "refund"),
                            ("correction", "correction of an entry"),
                        ],
                        max_length=10,
                        verbose_name="what for",
                    ),
                ),
                (
                    "amount",
                    models.DecimalField(
                        decimal_places=2,
                        help_text="Above 0 was received, below 0 was paid back.",
                        max_digits=9,
                        verbose_name="amount",
                    ),
                ),
                ("paid_on", models.DateField(verbose_name="paid on")),
                (
                    "method",
                    models.CharField(
                        blank=True,
                        help_text="Such as bank transfer or cash.",
                        max_length=60,
                        verbose_name="how",
                    ),
                ),
                (
                    "number",
                    models.CharField(
                        editable=False, max_length=40, unique=True, verbose_name="receipt number"
                    ),
                ),
                (
                    "tax_name",
                    models.CharField(blank=True, max_length=20, verbose_name="name of the tax"),
                ),
                (
                    "tax_percent",
                    models.DecimalField(
                        decimal_places=2, default=0, max_digits=5, verbose_name="tax (%)"
                    ),
                ),
                (
                    "tax_amount",
                    models.DecimalField(
                        decimal_places=2, default=0, max_digits=9, verbose_name="of it tax"
                    ),
                ),
                (
                    "corrects",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="corrected_by",
                        to="workshops.payment",
                        verbose_name="takes back",
                    ),
                ),
                (
                    "request_key",
                    models.UUIDField(blank=True, editable=False, null=True, unique=True),
                ),
                ("notes", models.CharField(blank=True, max_length=200, verbose_name="notes")),
            ],
            options={
                "verbose_name": "payment",
                "verbose_name_plural": "payments",
                "ordering": ("booking", "paid_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("amount__gt", 0),
                                ("corrects", None),
                                ("kind__in", ("deposit", "balance")),
                            ),
                            models.Q(("amount__lt", 0), ("corrects", None), ("kind", "refund")),
                            models.Q(
                                ("corrects__isnull", False),
                                ("kind", "correction"),
                                models.Q(("amount", 0), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="payment_sign_by_kind",
                        violation_error_message="Amount: a deposit or balance is above 0, a refund below; a correction says which entry it takes back.",
                    )
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="Invoice",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "booking",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="invoices",
                        to="workshops.booking",
                        verbose_name="booking",
                    ),
                ),
                (
                    "number",
                    models.CharField(
                        editable=False, max_length=40, unique=True, verbose_name="number"
                    ),
                ),
                ("issued_on", models.DateField(verbose_name="issued on")),
                (
                    "issuer",
                    models.TextField(
                        help_text="Name, address and tax number of the house as they were.",
                        verbose_name="issued by",
                    ),
                ),
                ("addressee", models.TextField(verbose_name="addressee")),
                ("description", models.TextField(verbose_name="for")),
                ("currency", models.CharField(max_length=3, verbose_name="currency")),
                (
                    "amount",
                    models.DecimalField(
                        decimal_places=2,
                        help_text="Below 0 on a credit note.",
                        max_digits=9,
                        verbose_name="amount, tax included",
                    ),
                ),
                (
                    "tax_name",
                    models.CharField(blank=True, max_length=20, verbose_name="name of the tax"),
                ),
                (
                    "tax_percent",
                    models.DecimalField(
                        decimal_places=2, default=0, max_digits=5, verbose_name="tax (%)"
                    ),
                ),
                (
                    "tax_amount",
                    models.DecimalField(
                        decimal_places=2, default=0, max_digits=9, verbose_name="of it tax"
                    ),
                ),
                (
                    "credits",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="credited_by",
                        to="workshops.invoice",
                        verbose_name="takes back",
                    ),
                ),
                (
                    "request_key",
                    models.UUIDField(blank=True, editable=False, null=True, unique=True),
                ),
            ],
            options={
                "verbose_name": "invoice",
                "verbose_name_plural": "invoices",
                "ordering": ("issued_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("amount__gte", 0), ("credits", None)),
                            models.Q(("amount__lte", 0), ("credits__isnull", False)),
                            _connector="OR",
                        ),
                        name="invoice_sign_by_kind",
                    )
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="NumberSeries",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("series", models.CharField(max_length=20)),
                ("year", models.PositiveSmallIntegerField()),
                ("last", models.PositiveIntegerField(default=0)),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("series", "year"), name="number_series_once")
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="SignedLink",
            fields=[
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "id",
                    models.UUIDField(
                        default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                    ),
                ),
                (
                    "purpose",
                    models.CharField(
                        choices=[
                            ("questionnaire", "questionnaire"),
                            ("offer", "offer of a seat"),
                            ("calendar", "calendar of workshops"),
                        ],
                        max_length=13,
                        verbose_name="opens",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="links",
                        to="workshops.person",
                        verbose_name="person",
                    ),
                ),
                (
                    "workshop",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="links",
                        to="workshops.workshop",
                        verbose_name="workshop",
                    ),
                ),
                (
                    "booking",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="links",
                        to="workshops.booking",
                        verbose_name="booking",
                    ),
                ),
                (
                    "user",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="links",
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="account",
                    ),
                ),
                ("made_at", models.DateTimeField(verbose_name="made")),
                (
                    "expires_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="runs out"),
                ),
                ("revoked_at", models.DateTimeField(blank=True, null=True, verbose_name="revoked")),
                (
                    "used_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="last opened"),
                ),
                (
                    "answered_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="answered"),
                ),
            ],
            options={
                "verbose_name": "signed link",
                "verbose_name_plural": "signed links",
                "ordering": ("-made_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("booking", None),
                                ("expires_at__isnull", False),
                                ("person__isnull", False),
                                ("purpose", "questionnaire"),
                                ("user", None),
                                ("workshop__isnull", False),
                            ),
                            models.Q(
                                ("booking__isnull", False),
                                ("expires_at__isnull", False),
                                ("person", None),
                                ("purpose", "offer"),
                                ("user", None),
                                ("workshop", None),
                            ),
                            models.Q(
                                ("booking", None),
                                ("person", None),
                                ("purpose", "calendar"),
                                ("user__isnull", False),
                                ("workshop", None),
                            ),
                            _connector="OR",
                        ),
                        name="link_opens_one_thing",
                    )
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="MedicalAnswers",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="medical_answers",
                        to="workshops.person",
                        verbose_name="person",
                    ),
                ),
                (
                    "workshop",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="medical_answers",
                        to="workshops.workshop",
                        verbose_name="workshop",
                    ),
                ),
                ("text", workshops.models.encrypted.EncryptedTextField(verbose_name="answers")),
                ("answered_at", models.DateTimeField(verbose_name="answered")),
            ],
            options={
                "verbose_name": "medical answers",
                "verbose_name_plural": "medical answers",
                "ordering": ("workshop", "person"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("person", "workshop"), name="medical_answers_once"
                    )
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="Rehearsal",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "booking",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rehearsals",
                        to="workshops.booking",
                        verbose_name="attendee",
                    ),
                ),
                (
                    "trigger_unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="workshops.kitunit",
                        verbose_name="trigger",
                    ),
                ),
                (
                    "lamp_unit",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="workshops.kitunit",
                        verbose_name="lamp",
                    ),
                ),
                (
                    "result",
                    models.CharField(
                        choices=[
                            ("fires", "fires"),
                            ("band", "a dark band"),
                            ("no", "does not fire"),
                        ],
                        max_length=5,
                        verbose_name="result",
                    ),
                ),
                (
                    "measured_sync_s",
                    workshops.models.fields.ShutterField(
                        blank=True,
                        help_text="As tried now. Beats what the questionnaire says.",
                        null=True,
                        verbose_name="fastest shutter without a band",
                    ),
                ),
                ("tried_at", models.DateTimeField(verbose_name="tried")),
            ],
            options={
                "verbose_name": "rehearsal",
                "verbose_name_plural": "rehearsals",
                "ordering": ("booking", "tried_at", "pk"),
                "constraints": [
                    models.UniqueConstraint(
                        fields=("booking", "trigger_unit", "lamp_unit"), name="rehearsal_once"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("result", "no"), _negated=True),
                            ("measured_sync_s", None),
                            _connector="OR",
                        ),
                        name="rehearsal_sync_only_when_it_fires",
                        violation_error_message="Fastest shutter: leave it empty where the lamp does not fire.",
                    ),
                ],
                "indexes": [],
            },
        ),
        migrations.CreateModel(
            name="Message",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("changed_at", models.DateTimeField(auto_now=True, verbose_name="last changed")),
                (
                    "purpose",
                    models.CharField(
                        choices=[
                            ("confirmation", "confirmation of the booking"),
                            ("questionnaire", "questionnaire"),
                            ("joining", "joining notes"),
                            ("balance", "reminder of the balance"),
                            ("reminder", "reminder of the day"),
                            ("offer", "offer of a seat"),
                            ("lapsed", "an offer lapsed"),
                            ("cancellation", "cancellation"),
                        ],
                        max_length=13,
                        verbose_name="purpose",
                    ),
                ),
                ("key", models.CharField(editable=False, max_length=120, unique=True)),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="messages",
                        to="workshops.person",
                        verbose_name="person",
                    ),
                ),
                (
                    "workshop",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="messages",
                        to="workshops.workshop",
                        verbose_name="workshop",
                    ),
                ),
                (
                    "booking",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="messages",
                        to="workshops.booking",
                        verbose_name="booking",
                    ),
                ),
                (
                    "link",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="+",
                        to="workshops.signedlink",
                        verbose_name="link in the text",
                    ),
                ),
                ("to_address", models.EmailField(max_length=254, verbose_name="to")),
                ("subject", models.CharField(max_length=200, verbose_name="subject")),
                ("body", models.TextField(verbose_name="text")),
                ("calendar", models.TextField(blank=True, verbose_name="calendar file")),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("queued", "to be sent"),
                            ("sent", "sent"),
                            ("failed", "could not be sent"),
                            ("withdrawn", "withdrawn"),
                        ],
                        default="queued",
                        max_length=9,
                        verbose_name="state",
                    ),
                ),
                ("attempts", models.PositiveSmallIntegerField(default=0, verbose_name="attempts")),
                (
                    "next_try_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="next try"),
                ),
                ("sent_at", models.DateTimeField(blank=True, null=True, verbose_name="sent")),
                (
                    "last_error",
                    models.CharField(blank=True, max_length=200, verbose_name="last error"),
                ),
                ("made_at", models.DateTimeField(verbose_name="written")),
            ],
            options={
                "verbose_name": "message",
                "verbose_name_plural": "messages",
                "ordering": ("-made_at", "-pk"),
                "indexes": [models.Index(fields=["state", "next_try_at"], name="message_queue")],
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("sent_at__isnull", False), ("state", "sent")),
                            models.Q(models.Q(("state", "sent"), _negated=True), ("sent_at", None)),
                            _connector="OR",
                        ),
                        name="message_sent_says_when",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ImportFile",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[("people", "attendees"), ("kit", "kit")],
                        max_length=6,
                        verbose_name="list of",
                    ),
                ),
                ("name", models.CharField(max_length=200, verbose_name="file name")),
                ("content", models.BinaryField(verbose_name="content")),
                ("reading", models.JSONField(default=dict, verbose_name="how it is read")),
                (
                    "workshop",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        to="workshops.workshop",
                        verbose_name="workshop",
                    ),
                ),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        to=settings.AUTH_USER_MODEL,
                        verbose_name="account",
                    ),
                ),
                ("made_at", models.DateTimeField(verbose_name="brought in")),
            ],
            options={
                "verbose_name": "list brought in",
                "verbose_name_plural": "lists brought in",
                "indexes": [],
                "constraints": [],
            },
        ),
        migrations.RemoveConstraint(
            model_name="booking",
            name="one_live_booking_each",
        ),
        migrations.RemoveConstraint(
            model_name="booking",
            name="one_live_booking_a_seat",
        ),
        migrations.RemoveConstraint(
            model_name="booking",
            name="live_booking_has_a_seat",
        ),
        migrations.AddField(
            model_name="booking",
            name="cancelled_by",
            field=models.CharField(
                blank=True,
                choices=[("attendee", "the attendee"), ("house", "the house")],
                max_length=8,
                verbose_name="called off by",
            ),
        ),
        migrations.AddField(
            model_name="booking",
            name="cancelled_reason",
            field=models.CharField(
                blank=True, max_length=200, verbose_name="reason of the cancellation"
            ),
        ),
        migrations.AddField(
            model_name="booking",
            name="offer_expires_at",
            field=models.DateTimeField(blank=True, null=True, verbose_name="offer stands until"),
        ),
        migrations.AddField(
            model_name="booking",
            name="offer_lapsed_at",
            field=models.DateTimeField(blank=True, null=True, verbose_name="last offer lapsed"),
        ),
        migrations.AddField(
            model_name="booking",
            name="price",
            field=models.DecimalField(
                blank=True,
                decimal_places=2,
                help_text="Empty: the workshop's price.",
                max_digits=9,
                null=True,
                verbose_name="agreed price",
            ),
        ),
        migrations.AddField(
            model_name="booking",
            name="refund_share",
            field=models.FloatField(
                blank=True,
                help_text="By the terms as they were on the day of the cancellation; 1 by the house.",
                null=True,
                verbose_name="share of the price not kept",
            ),
        ),
        migrations.AddField(
            model_name="booking",
            name="request_key",
            field=models.UUIDField(blank=True, editable=False, null=True, unique=True),
        ),
        migrations.AddField(
            model_name="location",
            name="toilets",
            field=models.CharField(
                blank=True,
                help_text="The nearest, and when it is open.",
                max_length=200,
                verbose_name="toilets",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="email",
            field=models.EmailField(
                blank=True,
                help_text="Where answers to the site's mails go.",
                max_length=254,
                verbose_name="e-mail of the office",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="invoice_prefix",
            field=models.CharField(
                blank=True, max_length=10, verbose_name="invoice numbers begin with"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="offer_hours",
            field=models.FloatField(
                default=48.0,
                help_text="Then the next on the waitlist is asked. 24 to 48 is usual.",
                verbose_name="an offered seat is kept for (hours)",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="phone",
            field=models.CharField(
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
        migrations.AddField(
            model_name="house",
            name="postal_address",
            field=models.TextField(
                blank=True,
                help_text="Printed on invoices and receipts.",
                verbose_name="postal address",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="preparation_hours",
            field=models.FloatField(
                default=24.0,
                help_text="Packing, charging and the way there. The same unit cannot go elsewhere then.",
                verbose_name="kit is promised from (hours before the start)",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="receipt_prefix",
            field=models.CharField(
                blank=True, default="R", max_length=10, verbose_name="receipt numbers begin with"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="return_hours",
            field=models.FloatField(
                default=24.0,
                help_text="The way back, drying, charging and mending.",
                verbose_name="kit is promised until (hours after the end)",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="heads_per_spare",
            field=models.PositiveSmallIntegerField(
                default=2,
                help_text="And a spare pack for as many. 0: none.",
                verbose_name="a spare head for every (heads)",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="triggers_per_spare",
            field=models.PositiveSmallIntegerField(
                default=3,
                help_text="0: by the least alone.",
                verbose_name="a spare trigger for every (triggers)",
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="least_spare_triggers",
            field=models.PositiveSmallIntegerField(
                default=2, verbose_name="spare triggers, at least"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="stands_per_spare",
            field=models.PositiveSmallIntegerField(
                default=3, help_text="0: none.", verbose_name="a spare stand for every (stands)"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="spare_cell_sets",
            field=models.PositiveSmallIntegerField(
                default=2, verbose_name="spare sets of cells for each trigger"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="spare_sync_cords",
            field=models.PositiveSmallIntegerField(
                default=1, verbose_name="sync cords, as a last resort"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="tax_name",
            field=models.CharField(
                blank=True, help_text="Such as VAT.", max_length=20, verbose_name="name of the tax"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="tax_number",
            field=models.CharField(blank=True, max_length=40, verbose_name="tax number"),
        ),
        migrations.AddField(
            model_name="house",
            name="tax_percent",
            field=models.DecimalField(
                decimal_places=2,
                default=0,
                help_text="Prices include it. 0: no tax line is printed.",
                max_digits=5,
                verbose_name="tax in the price (%)",
            ),
        ),
        migrations.AddField(
            model_name="terms",
            name="balance_days",
            field=models.PositiveSmallIntegerField(
                default=14,
                help_text="Whoever owes is reminded from then on.",
                verbose_name="balance due (days before the start)",
            ),
        ),
        migrations.AddField(
            model_name="terms",
            name="deposit_share",
            field=models.FloatField(
                default=0.0,
                help_text="0.5 asks for half when the seat is given; 0 asks for none.",
                verbose_name="deposit (share of the price)",
            ),
        ),
        migrations.AddField(
            model_name="user",
            name="person",
            field=models.OneToOneField(
                blank=True,
                help_text="Who it is among the people: an instructor's own workshops are found by it.",
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="account",
                to="workshops.person",
                verbose_name="person",
            ),
        ),
        migrations.AddField(
            model_name="user",
            name="role",
            field=models.CharField(
                choices=[
                    ("office", "office"),
                    ("instructor", "instructor"),
                    ("helper", "helper"),
                    ("outsider", "outsider"),
                ],
                default="outsider",
                help_text="What the account may see and do on the site.",
                max_length=10,
                verbose_name="role",
            ),
        ),
        migrations.AddField(
            model_name="workshop",
            name="strobe_sensitive",
            field=models.BooleanField(
                default=False,
                help_text="Raises a caution on the sheets of the day. Whose answer it is, is not kept.",
                verbose_name="somebody must not be near strobe effects",
            ),
        ),
        migrations.AlterField(
            model_name="booking",
            name="state",
            field=models.CharField(
                choices=[
                    ("held", "held"),
                    ("confirmed", "confirmed"),
                    ("waitlisted", "on the waitlist"),
                    ("cancelled", "cancelled"),
                    ("attended", "attended"),
                    ("absent", "absent"),
                ],
                default="held",
                max_length=10,
                verbose_name="state",
            ),
        ),
        migrations.AddConstraint(
            model_name="booking",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state", "cancelled"), _negated=True),
                fields=("workshop", "person"),
                name="one_live_booking_each",
                violation_error_message="Person: already holds a booking of this workshop.",
            ),
        ),
        migrations.AddConstraint(
            model_name="booking",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state", "cancelled"), _negated=True),
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
                        ("cancelled_at", None),
                        ("offer_expires_at", None),
                        ("seat__isnull", False),
                        ("state__in", ("held", "confirmed", "attended", "absent")),
                    ),
                    models.Q(
                        ("cancelled_at", None),
                        ("offer_expires_at__isnull", False),
                        ("seat__isnull", False),
                        ("state", "waitlisted"),
                    ),
                    models.Q(
                        ("cancelled_at", None),
                        ("offer_expires_at", None),
                        ("seat", None),
                        ("state", "waitlisted"),
                    ),
                    models.Q(
                        ("cancelled_at__isnull", False),
                        ("offer_expires_at", None),
                        ("seat", None),
                        ("state", "cancelled"),
                    ),
                    _connector="OR",
                ),
                name="live_booking_has_a_seat",
                violation_error_message="Seat: a live booking holds one; on the waitlist only an offer with an end does; a cancelled one holds none and says when.",
            ),
        ),
        migrations.AddConstraint(
            model_name="booking",
            constraint=workshops.models.base.Within(
                field="refund_share", high=1, low=0, name="booking_refund_share_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="booking",
            constraint=workshops.models.base.Within(
                field="price", high=None, low=0, name="booking_price_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="terms",
            constraint=workshops.models.base.Within(
                field="deposit_share", high=1, low=0, name="terms_deposit_share_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="terms",
            constraint=workshops.models.base.Within(
                field="balance_days", high=365, low=0, name="terms_balance_days_range"
            ),
        ),
        migrations.AddField(
            model_name="house",
            name="label_sheet",
            field=models.ForeignKey(
                blank=True,
                help_text="What the labels of the kit are printed on.",
                null=True,
                on_delete=django.db.models.deletion.SET_NULL,
                related_name="+",
                to="workshops.labelsheet",
                verbose_name="sheet of labels",
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="offer_hours", high=720, low=1, name="house_offer_hours_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="preparation_hours", high=720, low=0, name="house_preparation_hours_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="return_hours", high=720, low=0, name="house_return_hours_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="heads_per_spare", high=100, low=0, name="house_heads_per_spare_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="triggers_per_spare", high=100, low=0, name="house_triggers_per_spare_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="least_spare_triggers",
                high=100,
                low=0,
                name="house_least_spare_triggers_range",
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="stands_per_spare", high=100, low=0, name="house_stands_per_spare_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="spare_cell_sets", high=10, low=0, name="house_spare_cell_sets_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="spare_sync_cords", high=100, low=0, name="house_spare_sync_cords_range"
            ),
        ),
        migrations.AddConstraint(
            model_name="house",
            constraint=workshops.models.base.Within(
                field="tax_percent", high=100, low=0, name="house_tax_percent_range"
            ),
        ),
        migrations.AddField(
            model_name="camerabody",
            name="firmware",
            field=models.CharField(blank=True, max_length=60, verbose_name="firmware"),
        ),
        migrations.AddField(
            model_name="camerabody",
            name="leaf_shutter",
            field=models.BooleanField(
                default=False,
                help_text="A shutter in the lens: flash works at far shorter times.",
                verbose_name="leaf shutter",
            ),
        ),
        migrations.AddField(
            model_name="camerabody",
            name="pc_socket",
            field=models.BooleanField(
                blank=True,
                help_text="A trigger can hang on it by a cord where the shoe fails.",
                null=True,
                verbose_name="PC sync socket",
            ),
        ),
        migrations.AddField(
            model_name="camerabody",
            name="sync_known",
            field=models.BooleanField(
                default=True,
                help_text="Untick while it is assumed: look it up, or try it before the first set.",
                verbose_name="sync speed known",
            ),
        ),
        migrations.AddField(
            model_name="person",
            name="equipment",
            field=models.TextField(
                blank=True,
                help_text="Lenses, ND filters and their thread, the kind of memory card.",
                verbose_name="what else they bring",
            ),
        ),
        migrations.AddField(
            model_name="person",
            name="goal",
            field=models.CharField(
                blank=True,
                help_text="What they want to take home, in one line.",
                max_length=200,
                verbose_name="goal",
            ),
        ),
        migrations.AddField(
            model_name="person",
            name="own_trigger",
            field=models.CharField(
                blank=True,
                help_text="Whether they have one, and what radio system it speaks.",
                max_length=120,
                verbose_name="own trigger",
            ),
        ),
        migrations.AddField(
            model_name="person",
            name="swims",
            field=models.CharField(
                choices=[("unasked", "not asked yet"), ("yes", "yes"), ("no", "no")],
                default="unasked",
                help_text="Asked where a place has water.",
                max_length=8,
                verbose_name="can swim",
            ),
        ),
        migrations.AlterField(
            model_name="auditentry",
            name="action",
            field=models.CharField(
                choices=[
                    ("created", "created"),
                    ("changed", "changed"),
                    ("deleted", "deleted"),
                    ("read", "read"),
                ],
                max_length=8,
                verbose_name="action",
            ),
        ),
        migrations.AlterField(
            model_name="termsrow",
            name="refunded_share",
            field=models.FloatField(
                help_text="Of the price: 0 nothing, 0.5 half, 1 all.", verbose_name="share refunded"
            ),
        ),
        # Empty at first: one default would be the same for every workshop there is.
        migrations.AddField(
            model_name="workshop",
            name="calendar_uid",
            field=models.UUIDField(editable=False, null=True),
        ),
    ]

"""Forms of the kinds on the shelf, one for each model that keeps figures."""

from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm, typed_text
from workshops.models import (
    Ballast,
    Battery,
    Charger,
    Gel,
    KitKind,
    Meter,
    Modifier,
    NdFilter,
    Stand,
    Strobe,
    Trigger,
)

Category = KitKind.Category
WHAT = (_("What it is"), ("name", ("maker_text", "mass_kg")))
NOTES = (_("Notes"), ("notes",))


class KindForm(RecordForm):
    """The form of a kind; those with figures of their own are filed under their category."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["notes"].widget.attrs["rows"] = 3

    class Meta:
        model = KitKind
        exclude = ("category",)


class PlainKindForm(KindForm):
    sections = ((_("What it is"), ("category", "name", ("maker_text", "mass_kg"))), NOTES)

    class Meta:
        model = KitKind
        fields = ("category", "name", "maker_text", "mass_kg", "notes")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["category"].choices = [(one.value, one.label) for one in KitKind.PLAIN]
        self.fields["category"].help_text = ""


class StrobeForm(KindForm):
    sections = (
        (_("What it is"), ("name", ("maker_text", "mass_kg"), "head_width_m")),
        (_("Light"), ("energy_ws", ("guide_number_m", "guide_number_spread_stops"))),
        (
            _("Power and time"),
            (
                ("least_power", "power_step_stops"),
                ("power_scale", "flash_duration_s"),
                ("recycle_s", "overheat_flashes"),
            ),
        ),
        (_("Sync"), ("hss", "hss_overhead_stops", "ttl")),
        (
            _("Energy"),
            (("battery_kind", "flashes_at_full"), ("idle_w", "modelling_w"), "mains"),
        ),
        NOTES,
    )

    class Meta(KindForm.Meta):
        model = Strobe

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        battery = self.fields["battery_kind"]
        battery.empty_label = _("none chosen")
        battery.help_text = _("A kind of its own: if it is not in the list, add it afterwards.")


class ModifierForm(KindForm):
    sections = (
        WHAT,
        (_("Size"), ("shape", ("width_m", "height_m"))),
        (_("Light"), (("stops", "face"), ("source_diameter_m", "source_offset_m"), "beam_deg")),
        (_("In the wind"), (("drag_coefficient", "overhang_m"),)),
        NOTES,
    )

    class Meta(KindForm.Meta):
        model = Modifier


class StandForm(KindForm):
    sections = (
        WHAT,
        (_("How it stands"), (("leg_radius_m", "top_height_m"), "rated_load_kg")),
        NOTES,
    )

    class Meta(KindForm.Meta):
        model = Stand


class TriggerForm(KindForm):
    sections = (
        WHAT,
        (_("What it does"), ("advanced", "hss", "ttl", ("fits", "channel"), "sync_penalty_stops")),
        NOTES,
    )

    class Meta(KindForm.Meta):
        model = Trigger


class BallastForm(KindForm):
    sections = (WHAT, NOTES)

    class Meta(KindForm.Meta):
        model = Ballast


class BatteryForm(KindForm):
    sections = (WHAT, (_("Energy"), (("capacity_wh", "charge_min"),)), NOTES)

    class Meta(KindForm.Meta):
        model = Battery


class ChargerForm(KindForm):
    sections = (WHAT, (_("Charging"), (("slots", "power_w"), "battery_kind")), NOTES)

    class Meta(KindForm.Meta):
        model = Charger


class MeterForm(KindForm):
    sections = (
        WHAT,
        (
            _("What it reads"),
            ("receptor", ("incident_constant", "reflected_constant"), "reads_spot", "reads_hss"),
        ),
        NOTES,
    )

    class Meta(KindForm.Meta):
        model = Meter


class NdFilterForm(KindForm):
    sections = (WHAT, (_("Glass"), (("stops", "thread_mm"),)), NOTES)

    class Meta(KindForm.Meta):
        model = NdFilter


class GelForm(KindForm):
    sections = (WHAT, (_("Colour"), (("loss_stops", "shift_mired"),)), NOTES)

    class Meta(KindForm.Meta):
        model = Gel


KIND_FORMS: dict[str, type[KindForm]] = {
    Category.STROBE: StrobeForm,
    Category.MODIFIER: ModifierForm,
    Category.STAND: StandForm,
    Category.BALLAST: BallastForm,
    Category.BATTERY: BatteryForm,
    Category.CHARGER: ChargerForm,
    Category.TRIGGER: TriggerForm,
    Category.METER: MeterForm,
    Category.ND_FILTER: NdFilterForm,
    Category.GEL: GelForm,
}


def kind_form(kind: KitKind, *, house, data=None) -> KindForm:
    """Return the form of a kind, by the model that keeps its figures."""
    form = KIND_FORMS.get(kind.own_category, PlainKindForm)
    return form(data, instance=kind, house=house)


def facts(form: RecordForm) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return (heading, [(label, figure as typed)]) of a record, section by section."""
    told = []
    for heading, rows in form.sections:
        names = [name for row in rows for name in ([row] if isinstance(row, str) else row)]
        pairs = [(str(form.fields[name].label), fact(form, name)) for name in names]
        told.append((heading, pairs))
    return told


def fact(form: RecordForm, name: str) -> str:
    """Return one figure of a form's record as its field shows it."""
    value = form.get_initial_for_field(form.fields[name], name)
    return typed_text(form, name, value)

"""One camera, asked of its owner in plain words."""

from django import forms
from django.utils.translation import gettext_lazy as _

from workshops.forms.base import RecordForm
from workshops.models import CameraBody, Person

UNKNOWN = "unknown"
I_DO_NOT_KNOW = _("I do not know")
YES_NO = (("yes", _("yes")), ("no", _("no")), (UNKNOWN, I_DO_NOT_KNOW))
MEANS = {"yes": True, "no": False}
ASKED = ("sensor", "shoe", "centre_contact", "pc_socket", "shutter")
OTHER = "other"
# Width and height in millimetres. Source: common practice; APS-C and four thirds as most makers
# round them.
SENSORS = {
    "full": (36.0, 24.0),
    "aps-c": (23.5, 15.6),
    "four-thirds": (17.3, 13.0),
}
# What a camera counts as until its sync is looked up or tried: slower than nearly every body
# with a shutter in front of the sensor. Common practice, no source.
CAUTIOUS_SYNC_S = 1 / 128  # 1/125 on the dial


class CameraAnswersForm(RecordForm):
    """The questions about one body; where its owner does not know, the usual is taken."""

    sync_unknown = forms.BooleanField(
        label=_("I cannot find the sync speed"),
        required=False,
        help_text=_("Then 1/125 is planned with until we have tried it together."),
    )
    sensor = forms.ChoiceField(
        required=False,
        label=_("Sensor"),
        choices=(
            ("full", _("full frame (36 × 24 mm)")),
            ("aps-c", _("APS-C (about 23.5 × 15.6 mm)")),
            ("four-thirds", _("four thirds (17.3 × 13 mm)")),
            (OTHER, _("another size, entered below")),
            (UNKNOWN, I_DO_NOT_KNOW),
        ),
    )
    shoe = forms.ChoiceField(
        required=False,
        label=_("Hot shoe on top"),
        choices=(
            (CameraBody.Shoe.STANDARD, _("standard: a flat shoe that takes any flash")),
            (CameraBody.Shoe.OTHER, _("another foot or rail: needs an adapter")),
            (CameraBody.Shoe.NONE, _("none")),
            (UNKNOWN, I_DO_NOT_KNOW),
        ),
    )
    centre_contact = forms.ChoiceField(
        required=False,
        label=_("Round contact in the middle of the shoe"),
        choices=YES_NO,
        help_text=_("Look from above. Without it a simple trigger never fires."),
    )
    pc_socket = forms.ChoiceField(
        required=False,
        label=_("PC socket"),
        choices=YES_NO,
        help_text=_("A small round socket for a sync cord, often marked X."),
    )
    shutter = forms.ChoiceField(
        required=False,
        label=_("Shutter"),
        choices=(
            ("mechanical", _("mechanical, in front of the sensor")),
            ("electronic", _("electronic only")),
            ("leaf", _("leaf shutter, in the lens")),
            (UNKNOWN, I_DO_NOT_KNOW),
        ),
    )
    gone = forms.BooleanField(label=_("I no longer have this camera"), required=False)

    rows = (
        ("name", "firmware"),
        ("sync_s", "fastest_shutter_s"),
        "sync_unknown",
        ("shutter", "lowest_iso"),
        "sensor",
        ("sensor_width_mm", "sensor_height_mm"),
        "shoe",
        ("centre_contact", "pc_socket"),
        "flash_system",
        "gone",
    )
    labels = {
        "name": (_("Make and model"), ""),
        "firmware": (_("Firmware"), _("The version in its menu, if you find it.")),
        "sync_s": (
            _("Flash sync speed"),
            _("From the manual, under flash: the fastest shutter with flash, such as 1/200."),
        ),
        "fastest_shutter_s": (_("Fastest shutter"), _("Empty: 1/4000 is taken.")),
        "lowest_iso": (
            _("Lowest ISO"),
            _("Without the extended ones (L, Lo). Empty: 100 is taken."),
        ),
        "sensor_width_mm": (_("Another sensor: its width (mm)"), ""),
        "sensor_height_mm": (_("Its height (mm)"), ""),
        "flash_system": (
            _("Flash system"),
            _("Of the dedicated flashes it works with, in your own words. Empty: none, unknown."),
        ),
    }

    class Meta:
        model = CameraBody
        fields = (
            "name", "firmware", "sync_s", "fastest_shutter_s", "lowest_iso", "sensor_width_mm",
            "sensor_height_mm", "flash_system",
        )  # fmt: skip

    def __init__(self, *args, camera: CameraBody | None, owner: Person, **kwargs):
        known = camera is not None
        body = camera or CameraBody(owner=owner)
        super().__init__(
            *args,
            instance=body,
            empty_permitted=not known,
            use_required_attribute=False,
            **kwargs,
        )
        for name, (label, hint) in self.labels.items():
            self.fields[name].label, self.fields[name].help_text = label, hint
            self.fields[name].required = name == "name"
            self.fields[name].initial = None  # what is usual is told beside the field, not in it
        del self.fields["seen"]
        if known:
            self.initial |= _shown(body)
        else:
            del self.fields["gone"]
            self.initial = dict.fromkeys(ASKED, UNKNOWN)

    def be_number(self, number: int) -> None:
        """Take a heading with the camera's number on the page."""
        heading = _("Camera %(number)d") % {"number": number}
        self.sections = ((heading, self.rows),)
        self.helper.layout = self._layout()

    def told(self) -> bool:
        """Return whether a valid form says anything: a new camera left empty does not."""
        return bool(self.instance.pk or self.has_changed())

    def clean(self):
        cleaned = super().clean()
        if self.cleaned_data.get("gone") or not self.told():
            return cleaned
        sync, unknown = cleaned.get("sync_s"), cleaned.get("sync_unknown")
        if unknown and sync:
            self.add_error("sync_unknown", _("Enter the sync speed or tick this, not both."))
        elif not unknown and not sync and "sync_s" not in self.errors:
            self.add_error("sync_s", _("Enter it, or tick that you cannot find it."))
        width, height = _sensor_mm(cleaned)
        if width is None or height is None:
            self.add_error("sensor", _("Enter width and height of the sensor below."))
        usual = CameraBody()
        cleaned["sync_s"] = sync or CAUTIOUS_SYNC_S
        cleaned["fastest_shutter_s"] = cleaned.get("fastest_shutter_s") or usual.fastest_shutter_s
        cleaned["lowest_iso"] = cleaned.get("lowest_iso") or usual.lowest_iso
        cleaned["sensor_width_mm"] = width or usual.sensor_width_mm
        cleaned["sensor_height_mm"] = height or usual.sensor_height_mm
        return cleaned

    def _post_clean(self):
        chosen, body = self.cleaned_data, self.instance
        if chosen.get("gone"):
            return
        body.sync_known = not chosen.get("sync_unknown")
        shoe = chosen.get("shoe") or UNKNOWN
        body.shoe = CameraBody.Shoe.STANDARD if shoe == UNKNOWN else shoe
        body.centre_contact = MEANS.get(chosen.get("centre_contact"), True)
        body.pc_socket = MEANS.get(chosen.get("pc_socket"))
        body.electronic_only = chosen.get("shutter") == "electronic"
        body.leaf_shutter = chosen.get("shutter") == "leaf"
        super()._post_clean()


def _sensor_mm(chosen: dict) -> tuple[float | None, float | None]:
    """Return width and height of the sensor chosen; None for one that is missing."""
    if chosen.get("sensor") == OTHER:
        return chosen.get("sensor_width_mm"), chosen.get("sensor_height_mm")
    return SENSORS.get(chosen.get("sensor"), SENSORS["full"])


def _shown(body: CameraBody) -> dict:
    """Return what the questions of the form show for a known camera."""
    words = {True: "yes", False: "no", None: UNKNOWN}
    size = (body.sensor_width_mm, body.sensor_height_mm)
    sensor = next((name for name, known in SENSORS.items() if known == size), OTHER)
    shutter = (
        "electronic" if body.electronic_only else "leaf" if body.leaf_shutter else "mechanical"
    )
    shown = {
        "sync_unknown": not body.sync_known,
        "shoe": body.shoe,
        "centre_contact": words[body.centre_contact],
        "pc_socket": words[body.pc_socket],
        "shutter": shutter,
        "sensor": sensor,
    }
    if not body.sync_known:
        shown["sync_s"] = None
    if sensor != OTHER:
        shown |= {"sensor_width_mm": None, "sensor_height_mm": None}
    return shown

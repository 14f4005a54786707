"""The form of a set and of its lights."""

from collections.abc import Iterator
from dataclasses import dataclass

from django import forms
from django.db.models import Case, IntegerField, Q, Value, When
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from planning.models import PlannedLight, PlannedSet, TeachingPoint
from planning.services.sets import job_without_light
from workshops.forms.base import FigureForm, RecordForm, plain_helper
from workshops.models import CameraBody, House, KitUnit, Location, Workshop, WorkshopRole

MOST_LIGHTS = 6


@dataclass(frozen=True)
class Section:
    """A part of the form that folds away; one with a fault stands open."""

    heading: str
    rows: tuple[tuple[BoundField, ...], ...]
    is_open: bool


class SetForm(RecordForm):
    sections = (
        (
            _("Place and time"),
            (
                "title",
                ("position", "location"),
                ("start_at", "end_at", "pinned"),
                ("main_point", "second_point"),
                "objective",
                ("job", "channel"),
            ),
        ),
        (
            _("Camera"),
            (
                "camera",
                ("camera_facing_deg", "camera_distance_m"),
                ("focal_mm", "white_balance_k"),
                ("widest_f_number", "smallest_f_number"),
                ("iso", "highest_iso"),
                ("slowest_hand_held_s", "advanced_trigger"),
            ),
        ),
        (
            _("Exposure"),
            (
                ("base_kind", "placement_stops"),
                ("stops_under", "wanted_f_number"),
                ("given_f_number", "given_iso"),
                "least_ratio",
            ),
        ),
        (
            _("Backdrop"),
            (
                ("backdrop", "backdrop_in_sun"),
                ("backdrop_facing_deg", "backdrop_tilt_deg"),
                ("backdrop_reflectance", "gap_behind_m"),
                "sky_patch_elevation_deg",
            ),
        ),
        (
            _("Subject"),
            (
                ("model", "subject_in_sun"),
                ("face_height_m", "subject_height_m"),
                ("wardrobe", "wardrobe_reflectance"),
            ),
        ),
        (
            _("Turns and minutes"),
            (
                ("frames_per_attendee", "demo_frames", "rounds"),
                ("rig_min", "brief_min", "demo_min"),
                ("turn_min", "changeover_min"),
                ("critique_min", "strike_min"),
                "stations",
                "notes",
            ),
        ),
        (
            _("When it can be"),
            (
                ("earliest_at", "latest_at"),
                ("wanted_from_deg", "wanted_to_deg"),
                ("wanted_low_deg", "wanted_high_deg"),
            ),
        ),
    )
    FIRST_OPEN = 3  # what is changed most often stands open from the start

    class Meta:
        model = PlannedSet
        exclude = ("workshop",)

    def __init__(self, *args, workshop: Workshop, house: House, **kwargs):
        super().__init__(*args, house=house, **kwargs)
        self.rebuilt_with["workshop"] = workshop
        self.instance.workshop = workshop
        self.fields["location"].queryset = _places(workshop)
        self.fields["camera"].queryset = _cameras(workshop)
        models = WorkshopRole.objects.filter(workshop=workshop, role__in=("model", "stand-in"))
        self.fields["model"].queryset = models.select_related("person")
        self.fields["model"].label_from_instance = lambda role: str(role.person)
        for name in ("main_point", "second_point"):
            kept = Q(hidden=False) | Q(pk=getattr(self.instance, f"{name}_id"))
            self.fields[name].queryset = TeachingPoint.objects.filter(kept)
        for name in ("objective", "notes"):
            self.fields[name].widget.attrs["rows"] = 2

    def folded(self) -> Iterator[Section]:
        """Yield the sections with their bound fields, to be laid out by the page."""
        for index, (heading, rows) in enumerate(self.sections):
            bound = tuple(
                tuple(self[name] for name in ((row,) if isinstance(row, str) else row))
                for row in rows
            )
            faulty = any(field.errors for row in bound for field in row)
            yield Section(heading, bound, is_open=faulty or index < self.FIRST_OPEN)


def _places(workshop: Workshop):
    """The workshop's own places come first."""
    own = list(workshop.places.values_list("location_id", flat=True))
    first = Case(When(pk__in=own, then=Value(0)), default=Value(1), output_field=IntegerField())
    return Location.objects.order_by(first, "name", "pk")


def _cameras(workshop: Workshop):
    """Cameras of whoever teaches that day come first."""
    teaching = workshop.roles.filter(role__in=("lead", "instructor"))
    first = Case(
        When(owner__in=teaching.values("person"), then=Value(0)),
        default=Value(1),
        output_field=IntegerField(),
    )
    return CameraBody.objects.select_related("owner").order_by(first, "owner__name", "name", "pk")


class LightForm(FigureForm):
    rows = (
        ("name", "role"),
        ("strobe", "modifier", "gel"),
        ("distance_m", "angle_deg", "lamp_height_m"),
        ("target_stops", "bag_kg"),
        ("stand", "hand_held"),
        ("strobe_unit", "battery", "battery_count"),
    )

    class Meta:
        model = PlannedLight
        exclude = ("planned_set", "position")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        units = KitUnit.objects.filter(kind__category="strobe").select_related("kind")
        self.fields["strobe_unit"].queryset = units.order_by("tag")

    def bound_rows(self) -> list[list[BoundField]]:
        return [[self[name] for name in row] for row in self.rows]

    def is_blank(self) -> bool:
        """Return whether nothing was entered in a row for one more light."""
        # Before anything is sent there is nothing to compare with.
        return self.empty_permitted and not (self.is_bound and self.has_changed())


class BaseLights(forms.BaseInlineFormSet):
    """The lights of a set; ``house`` tells their units."""

    def __init__(self, *args, house: House, **kwargs):
        super().__init__(*args, form_kwargs={"house": house}, **kwargs)
        self.helper = plain_helper()

    def get_queryset(self):
        return super().get_queryset().order_by("position", "pk")

    def clean(self):
        super().clean()
        if any(self.errors):
            return
        if fault := job_without_light(self.instance, [light.role for light in self.lights()]):
            raise forms.ValidationError(fault)

    def lights(self) -> list[PlannedLight]:
        """Return the lights as entered, unsaved, without those to be dropped."""
        kept = [form for form in self.forms if not form.is_blank() and form not in self._dropped()]
        for position, form in enumerate(kept, start=1):
            form.instance.position = position
        return [form.instance for form in kept]

    def _dropped(self) -> list[forms.ModelForm]:
        return [form for form in self.forms if self._should_delete_form(form)]

    def details(self) -> list[dict]:
        """Return the fields of every light kept, as ``save_set`` takes them."""
        names = LightForm.base_fields
        return [{name: getattr(light, name) for name in names} for light in self.lights()]


Lights = forms.inlineformset_factory(
    PlannedSet,
    PlannedLight,
    form=LightForm,
    formset=BaseLights,
    extra=1,
    max_num=MOST_LIGHTS,
    validate_max=True,
    can_delete=True,
)

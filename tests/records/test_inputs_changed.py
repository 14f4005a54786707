"""When the inputs of a set last changed: the instant its sheet prints, which never goes back."""

from datetime import UTC

import pytest

from planning.selectors import set_inputs
from tests import factories as make
from workshops import audit
from workshops.models import AuditEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned():
    return make.LightFactory().planned_set


def changed_at(planned):
    """In UTC: in the hour that a clock shows twice, Python finds no two zones' times equal."""
    return set_inputs(planned.pk).inputs_changed_at.astimezone(UTC)


def test_inputs_changed_when_the_newest_record_did(planned):
    before = changed_at(planned)
    camera = planned.camera
    camera.save()
    assert changed_at(planned) == camera.changed_at
    assert changed_at(planned) > before


def pair(planned):
    light = planned.lights.get()
    return {"strobe": light.strobe, "modifier": light.modifier}


PARTS = {
    "booking": lambda planned: make.BookingFactory(workshop=planned.workshop),
    "kit": lambda planned: make.ReservationFactory(workshop=planned.workshop),
    "helper": lambda planned: make.RoleFactory(workshop=planned.workshop, role="helper"),
    "forecast": lambda planned: make.ForecastFactory(location=planned.location),
    "landmark": lambda planned: make.LandmarkFactory(location=planned.location),
    "tide": lambda planned: make.TidePointFactory(location=planned.location),
    "light": lambda planned: make.LightFactory(planned_set=planned),
    "reading": lambda planned: make.ReadingFactory(planned_set=planned),
    "recce": lambda planned: make.ReadingFactory(planned_set=None, location=planned.location),
    "guide number": lambda planned: make.GuideNumberReadingFactory(**pair(planned)),
}


@pytest.mark.parametrize("name", PARTS)
def test_whatever_is_erased_moves_the_change_on_and_never_back(planned, name):
    part = PARTS[name](planned)
    before = changed_at(planned)
    assert before == part.changed_at
    audit.erase(part, by=None)
    assert changed_at(planned) > before


def test_a_part_moved_elsewhere_counts_as_a_change_here(planned):
    light = make.LightFactory(planned_set=planned)
    before = changed_at(planned)
    light.planned_set = make.SetFactory(workshop=planned.workshop)
    audit.write(light, by=None)
    assert changed_at(planned) > before


def test_a_trigger_and_a_model_count_among_what_the_inputs_were_read_from(planned):
    unit, model = make.UnitFactory(), make.RoleFactory(workshop=planned.workshop)
    make.BookingFactory(workshop=planned.workshop, trigger_unit=unit)
    planned.model = model
    planned.save()
    for record in (unit, unit.kind, model, model.person):
        record.save()
        assert changed_at(planned) == record.changed_at


def test_a_meter_counts_among_what_the_guide_numbers_were_read_from(planned):
    meter = make.UnitFactory(kind=make.MeterFactory())
    make.GuideNumberReadingFactory(meter=meter, **pair(planned))
    for record in (meter, meter.kind):
        record.save()
        assert changed_at(planned) == record.changed_at


def test_a_thing_erased_leaves_the_booking_changed_and_the_change_in_the_audit(planned):
    unit = make.UnitFactory()
    booking = make.BookingFactory(workshop=planned.workshop, trigger_unit=unit)
    before = changed_at(planned)
    pk = unit.pk
    audit.erase(unit, by=None)
    booking.refresh_from_db()
    assert booking.trigger_unit is None
    assert changed_at(planned) > before
    entry = AuditEntry.objects.get(record_type="workshops.booking")
    assert (entry.action, entry.changes) == ("changed", {"trigger_unit": [pk, None]})

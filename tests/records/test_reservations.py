"""Kit is promised once: by the services in words, by the database whoever writes."""

from datetime import UTC, datetime, timedelta

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from tests import factories as make
from workshops import guards
from workshops.errors import Refused, Stale
from workshops.models import AuditEntry, House, Reservation, Workshop
from workshops.services.house import save_house
from workshops.services.reservations import (
    promised_once,
    release,
    release_all,
    reserve,
    reserve_kinds,
    set_kit,
)
from workshops.services.workshops import save_workshop

pytestmark = pytest.mark.django_db

# 8 May 2027, 09:00 to 19:00 at the place; with 24 hours on either side until 9 May, 19:00.
START = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)
END = datetime(2027, 5, 8, 18, 0, tzinfo=UTC)
DAY = timedelta(days=1)


def day_at(days: float, **more) -> Workshop:
    """A workshop so many days after 8 May."""
    shift = timedelta(days=days)
    return make.WorkshopFactory(start_at=START + shift, end_at=END + shift, **more)


def triggers(*tags, **more):
    kind = make.TriggerFactory(**more).kitkind_ptr
    return kind, [make.UnitFactory(kind=kind, tag=tag) for tag in tags]


def tags_of(workshop) -> list[str]:
    return sorted(row.unit.tag for row in workshop.kit.all())


def test_units_are_promised_for_the_day_with_the_houses_margins():
    House.objects.create(name="House", preparation_hours=12, return_hours=36)
    _kind, units = triggers("T1")
    (made,) = reserve(by=None, workshop=day_at(0), units=units)
    assert (made.start_at, made.end_at) == (START - DAY / 2, END + 1.5 * DAY)
    assert AuditEntry.objects.get(record_type="workshops.reservation").action == "created"


def test_a_clash_names_the_unit_the_other_workshop_its_day_and_until_when():
    _kind, units = triggers("T1", "T2")
    reserve(by=None, workshop=day_at(0, title="Slate coast"), units=units[:1])
    other = day_at(1.5)
    told = "T1 is promised to Slate coast on May 8, 2027, until May 9, 2027, 19:00."
    with pytest.raises(Refused) as refusal:
        reserve(by=None, workshop=other, units=units)
    assert told in str(refusal.value)
    assert not other.kit.exists()


def test_spans_that_touch_do_not_clash():
    # 24 hours after 18:00 and 24 hours before 18:00 two days later: they touch at 18:00.
    _kind, units = triggers("T1")
    reserve(by=None, workshop=day_at(0), units=units)
    after = make.WorkshopFactory(start_at=END + 2 * DAY, end_at=END + 2.2 * DAY)
    assert reserve(by=None, workshop=after, units=units)


@pytest.mark.parametrize("state", ["fault", "retired"])
def test_what_is_not_fit_for_use_is_refused_and_never_picked(state):
    kind, units = triggers("T1", "T2")
    units[0].state = state
    units[0].save()
    workshop = day_at(0)
    with pytest.raises(Refused, match="Not fit for use: T1"):
        reserve(by=None, workshop=workshop, units=units)
    reserve_kinds(by=None, workshop=workshop, wanted={kind: 1})
    assert tags_of(workshop) == ["T2"]


def test_kinds_are_picked_by_number_in_the_order_people_count_tags():
    simple, _units = triggers("T10", "T9", "T2", "T1", "T3")
    advanced, _units = triggers("A1", advanced=True)
    deep = make.ModifierFactory().kitkind_ptr
    for tag in ("M1", "M2"):
        make.UnitFactory(kind=deep, tag=tag)
    workshop = day_at(0)
    reserve_kinds(by=None, workshop=workshop, wanted={simple: 4, advanced: 1, deep: 2})
    assert tags_of(workshop) == ["A1", "M1", "M2", "T1", "T2", "T3", "T9"]


def test_fewer_than_asked_is_refused_with_who_has_the_rest_or_taken_as_far_as_it_goes():
    kind, units = triggers("T1", "T2", "T3")
    reserve(by=None, workshop=day_at(0, title="Slate coast"), units=units[1:2])
    workshop = day_at(1)
    with pytest.raises(Refused) as refusal:
        reserve_kinds(by=None, workshop=workshop, wanted={kind: 3})
    told = str(refusal.value)
    assert f"{kind}: 3 asked, 2 free." in told
    assert "T2 is promised to Slate coast" in told
    assert not workshop.kit.exists()
    reserve_kinds(by=None, workshop=workshop, wanted={kind: 3}, partly=True)
    assert tags_of(workshop) == ["T1", "T3"]


def test_the_same_form_sent_twice_reserves_once():
    kind, _units = triggers("T1", "T2", "T3", "T4")
    workshop = day_at(0)
    seen = workshop.changed_at
    reserve_kinds(by=None, workshop=workshop, wanted={kind: 2}, seen=seen)
    with pytest.raises(Stale):
        reserve_kinds(by=None, workshop=workshop, wanted={kind: 2}, seen=seen)
    assert workshop.kit.count() == 2


def test_nothing_is_reserved_for_a_workshop_called_off_or_closed():
    _kind, units = triggers("T1")
    off = day_at(0, status="cancelled", cancelled_reason="Gale.")
    for workshop in (off, day_at(5, status="closed")):
        with pytest.raises(Refused, match="nothing is reserved for it any more"):
            reserve(by=None, workshop=workshop, units=units)


def test_units_given_free_can_go_elsewhere_but_not_while_somebody_has_them():
    _kind, units = triggers("T1", "T2")
    workshop = day_at(0)
    reserve(by=None, workshop=workshop, units=units)
    holder = make.PersonFactory(name="Bea Lund")
    unit, free = units
    unit.checkouts.create(workshop=workshop, person=holder, out_at=START)
    with pytest.raises(Refused, match="Bea Lund has T1: take it back"):
        set_kit(by=None, workshop=workshop, units=[])
    assert release(by=None, workshop=workshop, units=[free]) == 1
    assert reserve(by=None, workshop=day_at(1), units=[free])
    assert release_all(by=None, workshop=workshop) == 1


def moved(workshop, days=0.0, **more):
    shift = timedelta(days=days)
    workshop.start_at, workshop.end_at = workshop.start_at + shift, workshop.end_at + shift
    for name, value in more.items():
        setattr(workshop, name, value)
    return save_workshop(
        by=None, workshop=workshop, seats=1, places=[], lead=None, now=START - 90 * DAY
    )


def test_promises_move_with_the_days_or_the_move_is_refused_in_words():
    _kind, units = triggers("T1")
    workshop, later = day_at(0), day_at(10, title="Dunes at dusk")
    for one in (workshop, later):
        reserve(by=None, workshop=one, units=units)
    moved(workshop, 5)
    row = workshop.kit.get()
    assert (row.start_at, row.end_at) == (START + 4 * DAY, END + 6 * DAY)
    with pytest.raises(Refused, match="T1 is promised to Dunes at dusk on May 18, 2027"):
        moved(workshop, 4)
    workshop.refresh_from_db()
    assert workshop.start_at == START + 5 * DAY
    assert workshop.kit.get().start_at == START + 4 * DAY


def test_a_workshop_called_off_frees_its_kit():
    _kind, units = triggers("T1")
    workshop = day_at(0)
    reserve(by=None, workshop=workshop, units=units)
    moved(workshop, status="cancelled", cancelled_reason="Below the minimum.")
    assert reserve(by=None, workshop=day_at(0), units=units)


def spans() -> list[tuple]:
    rows = Reservation.objects.order_by("start_at")
    return [(row.start_at, row.end_at) for row in rows]


@pytest.mark.parametrize(("before", "after"), [(48, 0), (0, 48), (36, 12), (0, 0)])
def test_margins_that_change_move_every_promise_ahead(before, after):
    """Three days apart leave 62 hours between two workshops: 48 fit, on either side."""
    House.objects.create(name="House")
    _kind, units = triggers("T1")
    for days in (0, 3, 6):
        reserve(by=None, workshop=day_at(days), units=units)
    hours = {"preparation_hours": before, "return_hours": after}
    save_house(by=None, now=START - 90 * DAY, **hours)
    first, second, third = spans()
    assert first == (START - before * DAY / 24, END + after * DAY / 24)
    assert second[0] - first[1] == third[0] - second[1] == timedelta(hours=62 - before - after)


def test_margins_that_make_promises_overlap_are_refused_with_both_names_and_the_past_is_left():
    House.objects.create(name="House")
    _kind, units = triggers("T1")
    for days, title in ((-200, "Last year"), (0, "Slate coast"), (3, "Dunes at dusk")):
        reserve(by=None, workshop=day_at(days, title=title), units=units)
    kept = spans()
    told = "T1: Slate coast on May 8, 2027 and Dunes at dusk on May 11, 2027 would overlap."
    with pytest.raises(Refused, match=told):
        save_house(by=None, now=START - 90 * DAY, return_hours=48)
    assert spans() == kept
    assert House.objects.get().return_hours == 24
    save_house(by=None, now=START - 90 * DAY, return_hours=30)
    assert spans()[0] == kept[0]


def second_promise(first: Reservation, *, start_at) -> Reservation:
    """Another promise of the same unit, not yet stored, past every service."""
    workshop = make.WorkshopFactory()
    return Reservation(
        workshop=workshop, unit=first.unit, start_at=start_at, end_at=start_at + 4 * DAY
    )


def test_the_database_itself_refuses_a_second_promise_and_allows_one_that_touches():
    first = make.ReservationFactory()
    second = second_promise(first, start_at=first.end_at - timedelta(microseconds=1))
    with pytest.raises(IntegrityError) as fault, transaction.atomic():
        second.save()
    assert guards.is_overlap(fault.value)
    with pytest.raises(IntegrityError), transaction.atomic():
        Reservation.objects.bulk_create([second])
    touching = second_promise(first, start_at=first.end_at)
    touching.save()
    before = second_promise(first, start_at=first.start_at - 4 * DAY)
    before.save()
    assert first.unit.reservations.count() == 3


def test_the_database_refuses_a_promise_moved_onto_another_by_unit_or_by_time():
    first = make.ReservationFactory()
    second = second_promise(first, start_at=first.end_at)
    second.save()
    rows = Reservation.objects.filter(pk=second.pk)
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.update(start_at=first.end_at - timedelta(seconds=1))
    other = make.ReservationFactory()  # of another unit, at the same hours as the first
    with pytest.raises(IntegrityError), transaction.atomic():
        Reservation.objects.filter(pk=other.pk).update(unit=first.unit)
    rows.update(start_at=first.end_at + timedelta(seconds=1))


# Eight of one instant, 2027-05-07 12:00 UTC, in other shapes than the one that sorts by time
# (ISO 8601; SQLite's own list of time values, section 2 of its date and time functions).
@pytest.mark.parametrize(
    "written",
    [
        "2027-05-07 14:00:00+02:00", "2027-05-07T12:00:00", "2027-05-07 12:00:00Z",
        "2027-05-07 12:00", "2027-05-07 12:00:00.000000", "2027-05-07 12:00:00.0",
        1809691200, 2461533.0,
    ],
)  # fmt: skip
def test_an_instant_written_in_another_way_is_no_way_past_the_guard(written):
    first = make.ReservationFactory()
    row = second_promise(first, start_at=first.start_at)
    values = [row.workshop_id, row.unit_id, written, "2027-05-20 12:00:00"]
    if connection.vendor == "postgresql":
        pytest.skip("PostgreSQL reads every such text as an instant, or refuses it")
    with connection.cursor() as cursor:
        columns = "workshop_id, unit_id, start_at, end_at, changed_at"
        sql = f"INSERT INTO workshops_reservation ({columns}) VALUES (%s, %s, %s, %s, %s)"
        told = "in UTC, like 2027-05-08 14:10:00"
        with pytest.raises(IntegrityError, match=told), transaction.atomic():
            cursor.execute(sql, [*values, values[-1]])
        values[2] = "2027-05-19 12:00:00"  # free by then
        cursor.execute(sql, [*values, values[-1]])
        moved = "UPDATE workshops_reservation SET {} = %s WHERE start_at = %s"
        for column in ("start_at", "end_at"):
            with pytest.raises(IntegrityError, match=told), transaction.atomic():
                cursor.execute(moved.format(column), [written, values[2]])
    assert first.unit.reservations.count() == 2


def test_what_only_the_database_saw_is_refused_in_words():
    first = make.ReservationFactory()
    second = second_promise(first, start_at=first.start_at)
    with pytest.raises(Refused, match="Look again what is free"), promised_once():
        second.save()
    with pytest.raises(IntegrityError), promised_once():  # another rule: no word of promises
        make.ReservationFactory(start_at=START, end_at=START)


def triggers_laid() -> set[str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        return {name for (name,) in cursor.fetchall()}


@pytest.mark.django_db(transaction=True)
def test_the_guard_is_there_after_every_migration_even_when_the_table_was_remade():
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT contype FROM pg_constraint WHERE conname = 'unit_promised_once'")
            assert cursor.fetchall() == [("x",)]
        return
    assert set(guards.TRIGGERS) <= triggers_laid()
    with connection.schema_editor() as editor:
        editor._remake_table(Reservation)
    assert not set(guards.TRIGGERS) & triggers_laid()  # SQLite drops them with the old table
    with connection.cursor() as cursor:  # a guard of an older version stands there
        name, *_others = guards.TRIGGERS
        cursor.execute(
            f"CREATE TRIGGER {name} BEFORE INSERT ON workshops_reservation BEGIN SELECT 1; END"
        )
    call_command("migrate", verbosity=0)
    assert set(guards.TRIGGERS) <= triggers_laid()
    with pytest.raises(IntegrityError, match=guards.OVERLAP):
        second_promise(first := make.ReservationFactory(), start_at=first.start_at).save()

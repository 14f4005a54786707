"""What is noted of turns and of who is here: once, taken back by a counter-entry, never half."""

from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid4

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from planning.models import PlannedSet, TallyEvent
from planning.plan import evaluate
from planning.selectors import set_inputs
from planning.services.events import take_back
from planning.services.turns import note_turn
from tests import factories as make
from workshops.errors import Refused, Stale
from workshops.models import AuditEntry, Booking
from workshops.services.presence import Presence, note_presence
from workshops.services.records import erase_record

pytestmark = [pytest.mark.django_db, pytest.mark.database]

GIVEN, MISSED = TallyEvent.Kind.TURN_GIVEN, TallyEvent.Kind.TURN_MISSED
KEY = UUID("11111111-2222-4333-8444-555555555555")
DURING = make.SET_START + timedelta(minutes=31)
NAMES = ("Abel", "Bea", "Cyd", "Dov")


@pytest.fixture
def planned():
    return make.LightFactory(planned_set__position=1).planned_set


@pytest.fixture
def people(planned):
    return [
        make.BookingFactory(
            workshop=planned.workshop,
            person=make.PersonFactory(name=name),
            booked_at=make.NOW + timedelta(minutes=number),
        )
        for number, name in enumerate(NAMES)
    ]


def note(planned, booking, **changes):
    asked = {"kind": GIVEN, "uuid": uuid4(), "now": DURING, "planned_at": planned.start_at}
    return note_turn(by=None, planned_set=planned, booking=booking, **asked | changes)


def turns(planned):
    return evaluate(set_inputs(planned.pk)).turns


def names(planned):
    return [turn.attendee for turn in turns(planned)]


def another(planned, hours=2):
    """A later set of the same day, in the same place."""
    return make.LightFactory(
        planned_set__workshop=planned.workshop,
        planned_set__location=planned.location,
        planned_set__position=1 + hours // 2,
        planned_set__start_at=planned.start_at + timedelta(hours=hours),
        planned_set__end_at=planned.end_at + timedelta(hours=hours),
    ).planned_set


class TestNoting:
    def test_a_turn_given_stays_where_it_was_and_the_rest_follow(self, planned, people):
        note(planned, people[0])
        rows = turns(planned)
        assert [row.attendee for row in rows] == list(NAMES)
        assert [row.given for row in rows] == [True, False, False, False]
        assert (rows[0].start_at, rows[1].start_at) == (DURING, DURING + timedelta(minutes=1))

    def test_times_come_back_on_the_clock_of_the_place(self, planned, people):
        note(planned, people[0])
        assert f"{turns(planned)[0].start_at:%H:%M %z}" == "14:41 +0100"  # London in May

    def test_the_same_press_twice_is_one_event(self, planned, people):
        first = note(planned, people[0], uuid=KEY)
        again = note(planned, people[0], uuid=KEY, now=DURING + timedelta(minutes=3))
        assert (again.pk, again.at) == (first.pk, DURING)
        assert TallyEvent.objects.count() == 1

    def test_one_key_notes_one_turn_only(self, planned, people):
        note(planned, people[0], uuid=KEY)
        with pytest.raises(Refused, match="another turn"):
            note(planned, people[1], uuid=KEY)
        with pytest.raises(Refused, match="another turn"):
            note(another(planned), people[0], uuid=KEY)

    def test_two_phones_note_a_turn_once(self, planned, people):
        note(planned, people[0])
        with pytest.raises(Refused, match="Abel has had this turn already"):
            note(planned, people[0])

    def test_a_call_in_vain_brings_the_next_one(self, planned, people):
        note(planned, people[0], kind=MISSED)
        assert names(planned) == ["Bea", "Cyd", "Dov", "Abel"]
        with pytest.raises(Refused, match="just now"):
            note(planned, people[0], kind=MISSED)

    def test_taken_back_it_counts_no_more_and_both_entries_stay(self, planned, people):
        event = note(planned, people[0])
        counter = take_back(by=None, event=event, uuid=KEY, now=DURING)
        assert not any(turn.given for turn in turns(planned))
        assert counter.takes_back == event
        assert take_back(by=None, event=event, uuid=uuid4(), now=DURING) == counter
        assert TallyEvent.objects.count() == 2
        with pytest.raises(Refused, match="takes something back"):
            take_back(by=None, event=counter, uuid=uuid4(), now=DURING)
        assert note(planned, people[0]).kind == GIVEN  # and once more, rightly

    def test_events_are_never_changed_or_deleted(self, planned, people):
        event = note(planned, people[0])
        for act in (event.save, event.delete):
            with pytest.raises(Refused, match="stays as it is"):
                act()

    def test_what_is_copied_from_paper_at_night_takes_the_planned_time(self, planned, people):
        at = planned.start_at + timedelta(minutes=25)
        event = note(planned, people[0], now=planned.end_at + timedelta(hours=5), planned_at=at)
        assert (event.at, bool(event.notes)) == (at, True)

    @pytest.mark.parametrize(
        ("changes", "says"),
        [
            ({"now": datetime(2027, 5, 7, 22, 59, tzinfo=UTC)}, "not before"),  # 23:59 there
            ({"station": "wall"}, "Station"),
            ({"round": 0}, "Round"),
        ],
    )
    def test_what_cannot_be_is_refused_in_words(self, planned, people, changes, says):
        with pytest.raises(Refused, match=says):
            note(planned, people[0], **changes)
        assert not TallyEvent.objects.exists()

    def test_it_is_the_day_from_midnight_at_the_place(self, planned, people):
        midnight = datetime(2027, 5, 7, 23, 0, tzinfo=UTC)  # British Summer Time
        assert note(planned, people[0], now=midnight).at == midnight

    def test_somebody_of_another_day_or_absent_has_no_turn(self, planned, people):
        with pytest.raises(Refused, match="has no seat"):
            note(planned, make.BookingFactory())
        Booking.objects.filter(pk=people[0].pk).update(state="absent")
        people[0].refresh_from_db()
        with pytest.raises(Refused, match="absent"):
            note(planned, people[0])

    def test_the_audit_says_who_noted_it(self, planned, people):
        office = make.UserFactory()
        event = note_turn(
            by=office,
            planned_set=planned,
            booking=people[0],
            kind=GIVEN,
            uuid=KEY,
            now=DURING,
            planned_at=DURING,
        )
        assert AuditEntry.objects.get(record_id=str(event.pk)).who == office

    def test_the_database_takes_neither_a_turn_of_nobody_nor_two_counter_entries(
        self, planned, people
    ):
        event = note(planned, people[0])
        rows = {"planned_set": planned, "kind": GIVEN, "at": DURING}
        with pytest.raises(IntegrityError), transaction.atomic():
            TallyEvent.objects.bulk_create([TallyEvent(**rows, booking=None)])
        twice = [TallyEvent(**rows, booking=people[0], takes_back=event) for _ in range(2)]
        with pytest.raises(IntegrityError), transaction.atomic():
            TallyEvent.objects.bulk_create(twice)


class TestWhatHangsOnIt:
    def test_a_set_with_turns_noted_is_not_deleted(self, planned, people):
        note(planned, people[0])
        with pytest.raises(Refused, match="is used by event of the day"):
            erase_record(by=None, record=planned)
        assert PlannedSet.objects.filter(pk=planned.pk).exists()

    def test_a_booking_with_turns_noted_is_not_deleted(self, planned, people):
        note(planned, people[0])
        with pytest.raises(Refused, match="is used by event of the day"):
            erase_record(by=None, record=people[0])
        assert Booking.objects.filter(pk=people[0].pk).exists()

    def test_a_given_turn_stays_when_its_owner_goes_and_a_namesake_keeps_their_own(
        self, planned, people
    ):
        note(planned, people[0])
        Booking.objects.filter(pk=people[0].pk).update(state="absent")
        make.BookingFactory(workshop=planned.workshop, person=make.PersonFactory(name="Abel"))
        rows = turns(planned)
        assert (rows[0].attendee, rows[0].given) == ("Abel 2", True)
        assert sorted(row.attendee for row in rows[1:]) == ["Abel", "Bea", "Cyd", "Dov"]

    def test_an_event_changes_the_sheets_mark_and_its_last_change(self, planned, people):
        before = set_inputs(planned.pk)
        later = another(planned)
        mark = set_inputs(later.pk).revision
        for booking in people[:2]:
            note(planned, booking)
        after = set_inputs(planned.pk)
        assert after.revision != before.revision
        assert after.inputs_changed_at > before.inputs_changed_at
        assert set_inputs(later.pk).revision != mark  # who stands back comes first there


class TestTheNextSet:
    def test_who_had_fewer_before_comes_first_there(self, planned, people):
        later = another(planned)
        assert names(later) == ["Bea", "Cyd", "Dov", "Abel"]
        for booking in (people[0], people[1], people[3]):
            note(planned, booking)
        assert names(later)[0] == "Cyd"

    def test_a_set_where_the_noting_broke_off_tells_nothing(self, planned, people):
        later = another(planned)
        note(planned, people[1])
        assert names(later) == ["Bea", "Cyd", "Dov", "Abel"]

    def test_the_set_before_does_not_ask_the_one_after(self, planned, people):
        later = another(planned)
        for booking in people[1:]:
            note(later, booking, now=later.start_at)
        assert names(planned) == list(NAMES)

    def test_more_sets_and_events_ask_no_more_questions(
        self, planned, people, django_assert_max_num_queries
    ):
        with CaptureQueriesContext(connection) as one:
            set_inputs(planned.pk)
        for hours in (2, 4, 6):
            note(another(planned, hours), people[0], now=planned.start_at + timedelta(hours=hours))
        with django_assert_max_num_queries(len(one)):
            set_inputs(planned.pk)


class TestPresence:
    def say(self, planned, *said, now=DURING):
        return note_presence(by=None, workshop=planned.workshop, said=list(said), now=now)

    def test_who_comes_late_is_dealt_last_and_who_is_absent_not_at_all(self, planned, people):
        comes = planned.start_at + timedelta(minutes=30)
        changed = self.say(
            planned,
            Presence(people[0], "attended", arrives_at=comes),
            Presence(people[1], "absent"),
            Presence(people[2]),
        )
        assert changed == people[:2]
        assert names(planned) == ["Cyd", "Dov", "Abel"]

    def test_nothing_said_changes_nothing(self, planned, people):
        Booking.objects.filter(pk=people[0].pk).update(state="attended")
        assert self.say(planned, Presence(people[0])) == []
        assert Booking.objects.get(pk=people[0].pk).state == "attended"

    def test_of_all_that_is_said_all_is_kept_or_nothing(self, planned, people):
        wrong = Presence(people[1], arrives_at=planned.workshop.end_at)
        with pytest.raises(Refused, match="within the workshop"):
            self.say(planned, Presence(people[0], "absent"), wrong)
        assert Booking.objects.get(pk=people[0].pk).state == "held"

    @pytest.mark.parametrize(
        ("said", "says"),
        [
            ({"state": "cancelled"}, "here or absent"),
            ({"state": "confirmed"}, "here or absent"),
            (
                {"arrives_at": DURING, "leaves_at": DURING - timedelta(minutes=1)},
                "after coming",
            ),
        ],
    )
    def test_what_cannot_be_is_refused_in_words(self, planned, people, said, says):
        with pytest.raises(Refused, match=says):
            self.say(planned, Presence(people[0], **said))

    def test_who_came_is_told_from_the_day_on_but_a_time_before(self, planned, people):
        eve = planned.workshop.start_at - timedelta(days=1)
        comes = planned.start_at
        assert self.say(planned, Presence(people[0], arrives_at=comes), now=eve)
        with pytest.raises(Refused, match="not before"):
            self.say(planned, Presence(people[0], "absent", arrives_at=comes), now=eve)

    def test_somebody_elses_newer_entry_is_not_written_over(self, planned, people):
        seen = Booking.objects.get(pk=people[0].pk).changed_at
        self.say(planned, Presence(people[0], "attended", seen=seen))
        with pytest.raises(Stale):
            self.say(planned, Presence(people[0], "absent", seen=seen))

    def test_a_booking_of_another_workshop_is_refused(self, planned):
        with pytest.raises(Refused, match="has no seat"):
            self.say(planned, Presence(make.BookingFactory(), "attended"))

    def test_nothing_else_of_the_booking_is_touched(self, planned, people):
        people[0].notes = "typed elsewhere, not saved"
        self.say(planned, Presence(people[0], "attended"))
        assert Booking.objects.get(pk=people[0].pk).notes == ""

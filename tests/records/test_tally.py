"""What happens on a set is noted once, in its day, of what is there; and taken back whole."""

from datetime import timedelta
from uuid import UUID, uuid4

import pytest

from planning.after.packs import Charge
from planning.models import TallyEvent
from planning.selectors.tally import pack_stays, set_tallies
from planning.services import tally
from planning.services.events import take_back
from planning.services.packs import put_pack_in, take_pack_out
from tests import factories as make
from workshops.errors import Refused
from workshops.models import AuditEntry

pytestmark = [pytest.mark.django_db, pytest.mark.database]

KEY = UUID("11111111-2222-4333-8444-555555555555")
BEGAN = make.SET_START + timedelta(minutes=5)


def minutes(number):
    return BEGAN + timedelta(minutes=number)


@pytest.fixture
def octa():
    return make.LightFactory(planned_set__position=1, name="octa")


@pytest.fixture
def planned(octa):
    make.LightFactory(planned_set=octa.planned_set, name="edge")
    return octa.planned_set


@pytest.fixture
def abel(planned):
    return make.BookingFactory(workshop=planned.workshop, person__name="Abel")


@pytest.fixture
def packs(planned, octa):
    rows = [make.UnitFactory(kind=octa.strobe.battery_kind, tag=f"B{n}") for n in (1, 2, 3)]
    for unit in rows:
        make.ReservationFactory(workshop=planned.workshop, unit=unit)
    return rows


@pytest.fixture
def trigger(planned):
    return make.ReservationFactory(workshop=planned.workshop, unit__tag="T7").unit


def note(service, planned, **values):
    asked = {"by": None, "planned_set": planned, "uuid": uuid4(), "now": minutes(30)}
    return service(**asked | values)


def put_in(planned, unit, share=1.0, *, light="octa", **values):
    values |= {"unit": unit, "charge": Charge(share) if share else None, "light_name": light}
    return note(put_pack_in, planned, **values)


def take_out(planned, unit, share=0.5, **values):
    values |= {"unit": unit, "charge": Charge(share) if share is not None else None}
    return note(take_pack_out, planned, **values)


def counted(planned):
    return set_tallies(planned.workshop)[0]


NOTES = {
    "began": (tally.note_began, {}),
    "ended": (tally.note_ended, {}),
    "flashes": (tally.note_flashes, {"light_name": "octa", "count": 12}),
    "misfire": (tally.note_misfire, {"cause": "cell"}),
    "gust": (tally.note_gust, {"gust_m_s": 9.5}),
    "sky": (tally.note_sky, {"sky": "partly"}),
    "near miss": (tally.note_near_miss, {"words": "Stand went over"}),
    "note": (tally.note_words, {"words": "Sand"}),
}


@pytest.mark.parametrize("what", NOTES)
class TestEveryKind:
    def test_a_press_is_one_event_and_of_one_thing(self, planned, what):
        service, values = NOTES[what]
        first = note(service, planned, uuid=KEY, **values)
        again = note(service, planned, uuid=KEY, now=minutes(33), **values)
        assert (again.pk, again.at) == (first.pk, minutes(30))
        assert AuditEntry.objects.filter(record_type="planning.tallyevent").count() == 1
        with pytest.raises(Refused, match="noted something else"):
            note(tally.note_words, planned, uuid=KEY, words="Something else altogether")
        assert TallyEvent.objects.count() == 1

    def test_it_is_noted_on_the_day_alone(self, planned, what):
        service, values = NOTES[what]
        with pytest.raises(Refused, match="not before"):
            note(service, planned, now=make.SET_START - timedelta(hours=20), **values)
        with pytest.raises(Refused, match="the day of this set"):
            note(service, planned, at=make.SET_START - timedelta(days=1), **values)
        with pytest.raises(Refused, match="still to come"):
            note(service, planned, at=minutes(60), **values)
        assert not TallyEvent.objects.exists()

    def test_taken_back_it_counts_no_more_and_stays_kept(self, planned, what):
        service, values = NOTES[what]
        event = note(service, planned, **values)
        counter = take_back(by=None, event=event, uuid=KEY, now=minutes(40))
        assert take_back(by=None, event=event, uuid=uuid4(), now=minutes(41)) == counter
        with pytest.raises(Refused, match="takes something back already"):
            take_back(by=None, event=counter, uuid=uuid4(), now=minutes(42))
        one = counted(planned)
        assert (one.began_at, one.ended_at, one.heads[0].flashes) == (None, None, None)
        assert (one.misfires, one.gusts_m_s, one.skies) == ((), (), ())
        assert (one.near_misses, one.notes) == ((), ())
        assert TallyEvent.objects.count() == 2


class TestTimes:
    def test_a_set_begins_once_and_ends_after_that(self, planned):
        note(tally.note_began, planned, now=BEGAN)
        with pytest.raises(Refused, match="noted already, at 14:15"):
            note(tally.note_began, planned)
        with pytest.raises(Refused, match="It began at 14:15"):
            note(tally.note_ended, planned, at=minutes(-2))
        note(tally.note_ended, planned, now=minutes(83))
        assert counted(planned).minutes_over == 8.0  # 83 against 75

    def test_a_beginning_after_the_end_is_refused(self, planned):
        note(tally.note_ended, planned)
        with pytest.raises(Refused, match="It ended at 14:45"):
            note(tally.note_began, planned, now=minutes(31))

    def test_long_after_the_set_the_time_has_to_be_written(self, planned):
        evening = make.SET_END + timedelta(hours=5)
        with pytest.raises(Refused, match="enter the time as it was written down"):
            note(tally.note_began, planned, now=evening)
        assert note(tally.note_began, planned, now=evening, at=BEGAN).at == BEGAN

    def test_what_is_copied_from_paper_without_a_time_happened_by_the_end(self, planned):
        evening = make.SET_END + timedelta(hours=5)
        assert note(tally.note_sky, planned, now=evening, sky="clear").at == planned.end_at


class TestCounts:
    def test_what_a_head_shows_in_all_is_counted_less_what_is_noted(self, planned):
        note(tally.note_flashes, planned, light_name="octa", count=40)
        last = note(tally.note_flashes, planned, light_name="octa", count=71, in_all=True)
        assert (last.count, counted(planned).heads[0].flashes) == (31, 71)

    def test_the_same_press_of_a_counter_twice_is_once(self, planned):
        values = {"light_name": "octa", "count": 71, "in_all": True, "uuid": KEY}
        first = note(tally.note_flashes, planned, **values)
        note(tally.note_flashes, planned, light_name="octa", count=9)
        assert note(tally.note_flashes, planned, **values) == first
        assert counted(planned).heads[0].flashes == 80
        with pytest.raises(Refused, match="noted something else"):
            note(tally.note_flashes, planned, **values | {"count": 72})

    def test_fewer_in_all_than_are_noted_is_refused(self, planned):
        note(tally.note_flashes, planned, light_name="octa", count=40)
        with pytest.raises(Refused, match="40 are noted already"):
            note(tally.note_flashes, planned, light_name="octa", count=39, in_all=True)

    def test_a_light_the_set_has_not_is_refused_in_words(self, planned):
        with pytest.raises(Refused, match=r"no light called wall. It has: octa, edge"):
            note(tally.note_flashes, planned, light_name="wall", count=3)

    @pytest.mark.parametrize("count", [-1, 100001])
    def test_no_head_counts_that(self, planned, count):
        with pytest.raises(Refused, match="how many"):
            note(tally.note_flashes, planned, light_name="octa", count=count)

    def test_frames_are_somebodys_of_this_workshop(self, planned, abel):
        note(tally.note_frames, planned, booking=abel, count=18)
        note(tally.note_frames, planned, booking=abel, count=25, in_all=True)
        assert counted(planned).people[0].frames == 25
        stranger = make.BookingFactory(person__name="Zoe")
        with pytest.raises(Refused, match="Zoe has no seat"):
            note(tally.note_frames, planned, booking=stranger, count=1)

    def test_who_is_absent_takes_no_frames(self, planned):
        gone = make.BookingFactory(workshop=planned.workshop, state="absent", person__name="Bo")
        with pytest.raises(Refused, match="Bo is noted as absent"):
            note(tally.note_frames, planned, booking=gone, count=1)


class TestMisfires:
    def test_it_is_somebodys_with_a_trigger_and_a_cause(self, planned, abel, trigger):
        values = {"booking": abel, "trigger": trigger, "light_name": "edge", "cause": "body"}
        note(tally.note_misfire, planned, notes="twice", **values)
        (one,) = counted(planned).misfires
        assert (one.attendee, one.trigger, one.light, one.cause, one.notes) == (
            "Abel", "T7", "edge", "body", "twice",
        )  # fmt: skip

    def test_a_trigger_is_a_trigger_of_the_kit_list(self, planned, packs):
        with pytest.raises(Refused, match="B1 is no trigger"):
            note(tally.note_misfire, planned, cause="cell", trigger=packs[0])
        with pytest.raises(Refused, match="T9 is not on the kit list"):
            note(tally.note_misfire, planned, cause="cell", trigger=make.UnitFactory(tag="T9"))

    def test_a_cause_is_one_of_the_list(self, planned):
        with pytest.raises(Refused, match="cause"):
            note(tally.note_misfire, planned, cause="gremlins")


class TestPacks:
    def test_in_and_out_is_one_stay(self, planned, packs):
        put_in(planned, packs[0], now=BEGAN)
        take_out(planned, packs[0], 0.55, now=minutes(70))
        (stay,) = pack_stays(planned)
        assert (stay.tag, stay.light, round(stay.used_share, 6)) == ("B1", "octa", 0.45)

    def test_the_same_press_twice_is_one_event(self, planned, packs):
        first = put_in(planned, packs[0], uuid=KEY)
        assert put_in(planned, packs[0], uuid=KEY, now=minutes(31)) == first
        with pytest.raises(Refused, match="noted something else"):
            put_in(planned, packs[1], uuid=KEY)
        with pytest.raises(Refused, match="noted something else"):
            put_in(planned, packs[0], 0.9, uuid=KEY)

    def test_a_pack_put_in_swaps_the_other_out_with_what_it_shows(self, planned, packs):
        put_in(planned, packs[0], now=BEGAN)
        put_in(planned, packs[1], 0.95, old_charge=Charge(0.1), now=minutes(40))
        first, second = pack_stays(planned)
        assert (first.out_at, first.out_share) == (minutes(40), 0.1)
        assert (second.tag, second.in_share, second.out_at) == ("B2", 0.95, None)

    def test_the_other_may_be_read_later_and_once(self, planned, packs):
        put_in(planned, packs[0], now=BEGAN)
        put_in(planned, packs[1], now=minutes(20))
        take_out(planned, packs[0], 0.2)
        assert pack_stays(planned)[0].out_share == 0.2
        with pytest.raises(Refused, match="B1 came out of octa at 14:35: that is noted"):
            take_out(planned, packs[0], 0.3)

    def test_a_swap_taken_back_leaves_the_first_in_the_head(self, planned, packs):
        put_in(planned, packs[0], now=BEGAN)
        wrong = put_in(planned, packs[1], old_charge=Charge(0.1), now=minutes(20))
        take_back(by=None, event=wrong, uuid=KEY, now=minutes(21))
        (stay,) = pack_stays(planned)
        assert (stay.tag, stay.out_at, stay.out_share) == ("B1", None, None)

    def test_a_pack_is_in_one_head_at_a_time(self, planned, packs):
        put_in(planned, packs[0], now=BEGAN)
        with pytest.raises(Refused, match="B1 is in octa since 14:15: note first"):
            put_in(planned, packs[0], light="edge")
        with pytest.raises(Refused, match="B1 is in octa already, since 14:15"):
            put_in(planned, packs[0])
        take_out(planned, packs[0], 0.8, now=minutes(20))
        assert put_in(planned, packs[0], 0.8, light="edge").light_name == "edge"

    def test_a_pack_in_a_set_that_runs_is_not_free(self, planned, packs):
        other = make.LightFactory(
            planned_set__workshop=planned.workshop, planned_set__title="Pier", name="key"
        ).planned_set
        note(tally.note_began, other)
        put_in(other, packs[0], light="key", now=BEGAN)
        with pytest.raises(Refused, match="B1 is in key of the set Pier"):
            put_in(planned, packs[0])
        note(tally.note_ended, other, now=minutes(31))
        assert put_in(planned, packs[0], now=minutes(31))

    def test_four_lamps_are_kept_as_lamps(self, planned, packs):
        put_in(planned, packs[0])
        event = note(take_pack_out, planned, unit=packs[0], charge=Charge(0.75, lamps=4))
        assert (event.charge_share, event.charge_lamps, event.light_name) == (0.75, 4, "octa")
        assert pack_stays(planned)[0].within_share == 0.125

    def test_no_pack_comes_out_fuller_than_it_went_in(self, planned, packs):
        put_in(planned, packs[0], 0.5)
        with pytest.raises(Refused, match="went in with 50 %"):
            take_out(planned, packs[0], 0.6)
        # Two of four lamps in, three out: a lamp may have hidden the difference.
        assert note(take_pack_out, planned, unit=packs[0], charge=Charge(0.62, lamps=4))

    def test_nobody_need_have_seen_it_go_in(self, planned, packs):
        with pytest.raises(Refused, match="note first where it went in"):
            take_out(planned, packs[0])
        assert take_out(planned, packs[0], light_name="edge").light_name == "edge"

    def test_a_tag_that_is_not_in_that_head_is_refused(self, planned, packs):
        put_in(planned, packs[0])
        with pytest.raises(Refused, match="B1 is in octa, not B2"):
            take_out(planned, packs[1], light_name="octa")

    def test_what_is_no_pack_of_the_list_is_refused(self, planned, packs, trigger):
        with pytest.raises(Refused, match="T7 is no battery pack"):
            put_in(planned, trigger)
        stranger = make.UnitFactory(kind=packs[0].kind, tag="B9")
        with pytest.raises(Refused, match="B9 is not on the kit list"):
            put_in(planned, stranger)
        with pytest.raises(Refused, match="no light called wall"):
            put_in(planned, packs[0], light="wall")

    def test_there_is_nothing_to_read_of_an_empty_head(self, planned, packs):
        with pytest.raises(Refused, match="No pack was noted in octa"):
            put_in(planned, packs[0], old_charge=Charge(0.1))
        assert not TallyEvent.objects.exists()


class TestWords:
    @pytest.mark.parametrize("service", [tally.note_words, tally.note_near_miss])
    def test_without_words_and_with_too_many_it_is_refused(self, planned, service):
        with pytest.raises(Refused, match="in words"):
            note(service, planned, words="   ")
        with pytest.raises(Refused, match="notes"):
            note(service, planned, words="x" * 50_000)
        assert not TallyEvent.objects.exists()

    def test_any_letters_are_kept_as_they_are(self, planned):
        words = "<script>alert(1)</script> Ångström 🌊"
        note(tally.note_words, planned, words=words)
        assert counted(planned).notes[0][1] == words

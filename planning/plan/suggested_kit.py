"""What a day's sets ask of the shelf: how many of each kind, and why."""

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import count

from planning.plan.suggested_triggers import add_filters, add_meter, add_triggers
from planning.plan.tally import (
    Lamp,
    SetOfDay,
    Shelf,
    Spares,
    SuggestedKit,
    Tally,
    spare_number,
    spare_words,
)
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

FITS_NO_MORE = ("modifier off", "strike")  # verdicts under which the box is not on the stand


def suggest(sets: Sequence[SetOfDay], shelf: Iterable[Shelf], spares: Spares) -> SuggestedKit:
    """Return the kit a day's sets ask for, with what the shelf has of it.

    Sets one after the other share their kit; those at the same time do not. A set without a
    plan is counted as entered, and named. Empty without a set.
    """
    tally, left_open = (
        Tally(shelf),
        [
            say(
                _("set {set} has no plan ({reason}): its ballast and packs are counted as entered"),
                set=(one.name, "text"),
                reason=(one.reason, "text"),
            )
            for one in sets
            if one.plan is None
        ],
    )
    if not sets:
        return SuggestedKit((), (), ())
    add_things(tally, sets, spares)
    left_open += add_ballast(tally, sets)
    add_packs(tally, sets, spares)
    left_open += add_chargers(tally)
    beside, not_served = add_triggers(tally, sets, spares)
    left_open += not_served
    left_open += add_filters(tally, sets)
    left_open += add_meter(tally, sets)
    return SuggestedKit(tally.lines(), tuple(beside), tuple(left_open))


def lamps_of(one: SetOfDay) -> list[Lamp]:
    planned = one.plan.lights if one.plan else [None] * len(one.inputs.lights)
    return [Lamp(*pair) for pair in zip(one.inputs.lights, planned, strict=True)]


def at_once(sets: Sequence[SetOfDay]) -> list[list[SetOfDay]]:
    """Return, for the start of each set, the sets that stand then: what cannot be shared."""
    return [
        [
            other
            for other in sets
            if other is one or other.inputs.start_at <= one.inputs.start_at < other.inputs.end_at
        ]
        for one in sets
    ]


def most_at_once(
    moments: Sequence[Sequence[SetOfDay]], asked: Mapping[str, Counter[str]]
) -> dict[str, tuple[int, str]]:
    """Return for each kind the largest number in use at one moment, and the sets of it.

    ``asked`` holds the kinds of each set by the set's name.
    """
    found: dict[str, tuple[int, str]] = {}
    for moment in moments:
        total = sum((asked[one.name] for one in moment), Counter())
        names = "; ".join(one.name for one in moment)
        for kind, number in total.items():
            if number > found.get(kind, (0, ""))[0]:
                found[kind] = number, names
    return found


def in_use(number: int, sets: str) -> Words:
    return say(_("{number} at once in set {sets}"), number=(number, "whole"), sets=(sets, "text"))


def add_things(tally: Tally, sets: Sequence[SetOfDay], spares: Spares) -> None:
    """Heads with spares, modifiers, gels, stands with spares: the most that stand at one time."""
    moments = at_once(sets)

    def most(pick) -> dict[str, tuple[int, str]]:
        asked = {
            one.name: Counter(name for lamp in lamps_of(one) if (name := pick(lamp.given)))
            for one in sets
        }
        return most_at_once(moments, asked)

    per = {"strobe": spares.heads_per_spare, "stand": spares.stands_per_spare}
    picks = {
        "strobe": lambda light: light.strobe,
        "modifier": lambda light: light.modifier,
        "gel": lambda light: light.gel,
        "stand": lambda light: "" if light.hand_held else light.stand,
    }
    for category, pick in picks.items():
        found = most(pick)
        for kind, (number, names) in found.items():
            tally.add(category, kind, number, in_use(number, names))
        if every := per.get(category):
            total = spare_number(sum(number for number, _names in found.values()), every)
            ranked = sorted(found, key=lambda kind: -found[kind][0])
            others = [kind.name for kind in tally.of(category) if kind.name not in found]
            for kind, number in tally.spread(category, total, [*ranked, *others]).items():
                tally.add(category, kind, number, spare_words(number, every))


def stand_need(lamp: Lamp) -> tuple[float, Words]:
    """Return the ballast of one stand in kg, and where it comes from; never none at all."""
    entered = lamp.given.bag_kg
    stand = lamp.planned.stand if lamp.planned else None
    need = stand.need_hung_kg if stand else None
    told = {"light": (lamp.given.name, "text"), "kg": (entered, "kg")}
    if stand and stand.verdict in FITS_NO_MORE:
        return entered, say(
            _("{light}: {kg} as entered; in that gust {verdict}"),
            verdict=(say(_(stand.verdict)), "words"),
            **told,
        )
    if need is None:
        return entered, say(_("{light}: {kg} as entered, no wind forecast"), **told)
    if need <= entered:
        return entered, say(_("{light}: {kg} as entered, enough for the gust planned with"), **told)
    told["kg"] = need, "need_kg"
    return need, say(_("{light}: {kg} by the plan, for the gust it reckons with"), **told)


def add_ballast(tally: Tally, sets: Sequence[SetOfDay]) -> tuple[Words, ...]:
    """Bags for every stand that stands at one time, the heaviest moment; each in whole bags.

    Every stand has one at least. Returns what is left open.
    """
    heaviest: list[tuple[float, Words]] = []
    names = ""
    for moment in at_once(sets):
        lamps = [lamp for one in moment for lamp in lamps_of(one) if not lamp.given.hand_held]
        needs = [stand_need(lamp) for lamp in lamps]
        if sum(kg for kg, _why in needs) > sum(kg for kg, _why in heaviest) or not heaviest:
            heaviest, names = needs, "; ".join(one.name for one in moment)
    if not heaviest:
        return ()
    total = sum(kg for kg, _why in heaviest)
    told = {"sets": (names, "text"), "kg": (total, "need_kg")}
    bags = [kind for kind in tally.of("ballast") if kind.mass_kg > 0]
    if not bags:
        words = say(
            _("set {sets}: {kg} of ballast, and no kind of bag with a mass is on the shelf"), **told
        )
        return (words,)
    bags.sort(key=lambda kind: (-kind.stock * kind.mass_kg, kind.name))
    given = bags_for([kg for kg, _why in heaviest], bags)
    why = (
        say(_("set {sets}: {kg} in all, whole bags for each stand, one at least"), **told),
        *(words for _kg, words in heaviest),
    )
    for kind, number in given.items():
        tally.add("ballast", kind, number, *why)
    return ()


def bags_for(needs_kg: Iterable[float], bags: Sequence[Shelf]) -> dict[str, int]:
    """Return how many bags of each kind hold these stands, the kinds taken in order.

    A stand's bags may be of two kinds where one runs out; what nobody has is of the first.
    """
    left = {kind.name: kind.stock for kind in bags}
    mass = {kind.name: kind.mass_kg for kind in bags}
    given: Counter[str] = Counter()
    for need_kg in needs_kg:
        hung_kg = 0.0
        for number in count():
            if number and hung_kg >= need_kg - 1e-6:
                break
            kind = next((name for name in left if left[name] > 0), bags[0].name)
            left[kind] -= 1
            given[kind] += 1
            hung_kg += mass[kind]
    return dict(given)


def add_packs(tally: Tally, sets: Sequence[SetOfDay], spares: Spares) -> None:
    """Packs for each head over the whole day, one at least, by the plans' flash budget; spares.

    The lights of a set that use one kind of head are its first, second, third head all day.
    """
    charges: dict[tuple[str, str, int], float] = defaultdict(float)
    counted: dict[tuple[str, str, int], bool] = {}
    for one in sets:
        rows = one.plan.battery if one.plan else [None] * len(one.inputs.lights)
        seen: Counter[tuple[str, str]] = Counter()
        for light, row in zip(one.inputs.lights, rows, strict=True):
            if light.battery is None or light.mains:
                continue
            key = light.battery.name, light.strobe
            seen[key] += 1
            head = *key, seen[key]
            charges[head] += (row.charge_share or 0.0) if row else 0.0
            counted[head] = counted.get(head, True) and bool(row) and row.source == "own"
    heads: Counter[str] = Counter()
    for (pack, strobe, number), share in charges.items():
        packs = max(math.ceil(share - 1e-9), 1)
        heads[pack] += 1
        own = counted[pack, strobe, number]
        sentence = (
            _("{head} {n}: {share} charges over the day, flashes counted by you")
            if own
            else _("{head} {n}: {share} charges over the day, estimate")
        )
        words = say(sentence, head=(strobe, "text"), n=(number, "whole"), share=(share, "tenths"))
        tally.add("battery", pack, packs, words)
    for pack, number in heads.items():
        spare = spare_number(number, spares.heads_per_spare)
        tally.add("battery", pack, spare, spare_words(spare, spares.heads_per_spare))


def add_chargers(tally: Tally) -> list[Words]:
    """A charger for every kind of pack asked for: one made for it, else one that takes any.

    How long it takes is the charge plan's. Returns what is left open.
    """
    packs = {kind: number for (what, kind), number in tally.counts.items() if what == "battery"}
    chargers = tally.of("charger")
    left_open = []
    for pack, number in packs.items():
        fits = [one for one in chargers if one.fills == pack] or [
            one for one in chargers if not one.fills
        ]
        told = {"pack": (pack, "text"), "number": (number, "whole")}
        if not fits:
            words = _("{number} {pack}: no charger for it is on the shelf")
            left_open.append(say(words, **told))
            continue
        kind = max(fits, key=lambda one: (tally.left(one.name), one.slots))
        if not tally.counts["charger", kind.name]:
            why = say(_("for {number} {pack}; how long it takes stands in the charge plan"), **told)
            tally.add("charger", kind.name, 1, why)
    return left_open

"""Triggers by the group's cameras, ND by the wanted apertures, a meter: for a suggested list."""

import itertools
import math
from collections import defaultdict
from collections.abc import Sequence

from planning.lesson.compatibility import serving_trigger
from planning.plan.group import assigned, fired
from planning.plan.inputs import AttendeeInputs, CameraInputs, TriggerInputs
from planning.plan.options import MOST_STACKED
from planning.plan.tally import SetOfDay, Shelf, Spares, Tally, spare_number, spare_words
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

SLACK_STOPS = 0.1  # marks are thirds: nearer than this is the same
ITS_SYSTEM = "?"


def add_triggers(
    tally: Tally, sets: Sequence[SetOfDay], spares: Spares
) -> tuple[list[Words], list[Words]]:
    """One for each attendee, one for each instructor's camera, spares.

    Returns (what is packed beside them, whom no kind of trigger serves).
    """
    kinds = [kind for kind in tally.of("trigger") if kind.trigger]
    attendees = sets[0].inputs.attendees
    names, left_open = by_kind(attendees, kinds)
    for kind, people in names.items():
        told = {"n": (len(people), "whole"), "names": (", ".join(people), "text")}
        tally.add("trigger", kind, len(people), say(_("{n} for {names}"), **told))
    cameras = {one.inputs.camera.owner: one.inputs.camera for one in sets}
    for owner, camera in cameras.items():
        kind = instructors(camera, kinds)
        if kind:
            words = say(_("1 for {owner}, who shows it"), owner=(owner, "text"))
            tally.add("trigger", kind, 1, words)
    asked = {kind: n for (category, kind), n in tally.counts.items() if category == "trigger"}
    total = sum(asked.values())
    number = spare_number(total, spares.triggers_per_spare, spares.least_spare_triggers)
    simple = [kind.name for kind in kinds if not kind.trigger.advanced and not kind.trigger.fits]
    ranked = sorted(simple, key=lambda kind: (-asked.get(kind, 0), -tally.left(kind), kind))
    # Where no simple one is on the shelf, what is in use anyway is doubled.
    for kind, share in tally.spread("trigger", number, ranked or list(asked)).items():
        tally.add("trigger", kind, share, _spare(share, total, spares))
    return _beside(total + number, spares), left_open


def _spare(share: int, total: int, spares: Spares) -> Words:
    by_ratio = spare_number(total, spares.triggers_per_spare)
    if by_ratio >= spares.least_spare_triggers:
        return spare_words(share, spares.triggers_per_spare)
    return say(
        _("{number} spare: at least {least}, common practice"),
        number=(share, "whole"),
        least=(spares.least_spare_triggers, "whole"),
    )


def _beside(triggers: int, spares: Spares) -> list[Words]:
    """Small things no register counts."""
    found = []
    if triggers and spares.spare_cell_sets:
        found.append(
            say(
                _("Cells for the triggers: {sets} spare sets for each of {n}, common practice"),
                sets=(spares.spare_cell_sets, "whole"),
                n=(triggers, "whole"),
            )
        )
    if triggers and spares.spare_sync_cords:
        found.append(
            say(
                _("Sync cord as a last resort: {n}, common practice"),
                n=(spares.spare_sync_cords, "whole"),
            )
        )
    return found


def by_kind(
    attendees: Sequence[AttendeeInputs], kinds: Sequence[Shelf]
) -> tuple[dict[str, list[str]], list[Words]]:
    """Return the attendees' names by the kind of their trigger, and who is left without.

    Units to be had go first, one to each; whoever then has none of their own is counted for the
    kind that serves them best, however many there are of it.
    """
    kind_of = {unit.name: kind.name for kind in kinds for unit in kind.units}
    units = [unit for kind in kinds for unit in kind.units]
    services = assigned(attendees, units)
    names, left_open, used = defaultdict(list), [], set()
    for one in attendees:
        service = services.get(one.name)
        unit = service.trigger if service else None
        if unit and unit.name not in used:
            used.add(unit.name)
            names[kind_of[unit.name]].append(one.name)
            continue
        proved = [kind_of[t.trigger] for t in one.tried if fired(t) and t.trigger in kind_of]
        kind, reason = (proved[0], None) if proved else _best_kind(one.camera, kinds)
        if kind:
            names[kind].append(one.name)
        if reason:
            told = {"name": (one.name, "text"), "reason": (reason, "words")}
            left_open.append(say(_("{name}: {reason}"), **told))
    return dict(names), left_open


def _best_kind(camera: CameraInputs | None, kinds: Sequence[Shelf]) -> tuple[str, Words | None]:
    figures = [kind.trigger for kind in kinds]
    if camera is None:
        simple = [one for one in figures if not one.advanced and not one.fits]
        reason = say(_("no camera recorded, so a simple trigger is counted: ask before the day"))
        return (simple[0].name if simple else ""), reason
    service = serving_trigger(camera, figures)
    if service.trigger:
        return service.trigger.name, None
    return "", say(
        _("no trigger serves {camera}: {reason}; {change}"),
        camera=(camera.name, "text"),
        reason=(say(service.reason), "words"),
        change=(say(service.change, system=(service.system or ITS_SYSTEM, "text")), "words"),
    )


def instructors(camera: CameraInputs, kinds: Sequence[Shelf]) -> str:
    """Return the kind for the instructor's camera: advanced where its system fits."""
    figures: list[TriggerInputs] = [kind.trigger for kind in kinds]
    for choice in ([one for one in figures if one.advanced], figures):
        service = serving_trigger(camera, choice)
        if service.trigger:
            return service.trigger.name
    return ""


def nd_need(one: SetOfDay) -> tuple[float, float] | None:
    """Return the ND a set asks for and the most it can use, in stops; None for a set without.

    For the wanted aperture, or because the lens does not close as far as the plan works.
    """
    if one.plan is None:
        return None
    inputs, working = one.inputs, one.plan.exposure.working_f_number
    most = 2.0 * math.log2(working / inputs.widest_f_number)
    if any(option.name == "nd" for option in one.plan.exposure.options):
        return 2.0 * math.log2(working / inputs.wanted_f_number), most
    over = 2.0 * math.log2(working / inputs.smallest_f_number)
    return (over, most) if over > SLACK_STOPS else None


def add_filters(tally: Tally, sets: Sequence[SetOfDay]) -> list[Words]:
    """One of each filter a set needs, passed on with the turn. Returns what is left open."""
    left_open, needed = [], defaultdict(list)
    kinds = tally.of("nd filter")
    for one in sets:
        if (need := nd_need(one)) is None:
            continue
        stack = _stack([kind for kind in kinds if kind.stock] or kinds, *need)
        told = {"set": (one.name, "text"), "stops": (need[0], "stops")}
        if not stack:
            left_open.append(say(_("set {set}: ND of {stops} and no filter near it"), **told))
        for kind in stack:
            needed[kind].append(say(_("set {set}: ND of {stops}, passed on with the turn"), **told))
    for kind, why in needed.items():
        tally.add("nd filter", kind, 1, *why)
    return left_open


def _stack(kinds: Sequence[Shelf], stops: float, most_stops: float) -> tuple[str, ...]:
    """Return the filters whose sum comes nearest, the fewest of them; none over the most."""
    stacks = [
        stack
        for number in range(1, min(MOST_STACKED, len(kinds)) + 1)
        for stack in itertools.combinations(kinds, number)
        if sum(one.stops for one in stack) <= most_stops + SLACK_STOPS
    ]
    if not stacks:
        return ()
    best = min(stacks, key=lambda s: (round(abs(sum(k.stops for k in s) - stops), 3), len(s)))
    return tuple(kind.name for kind in best)


def add_meter(tally: Tally, sets: Sequence[SetOfDay]) -> list[Words]:
    """One meter, which reads spots where a set's base is one. Returns what is left open."""
    spots = [one.name for one in sets if one.inputs.base_kind != "incident"]
    meters = [kind for kind in tally.of("meter") if kind.reads_spot or not spots]
    meters.sort(key=lambda kind: (-kind.here, -kind.free, kind.name))
    told = {"sets": ("; ".join(spots), "text")}
    if not meters:
        return [
            say(_("set {sets}: no meter that reads spots is on the shelf"), **told)
            if spots
            else say(_("no meter is on the shelf"))
        ]
    words = say(_("1 for the base and every flash"))
    if spots:
        words = say(_("1 that reads spots, for the base of set {sets}"), **told)
    tally.add("meter", meters[0].name, 1, words)
    return []

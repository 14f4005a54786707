"""Which trigger serves which camera, and the shutter the whole group can use with flash."""

import math
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from planning.physics.errors import OutOfRange
from planning.physics.exposure import SAME_STOP, exact_shutter_s, floor_shutter_s
from planning.physics.ranges import require_not_negative, require_positive


def _(message: str) -> str:
    """Mark a sentence for the translators; a page translates it."""
    return message


@dataclass(frozen=True)
class Body:
    """What of a camera decides which trigger fires on it."""

    name: str
    sync_s: float  # its own flash sync
    shoe: str = "standard"  # standard, other, none
    centre_contact: bool = True
    electronic_only: bool = False
    flash_system: str = ""


@dataclass(frozen=True)
class Trigger:
    """What of a trigger decides which cameras it fires on, and how late."""

    name: str
    advanced: bool = False  # speaks a flash system; otherwise it only fires
    sync_penalty_stops: float = 1 / 3
    fits: str = ""  # a flash system, or empty for any standard shoe


@dataclass(frozen=True)
class Service:
    """The trigger for one camera, or why there is none and what would change that.

    The sentences are marked for translation; ``change`` has a place for ``{system}``.
    """

    trigger: Trigger | None
    reason: str = ""
    change: str = ""
    system: str = ""  # the camera's flash system, in its owner's words


@dataclass(frozen=True)
class GroupSync:
    """The fastest shutter the whole group can use with flash."""

    sync_s: float  # exact member of the series
    slowest: str  # the body that sets it
    cost_stops: float  # what that body alone costs the others; 0 where several tie
    outliers: tuple[str, ...]  # bodies left out, slowest first: a loan body or their own line
    outlier_cost_stops: float  # what the slowest of them would cost everybody
    not_served: tuple[str, ...]


def effective_sync_s(
    body_sync_s: float, penalty_stops: float, measured_sync_s: float | None = None
) -> float:
    """Return the shutter one body can use with its trigger, as an exact third-stop time.

    The body's sync slowed by the trigger's delay and floored to a slower mark; a sync
    measured with that trigger beats both. Written marks are taken at their exact times.
    Raises OutOfRange for a time not above 0 or a negative penalty.
    """
    if measured_sync_s is not None:
        require_positive(measured_sync_s=measured_sync_s)
        return floor_shutter_s(exact_shutter_s(measured_sync_s))
    require_positive(body_sync_s=body_sync_s)
    require_not_negative(penalty_stops=penalty_stops)
    return floor_shutter_s(exact_shutter_s(body_sync_s) * 2**penalty_stops)


def serving_trigger(camera: Body, triggers: Sequence[Trigger]) -> Service:
    """Return the trigger that serves a camera: simple before advanced, least delay first.

    A trigger made for a flash system needs that system; any other needs a standard shoe with
    a centre contact, which simple ones always need. With none that fits, the service says
    why and what to change.
    """
    if camera.electronic_only:
        return Service(
            None,
            _("the electronic shutter does not fire flash"),
            _("set the mechanical shutter, or lend a body that has one"),
        )
    if camera.shoe == "none":
        return Service(
            None, _("the camera has no flash shoe"), _("lend a body, or use its cord socket")
        )
    fitting = [trigger for trigger in triggers if _fits(trigger, camera)]
    if fitting:
        return Service(min(fitting, key=_cheapest))
    return Service(None, *_why_none_fits(camera, triggers), camera.flash_system)


def assign_triggers(
    cameras: Mapping[str, Body],
    triggers: Sequence[Trigger],
    *,
    settled: Mapping[str, str] | None = None,
    failed: Collection[tuple[str, str]] = (),
    fired: Collection[tuple[str, str]] = (),
) -> dict[str, Service]:
    """Return the trigger for each person, as many people as can be with one of their own.

    ``cameras`` and ``settled`` (a trigger's name) are by person, ``failed`` and ``fired`` hold
    (person, trigger) as a rehearsal found them: a measurement, which beats what is recorded of
    the camera. Triggers have names of their own. A settled trigger is kept where it fits, one
    that fired comes before one of its sort that was never tried. Simple ones come before advanced
    ones: whoever a simple one serves shares a simple one when they run out, the one that fewest
    share, and leaves the advanced to those who need it.

    Source: maximum matching by augmenting paths (Berge 1957).
    """
    settled = settled or {}
    fitting = {
        person: _fitting(
            camera,
            triggers,
            failed={name for who, name in failed if who == person},
            fired={name for who, name in fired if who == person},
        )
        for person, camera in cameras.items()
    }
    own: dict[str, Trigger] = {}
    for person, found in fitting.items():
        kept = [trigger for trigger in found if trigger.name == settled.get(person)]
        own |= {person: kept[0]} if kept else {}
    taken = {trigger.name for trigger in own.values()}
    for advanced in (False, True):
        # Those of whom the cheapest that fits is of this sort, and the free units of it.
        asks = {
            person: [one for one in found if one.advanced == advanced and one.name not in taken]
            for person, found in fitting.items()
            if person not in own and found and found[0].advanced == advanced
        }
        own |= _matched(asks)
    _share(own, fitting, fired)
    return {
        person: Service(own[person]) if found else _refused(cameras[person], triggers)
        for person, found in fitting.items()
    }


def _share(
    own: dict[str, Trigger],
    fitting: Mapping[str, Sequence[Trigger]],
    fired: Collection[tuple[str, str]],
) -> None:
    """Let whoever has none of their own share the best that fits, of equals the least shared."""
    users = Counter(trigger.name for trigger in own.values())
    for person, found in fitting.items():
        if person in own or not found:
            continue
        grades = [((person, one.name) in fired, _cheapest(one)) for one in found]
        equals = [one for one, grade in zip(found, grades, strict=True) if grade == grades[0]]
        own[person] = min(equals, key=lambda one: users[one.name])
        users[own[person].name] += 1


def _fitting(
    camera: Body, triggers: Sequence[Trigger], *, failed: Collection[str], fired: Collection[str]
) -> list[Trigger]:
    """Return what fires on a camera, as tried or else by the book, the best to give first."""
    found = [
        trigger
        for trigger in triggers
        if trigger.name not in failed
        and (trigger.name in fired or serving_trigger(camera, [trigger]).trigger)
    ]
    return sorted(found, key=lambda one: (one.advanced, one.name not in fired, _cheapest(one)))


def _cheapest(trigger: Trigger) -> tuple[bool, float]:
    return trigger.advanced, trigger.sync_penalty_stops


def _matched(asks: Mapping[str, Sequence[Trigger]]) -> dict[str, Trigger]:
    """Return a largest set of (person, trigger), no trigger twice, earlier people first."""
    holder: dict[str, str] = {}

    def served(person: str, tried: set[str]) -> bool:
        # A free one first: nobody changes hands without need.
        for trigger in sorted(asks[person], key=lambda one: one.name in holder):
            if trigger.name in tried:
                continue
            tried.add(trigger.name)
            if trigger.name not in holder or served(holder[trigger.name], tried):
                holder[trigger.name] = person
                return True
        return False

    for person in asks:
        served(person, set())
    by_name = {trigger.name: trigger for found in asks.values() for trigger in found}
    return {person: by_name[name] for name, person in holder.items()}


def _refused(camera: Body, triggers: Sequence[Trigger]) -> Service:
    service = serving_trigger(camera, triggers)
    if service.trigger is None:
        return service
    return Service(
        None,
        _("no trigger that fits fired it, at the rehearsal or on a set"),
        _("look for silent shutter, flash switched off and dirty contacts, or lend a body"),
    )


def group_sync_s(sync_by_body: Mapping[str, float | None], outlier_stops: float = 1.0) -> GroupSync:
    """Return the group's sync: its slowest body's, outliers left out.

    ``sync_by_body`` holds effective sync times, None where no trigger serves the body. The
    slowest body (or several equally slow) is an outlier when the others gain
    ``outlier_stops`` or more without it, and so on, as long as half the served bodies stay.
    Raises OutOfRange when no body is served, or for a time or a limit not above 0.
    """
    require_positive(outlier_stops=outlier_stops)
    served = {body: sync_s for body, sync_s in sync_by_body.items() if sync_s is not None}
    if not served:
        raise OutOfRange("sync_by_body must hold at least one body that a trigger serves")
    require_positive(**{f"the sync of {body}": sync_s for body, sync_s in served.items()})
    least_left = len(served) / 2
    slow: dict[str, float] = {}
    while True:
        left = {body: sync_s for body, sync_s in served.items() if body not in slow}
        slowest_s = max(left.values())
        slowest = [body for body, s in left.items() if _stops(s, slowest_s) < SAME_STOP]
        faster = [sync_s for body, sync_s in left.items() if body not in slowest]
        gain_stops = _stops(max(faster), slowest_s) if faster else 0.0
        if gain_stops < outlier_stops - SAME_STOP or len(faster) < least_left:
            break
        slow |= dict.fromkeys(slowest, slowest_s)
    return GroupSync(
        sync_s=slowest_s,
        slowest=slowest[0],
        cost_stops=gain_stops if len(slowest) == 1 else 0.0,
        outliers=tuple(slow),
        outlier_cost_stops=_stops(slowest_s, max(slow.values(), default=slowest_s)),
        not_served=tuple(body for body, sync_s in sync_by_body.items() if sync_s is None),
    )


def _fits(trigger: Trigger, camera: Body) -> bool:
    if trigger.fits:
        same_system = trigger.fits.strip().casefold() == camera.flash_system.strip().casefold()
        return same_system and (trigger.advanced or camera.centre_contact)
    return camera.shoe == "standard" and camera.centre_contact


def _why_none_fits(camera: Body, triggers: Sequence[Trigger]) -> tuple[str, str]:
    if not triggers:
        return _("no trigger comes along"), _("reserve a trigger")
    if camera.shoe != "standard":
        return (
            _("the shoe is not the standard one"),
            _("reserve a trigger for {system}, a shoe adapter or a loan body"),
        )
    if not camera.centre_contact:
        return (
            _("the shoe has no centre contact, which fire-only triggers need"),
            _("reserve an advanced trigger for {system}, or lend a body"),
        )
    return (
        _("every trigger is made for another flash system"),
        _("reserve a fire-only trigger, or one for {system}"),
    )


def _stops(faster_s: float, slower_s: float) -> float:
    return math.log2(slower_s / faster_s)

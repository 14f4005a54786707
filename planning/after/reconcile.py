"""A strobe's own counter beside what the frames say, and what may lie between the two.

Neither is the truth: a counter counts test flashes too, a file does not say whether a lamp that
was only fired did fire.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.after.frames import SetFrames
from planning.after.results import SetTally
from planning.plan.words import Words, say
from planning.plan.words import gettext_noop as _

# Two counts this near agree: common practice, no source.
NEAR_SHARE, NEAR_FLASHES = 0.1, 5.0


@dataclass(frozen=True)
class FlashCount:
    """One lamp: flashes counted on it, and expected by the frames."""

    light: str
    counted: int | None  # by its own counter; None: nobody counted
    expected: float | None  # frames that count as flashed, with the house's test flashes
    reasons: tuple[Words, ...]  # for the difference; empty where the two agree

    @property
    def difference(self) -> float | None:
        """More counted than expected; negative: fewer."""
        if self.counted is None or self.expected is None:
            return None
        return self.counted - self.expected


def flash_counts(
    tally: SetTally,
    frames: SetFrames,
    *,
    test_share: float,
    side_by_side: int = 1,
) -> tuple[FlashCount, ...]:
    """Return counter and frames of each lamp of a set, in the order of its plan.

    Every lamp of a set fires with every frame; at ``side_by_side`` stations each has its own, so
    nothing is expected of a single one there. ``test_share`` is 0.1 where one test flash comes
    to ten frames. Raises ValueError for a negative share.
    """
    if test_share < 0:
        raise ValueError("a share of test flashes is 0 or more")
    expected = None
    if frames.flashed is not None and side_by_side < 2:
        expected = frames.flashed * (1 + test_share)
    return tuple(
        FlashCount(
            light=head.light,
            counted=head.flashes,
            expected=expected,
            reasons=tuple(_reasons(head.flashes, expected, tally, frames)),
        )
        for head in tally.heads
    )


def _reasons(
    counted: int | None, expected: float | None, tally: SetTally, frames: SetFrames
) -> Sequence[Words]:
    if counted is None or expected is None:
        return ()
    if abs(counted - expected) <= max(NEAR_SHARE * expected, NEAR_FLASHES):
        return ()
    return _more(tally, frames) if counted > expected else _fewer(tally, frames)


def _more(tally: SetTally, frames: SetFrames) -> list[Words]:
    reasons = []
    if missing := _without_files(tally, frames):
        reasons.append(say(_("No frames of {names} are here."), names=(", ".join(missing), "text")))
    more = (frames.at_or_below_sync or 0) - (frames.flashed or 0)
    if more > 0:
        reasons.append(
            say(
                _(
                    "Frames at the sync or slower, taken outside own turns: {n}. A live trigger "
                    "on a camera out of turn fires too."
                ),
                n=(more, "whole"),
            )
        )
    fast = frames.taken - (frames.flashed or 0)
    if fast > 0:
        reasons.append(
            say(
                _(
                    "Frames of turns that were faster than the sync: {n}. By high-speed sync they "
                    "fire the lamp too, otherwise they show a dark band."
                ),
                n=(fast, "whole"),
            )
        )
    reasons.append(say(_("More test flashes than the house counts on.")))
    reasons.append(say(_("Frames deleted in the camera, or not brought in.")))
    return reasons


def _fewer(tally: SetTally, frames: SetFrames) -> list[Words]:
    reasons = []
    if tally.misfires:
        reasons.append(say(_("Misfires noted on this set: {n}."), n=(len(tally.misfires), "whole")))
    reasons.append(say(_("Frames taken with the lamp off or not ready yet count as flashed here.")))
    reasons.append(say(_("Somebody stood at another light, or this one was off for a while.")))
    reasons.append(
        say(_("The counter was read before the last turn, or set to nought in between."))
    )
    return reasons


def _without_files(tally: SetTally, frames: SetFrames) -> list[str]:
    seen = {*frames.by_booking, *frames.other_by_booking}
    return [one.name for one in tally.people if one.turns and one.booking_id not in seen]

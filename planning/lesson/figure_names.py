"""The figures a teaching point's text may ask for by name, and how a text is filled with them.

``{working}`` becomes the camera's aperture of the set the point is taught on. A line may hold
several ways of saying a thing, " | " between them: the first that asks for nothing the set lacks
is said; where every way lacks something, the line is left out.
"""

import re
from collections.abc import Iterator, Mapping

from planning.lesson.points.point import _

WAYS = " | "
NAMES = {  # name: what stands there
    "how_base": _("how the base is read here: meter at the backdrop, or spot and placement"),
    "base": _("aperture the base reading shows, flash off; “about” until it is metered"),
    "under": _("how far the camera is closed below the base, in stops"),
    "working": _("aperture the camera is set to"),
    "start": _("shutter the set begins at"),
    "sync": _("fastest shutter of the whole group with its triggers"),
    "iso": _("ISO of the set"),
    "white_balance": _("white balance in kelvin, as a bare number"),
    "face": _("aperture the face reads by daylight alone; “about” until it is metered"),
    "ladder": _("all shutters of the ladder, fastest first"),
    "slowest": _("slowest shutter of the ladder"),
    "hand_held": _("slowest shutter of the ladder that hands can hold"),
    "backdrop_first": _("backdrop at the start, in stops from mid-grey"),
    "backdrop_last": _("backdrop at the ladder's end, in stops from mid-grey"),
    "face_rise": _("how far daylight lifts the face down the ladder, in stops"),
    "ratio_first": _("lit to shadow at the start"),
    "ratio_last": _("lit to shadow at the ladder's end, if it differs"),
    "day_ratio": _("sunny side to shadow by daylight alone, where the flash is to fill"),
    "last_shutter": _("shutter of the last turn, where the light falls and there is a schedule"),
    "key": _("modifier of the lamp that does the set's job, or the lamp's name"),
    "distance": _("that lamp's distance, as on the cord"),
    "power": _("power it is expected to need, with “about”"),
    "key_alone": _("what that lamp reads alone, dome to the lamp"),
    "all_in": _("what the meter shows with everything on, dome to the lens"),
    "lamp_height": _("height of that lamp"),
    "half_distance": _("half the distance of that lamp"),
    "half_power": _("power for the same reading there, if the head can be set so low"),
    "double_distance": _("twice the distance of that lamp"),
    "double_power": _("power for the same reading there, if the head has it"),
    "double_short": _("stops the head lacks for it there, if it does"),
    "ten_cm": _("stops that lamp loses over 10 cm"),
    "second_face": _("a face half a metre farther from that lamp, in stops against the first"),
    "waist": _("the waist in stops against the face"),
    "feet": _("the feet in stops against the face"),
    "gap": _("gap behind the subject that leaves that lamp three stops down on the backdrop"),
    "recycle": _("recycling time of that lamp after a full flash"),
    "flash_time": _("flash duration of that lamp at full power (t 0.1)"),
    "gel": _("gel on that lamp"),
    "gel_loss": _("what that gel costs, in stops"),
    "flash_k": _("colour of the flash through the gel in kelvin, as a bare number"),
    "fill": _("modifier of the fill lamp, where the set has one beside its key"),
    "fill_alone": _("what the fill lamp reads alone"),
    "fill_power": _("power it is expected to need, with “about”"),
    "sun": _("where the sun stands at the start, for whoever holds the camera"),
    "sun_side": _("left or right: the side of the camera the sun stands on, where it counts"),
    "sun_behind": _("how far aside it stands, if that is behind the model"),
    "sun_match": _("lamp height that meets the sun's angle"),
    "shadow_length": _("length of the model's shadow at the start"),
    "shadow_to": _("where that shadow points, in degrees true"),
    "wide": _("wide aperture wanted, where a way to it works"),
    "nd": _("ND for it, in stops"),
    "nd_aperture": _("aperture the camera is set to behind that ND"),
    "hss_shutter": _("shutter of high-speed sync for it"),
    "hss_aperture": _("aperture of high-speed sync for it"),
    "hss_power": _("power high-speed sync is expected to need, with “about”"),
    "sharp_near": _("nearest sharp distance as planned"),
    "sharp_far": _("farthest sharp distance as planned"),
    "wide_near": _("nearest sharp distance at the wide aperture"),
    "wide_far": _("farthest sharp distance at the wide aperture"),
    "focal": _("focal length"),
    "camera_distance": _("distance from the camera to the subject"),
    "face_height": _("height of the face"),
    "wardrobe": _("wardrobe, in the words of the set"),
    "backdrop": _("backdrop, in the words of the set"),
    "cloth_lit": _("wardrobe on its lit side at the start, in stops from mid-grey"),
    "cloth_shaded": _("wardrobe on its shadow side at the start, in stops from mid-grey"),
    "cloth_shaded_last": _("wardrobe on its shadow side at the ladder's end"),
    "frames": _("frames for each attendee"),
    "turn": _("length of one turn"),
    "falls": _("stops the daylight loses in ten minutes, where it falls"),
    "re_meter": _("minutes after which the base is metered again"),
    "end": _("when the set is over, on the clock of the place"),
}
_PLACE = re.compile(r"\{([^{}\n]*)\}")


def unknown(text: str) -> Iterator[str]:
    """Yield what stands in brackets and names no figure, and each bracket without its fellow."""
    for name in _PLACE.findall(text):
        if name not in NAMES:
            yield "{" + name + "}"
    yield from re.findall(r"[{}]", _PLACE.sub("", text))


def filled(line: str, figures: Mapping[str, str | None]) -> str:
    """Return the first way of the line whose figures are all there, or an empty text.

    What ``unknown`` finds in it stands there as it was typed.
    """
    for way in line.split(WAYS):
        asked = [name for name in _PLACE.findall(way) if name in NAMES]
        if all(figures.get(name) for name in asked):
            said = _PLACE.sub(lambda found: figures.get(found[1]) or found[0], way).strip()
            worded = way.lstrip().startswith("{") and said[1:2].isalpha()  # "f/8" stays as it is
            return said[:1].upper() + said[1:] if worded else said
    return ""

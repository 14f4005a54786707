"""Teaching points of the method itself: base, shutter, wide apertures, falling light."""

from planning.lesson.points.point import Point, _

ONE_UNDER = Point(
    "one-under",
    _("Base reading and one under"),
    objective=(
        _(
            "Read the backdrop without flash, work {under} under it, and bring the strobe to "
            "that aperture. | Read the backdrop without flash, set the camera by it, and bring "
            "the strobe to that aperture."
        ),
    ),
    demo=(
        _("Flash off, {how_base}: expect {base} at {start}, ISO {iso}."),
        _(
            "Close {under}: set {working}. One frame without flash: backdrop a little dark, face "
            "darker than you want it. | Set {working}. One frame without flash: look at backdrop "
            "and face."
        ),
        _(
            "Flash on, this lamp alone, dome to the lamp: {key_alone}. Power or cord brings it "
            "there; expect {power} at {distance}."
        ),
        _(
            "Everything on, dome at the chin and to the lens: it must show {all_in}. Lay both "
            "frames side by side."
        ),
        _("From here on nobody touches the lamp: the next choice is the shutter's."),
    ),
    task=(
        _("Take the base yourself before you look at the sheet; write it on the front."),
        _("One frame without flash, one with it, nothing else changed."),
        _("Then your own picture from the same recipe: say first how dark the backdrop should be."),
    ),
    vary=(
        _("Nothing under, one stop under, two: the flash metered to each aperture."),
        _("The base off the lightest, the middle, the darkest part of the backdrop."),
    ),
    faults=(
        _("Backdrop right, face dark: the head did not give its mark; meter the lamp alone."),
        _(
            "All of it a stop off: the meter stood at another shutter or ISO; set it to {start}, "
            "ISO {iso}."
        ),
        _(
            "Face a little dark though the meter agreed: the dome looked at the lamp; for the last "
            "reading it looks at the lens."
        ),
        _("Dark band along an edge: shutter faster than the group's sync; back to {sync}."),
    ),
    critique=(
        _("Where does the eye go first, and which stop sent it there?"),
        _("Would it stand two under? Would it stand without any?"),
        _("Which frame says where we are, which one who it is?"),
    ),
    exercise=(
        _(
            "In the evening, by a window, with a desk lamp: set the camera one stop under for the "
            "view outside, then move the lamp until the face, or a jug, is right. Leave the "
            "camera alone."
        ),
    ),
)

SHUTTER_TRIMS = Point(
    "shutter-trims",
    _("The shutter trims the background"),
    objective=(
        _("Make the backdrop lighter or darker by the shutter alone, while the flash stays put."),
    ),
    demo=(
        _(
            "Lock {working}, {start} and the lamp, {power}. Say why it works: the flash is over "
            "in a blink, the shutter only lets in more or less daylight. | Lock {working}, "
            "{start} and the lamp. Say why it works: the flash is over in a blink, the shutter "
            "only lets in more or less daylight."
        ),
        _("Walk the ladder, same pose, nothing else touched: {ladder}."),
        _("Backdrop against mid-grey: {backdrop_first} at the start, {backdrop_last} at the end."),
        _(
            "Look at the face too: it rises by {face_rise}, for daylight falls on it as well, and "
            "the ratio goes from {ratio_first} to {ratio_last}. | Look at the face too: it rises "
            "by {face_rise}, for daylight falls on it as well. | Look at the face too: daylight "
            "falls on it as well, so it rises a little with every step."
        ),
        _(
            "Once the wrong way, on the slowest body: faster than {sync}, until the dark band "
            "shows."
        ),
    ),
    task=(
        _("Down the ladder, feet and pose as they are; name your step before you see the next."),
        _("Then make the picture at that step: {frames} frames in all, so choose."),
    ),
    vary=(
        _("A light and a dark piece of the same backdrop behind the head."),
        _("A slower step with the lamp turned down, so that the face truly stays."),
        _("The model walking at the slow end: daylight blurs, flash does not."),
    ),
    faults=(
        _(
            "The face gets brighter too: it stands in the same daylight; shade it, or turn the "
            "lamp down."
        ),
        _(
            "Soft at the slow end: hands give out after {hand_held}; lean on something. | Soft at "
            "the slow end: hands give out; lean on something, or end a step sooner."
        ),
        _("A ghost beside the model: daylight drew it; stand still, or take a faster step."),
        _("Somebody turned the aperture: flash and daylight both moved; back to {working}."),
    ),
    critique=(
        _("Which step says what time of day it is?"),
        _("Where did the face begin to lose its shape?"),
        _("What did the slow end cost: sharpness, cloth, or nothing?"),
    ),
    exercise=(
        _(
            "Camera on a table at dusk, a window in the frame: 2, 4 and 8 seconds, and in each of "
            "them light a cup with a torch for one second. The cup stays, the window climbs."
        ),
    ),
)

HSS_OR_ND = Point(
    "hss-or-nd",
    _("High-speed sync against ND"),
    objective=(
        _(
            "Work at {wide} in daylight, and know what each way to it costs. | Work wide open in "
            "daylight, and know what each way to it costs."
        ),
    ),
    demo=(
        _("At {start} this light wants {working}. Show what that leaves sharp behind the head."),
        _(
            "Glass: {nd} of ND, camera {nd_aperture}, same shutter, same power, any trigger. The "
            "meter "
            "still shows {working}: two figures, both right. | Glass: each stop of ND opens the "
            "lens a stop at the same shutter and power; the meter still shows {working}."
        ),
        _(
            "High-speed sync: camera {hss_aperture}, {hss_shutter}, the advanced trigger; expect "
            "{hss_power}. | High-speed sync: the flash must burn all the while the slit travels; "
            "a stop or two go at once, then one for each stop of shutter."
        ),
        _("Compare finder, colour, waiting time, and how hot the head runs: look, do not touch."),
        _("The third way costs nothing: open shade, or an hour later."),
    ),
    task=(
        _("The same portrait each way. Write down power and waiting time beside it."),
        _("Say which you would take for six people in a row, and why."),
    ),
    vary=(
        _("Half the glass: an aperture between the two may be enough."),
        _("High-speed sync with the lamp half as far."),
        _("The same frame in open shade, without either."),
    ),
    faults=(
        _(
            "Dark with glass on: somebody set the meter's figure; the camera stands at "
            "{nd_aperture}. | "
            "Dark with glass on: somebody closed the lens to the meter's figure; open it again."
        ),
        _("Focus hunts behind dark glass: focus first, then screw it on."),
        _(
            "A band across: faster than {sync} with a fire-only trigger; slower, or the advanced "
            "one."
        ),
        _("Frames missing, head hot: near full every time; pause, the maker's count is the limit."),
        _("A brown or purple cast: white balance off a grey card, through the glass."),
    ),
    critique=(
        _("Can you tell from the picture which way it was made?"),
        _("What did the wide aperture take out, and was it worth the power?"),
        _("Which way would have let everybody shoot more?"),
    ),
    exercise=(
        _(
            "A plant in the garden at noon, at f/2.8 and at f/11: note the shutter each one needs, "
            "and how many stops the wide one lies beyond your camera's sync speed. That is the "
            "glass to buy."
        ),
    ),
)

DEPTH = Point(
    "depth",
    _("Depth of field outdoors"),
    objective=(_("Choose how much of the place stays readable behind the person."),),
    demo=(
        _(
            "At {working}, {focal}, {camera_distance} away: sharp from {sharp_near} to "
            "{sharp_far}. Show it large."
        ),
        _(
            "At {wide}: from {wide_near} to {wide_far}. Same person, another place. | Two stops "
            "wider where the light allows: the depth halves. Same person, another place."
        ),
        _("Half as far from the model at the same aperture: about a quarter of the depth."),
        _("Model two steps farther from the backdrop: it softens more than a stop would do it."),
    ),
    task=(
        _("One picture that needs the place, one that needs only a hint of it."),
        _("Focus on the nearer eye, by one point; say the aperture before you set it."),
    ),
    vary=(
        _("Distance to the model; distance from model to backdrop; only then the aperture."),
        _("A longer lens from farther back, framed alike: what grows behind?"),
    ),
    faults=(
        _("Ear sharp, eye soft: you swayed after focusing; one foot forward, focus again, press."),
        _("Backdrop neither sharp nor soft: decide; two stops, or two steps."),
        _("Soft all over at the smallest stop: diffraction; come back to f/16 or wider."),
        _("The second person soft: turn the two to one distance before you close the lens."),
    ),
    critique=(
        _("Could somebody find this place from the picture? Should they?"),
        _("What lies in the sharp part that does not belong to it?"),
        _("Distance or aperture: which of them made the difference?"),
    ),
    exercise=(
        _(
            "A fence, taken along its length at f/2.8, f/8 and f/16 from 1, 2 and 4 m. Mark the "
            "first and the last sharp post in each of the nine pictures."
        ),
    ),
)

LAST_LIGHT = Point(
    "last-light",
    _("Last light"),
    objective=(
        _(
            "Work a falling sky by a timetable: the aperture stays, the shutter follows, the ISO "
            "goes up when hands give out, everybody has a turn."
        ),
    ),
    demo=(
        _(
            "The light falls {falls} in ten minutes: meter the sky again every {re_meter}. | "
            "Near sunset the light falls a stop in five to ten minutes: meter the sky again at "
            "every turn."
        ),
        _(
            "Aperture {working} stays. The shutter follows: {start} at ISO {iso} now, "
            "{last_shutter} for the last. | Aperture {working} stays, ISO {iso} until hands give "
            "out; the shutter follows the meter, a third slower each time it says so."
        ),
        _(
            "When hands give out: ISO times four, flash two stops down, shutter two stops faster. "
            "The picture stays."
        ),
        _("The lamp is metered once and then left: only the sky is falling."),
        _("Before the first turn: torches out, way back shown, who counts heads. Away by {end}."),
    ),
    task=(
        _(
            "Your turn is {turn}: meter, set the shutter, say it aloud, shoot. Nobody waits for "
            "a better sky."
        ),
        _("Between turns: hold the torch on the ground, never in a face."),
    ),
    vary=(
        _("The sky one stop under, then two."),
        _("Camera low, so that there is only sky behind."),
        _("A warm gel on the lamp against the blue."),
    ),
    faults=(
        _("The sky goes black from turn to turn: the shutter stayed behind; meter, then set."),
        _("The face burnt after the change: ISO went up, the flash did not come down two stops."),
        _("No focus in the dark: torch on the cheek, focus, hold it, torch off, press."),
        _("Blurred: hands gave out a turn ago; tripod, or the ISO step now."),
    ),
    critique=(
        _("Lay the pictures in order of time: where is the sky best, and was the face ready?"),
        _("What did you decide too late?"),
        _("Would you begin earlier, or with less light?"),
    ),
    exercise=(
        _(
            "From a window, camera on the sill, same aperture and ISO: one frame every five "
            "minutes for forty minutes from sunset on, the shutter as the meter says. How many "
            "stops go in each five minutes?"
        ),
    ),
)

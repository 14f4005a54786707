"""Teaching points of the lamp: how far, how large, from where, how much."""

from planning.lesson.points.point import Point, _

DISTANCE = Point(
    "distance",
    _("Distance and fall-off"),
    objective=(
        _("Use the cord as a dimmer and as a brush: near falls off fast, far lights evenly."),
    ),
    demo=(
        _("Lamp at {distance}, {power}: alone it reads {key_alone}, dome to the lamp."),
        _(
            "Half the cord, {half_distance}, the same reading: expect {half_power}. | Half the "
            "cord: two stops more from a small lamp, a little less from a large one; turn it down "
            "to the same reading."
        ),
        _(
            "Twice the cord, {double_distance}, the same reading: expect {double_power}. | Twice "
            "the cord, {double_distance}: this head runs out, {double_short} short. That is what "
            "near saves. | Twice the cord asks for two stops more from a small lamp, a little less "
            "from a large one. That is what near saves."
        ),
        _(
            "At {distance} meter face, waist, feet: waist {waist}, feet {feet} stops against the "
            "face. Again at twice the cord: nearly alike."
        ),
        _(
            "Then the backdrop: it stays three stops free of the lamp from {gap} behind the "
            "subject on."
        ),
    ),
    task=(
        _(
            "Knot the cord where you want it. One picture near, one far, the same reading at the "
            "face."
        ),
        _("Say what happened to hands, shoes and wall before you look."),
    ),
    vary=(
        _("The lamp nearer and aimed past the face, so that its edge lights it."),
        _(
            "The model a hand's breadth in and out without a new reading: {ten_cm} stops for 10 "
            "cm. "
            "| The model a hand's breadth in and out without a new reading."
        ),
    ),
    faults=(
        _("Forehead burnt, chin right: too near and too high; lower it, or half a metre back."),
        _(
            "The model drifts out of the light: mark the feet; the nearer the lamp, the sooner "
            "it shows."
        ),
        _(
            "Face and wall equally bright: the lamp is far for that wall; nearer lamp, or wall "
            "farther."
        ),
        _("The lamp stands in the picture: aim it past, crop, or step back and turn it up."),
        _("Eyes hurt: never near full power under half a metre; say “flash” before every frame."),
    ),
    critique=(
        _("How far down the body does the light hold, and should it?"),
        _("Which picture looks like this place, which like a studio?"),
        _("Where would the cord end for a whole figure?"),
    ),
    exercise=(
        _(
            "One desk lamp, an apple, a wall behind it: lamp at 25 cm, 50 cm and 1 m, the camera "
            "set "
            "anew so that the apple is always as bright. Watch what the wall does."
        ),
    ),
)

HARD_SOFT = Point(
    "hard-soft",
    _("Hard and soft, near and far"),
    objective=(
        _("Choose the shadow's edge: how large the lamp looks from the face, and nothing else."),
    ),
    demo=(
        _("{key} at {distance}: find the edge of the nose's shadow, and the lamp in the eyes."),
        _(
            "Twice as far, {double_distance}, the same reading, expect {double_power}: the edge "
            "sharpens. | Twice as far, the same reading if the head has it: the edge sharpens."
        ),
        _(
            "From the same spot without its cloth, or with a plain reflector: meter anew, "
            "compare the edge."
        ),
        _("Hard from near the lens, then from the side: skin is smooth, then every pore shows."),
        _("The sun is half a degree across: nothing here is harder."),
    ),
    task=(
        _("The same pose hard and soft, both metered to {working}."),
        _("Say which cloth, which face, which story each of them suits."),
    ),
    vary=(
        _("Half the box covered with a cloth."),
        _("Hard light at 30 degrees off the lens, then at 60."),
        _("A cloth held between sun and face, against the box."),
    ),
    faults=(
        _(
            "A softbox with hard edges: too far; as far as it is wide it is soft, four times as "
            "far it is not."
        ),
        _(
            "Every shadow has two edges: sun and lamp both draw; shade the face, or lamp to the "
            "sun's side."
        ),
        _("No power left: cloth eats about two stops; nearer, or a reflector."),
        _(
            "The box pulls in the gusts: smaller, lower, a hand on the stand; see the stand's "
            "line below."
        ),
    ),
    critique=(
        _("Follow one edge: how wide is it at the nose, how wide on the wall?"),
        _("Which flatters, and which one tells?"),
        _("What lamp was it? Read it off the eyes."),
    ),
    exercise=(
        _(
            "An egg on paper and a cool LED lamp: at 30 cm, at 2 m, then through tracing paper "
            "hung "
            "halfway. Draw the edge of the shadow each time."
        ),
    ),
)

SUN_SIDE = Point(
    "sun-side",
    _("The sun's side"),
    objective=(_("Keep one sun in the picture: the lamp on the sun's side and near its height."),),
    demo=(
        _(
            "Everybody points at the sun, then at their own shadow. The sun stands {sun}. | No "
            "sun on the set: look for the brightest part of the sky, it is the side to take."
        ),
        _(
            "Lamp on the {sun_side}, its front lifted toward {sun_match}: its shadow falls with "
            "the sun's. | Lamp on the {sun_side}: its shadow falls with the sun's. | Behind the "
            "model, {sun_behind}, it is the edge light and leaves no side to take: turn until it "
            "stands aside, and place the lamp there. | Here the sun is the main light, "
            "{day_ratio} to its shadow: the lamp fills from across or from the lens, and draws "
            "no shadow of its own. | Lamp from the brighter side of the sky."
        ),
        _("The same lamp from the other side: look at nose, ground and wall. Do two lights draw?"),
        _(
            "The model's shadow is {shadow_length} long toward {shadow_to}; look again in half "
            "an hour."
        ),
        _(
            "The model's back to the sun: no side to take then. The sun draws the edge, the lamp "
            "comes from the front."
        ),
    ),
    task=(
        _("Place the lamp yourself before you look at the plan; say which shadow you followed."),
        _("One picture with one sun, one with two on purpose. Can you defend the second?"),
    ),
    vary=(
        _("Turn the camera a quarter and find the side anew."),
        _("The model's back to the sun: edge from the sun, face from the lamp."),
        _("The lamp lower and softer until its shadow is gone."),
    ),
    faults=(
        _(
            "Two shadows on the ground: lamp to the sun's side, or softer, or farther from that "
            "ground."
        ),
        _("Sun higher than the stand goes: match its side only, and keep the lamp lower."),
        _(
            "Squinting: turn the face, eyes shut till the count of three; nobody looks into the "
            "sun."
        ),
        _(
            "Veil over the picture: sun on the glass; shade it by hand, and never through an "
            "optical finder."
        ),
    ),
    critique=(
        _("Where is the sun in this picture? How do you know?"),
        _("Does any shadow disagree?"),
        _("In an hour, where would the lamp have to stand?"),
    ),
    exercise=(
        _(
            "Stand a pencil on white paper in the sun, morning, noon and evening; photograph it "
            "and "
            "mark on the paper where a lamp would have to stand, and how high."
        ),
    ),
)

RATIO = Point(
    "ratio",
    _("Ratio and fill"),
    objective=(
        _("Set the lit side against the shadow on purpose, and read it before the screen does."),
    ),
    demo=(
        _(
            "Lamp off: daylight alone is {day_ratio} here, sunny side to shadow. Meter both. | "
            "Lamps off, dome at the chin: the day alone gives the face {face} at {start}. It is "
            "fill already."
        ),
        _(
            "Lamp into the shadow, {power} at {distance}: daylight at {day_ratio} becomes "
            "{ratio_first}. Two to one is a stop, four to one two, eight to one three. | Lamp "
            "on: lit to shadow is {ratio_first} at {start}. Two to one is a stop, four to one "
            "two, eight to one three. | Lamp on, read the lit and the shadow side: two to one is "
            "a stop, four to one two, eight to one three."
        ),
        _(
            "{fill} in: alone {fill_alone}, expect {fill_power}. Only the shadow side may "
            "change. | "
            "White cloth or board in from the other side: only the shadow side may change."
        ),
        _(
            "The shutter lifts sun and shadow together and leaves the lamp behind: from "
            "{day_ratio} to {ratio_first} is the lamp's work alone. | The shutter fills too: at "
            "{slowest} the ratio is {ratio_last}. | The shutter fills too: a stop slower, and "
            "the shadow opens."
        ),
    ),
    task=(
        _("Guess the ratio from the face, then meter both sides: dome shaded from the other lamp."),
        _("One picture at 2:1, one at 8:1: say for whom each of them is."),
    ),
    vary=(
        _("White board at 2 m, 1 m, half a metre; then the black one."),
        _("Fill from the lens, from below, from the key's own side."),
        _("The model turned so that the shadow side faces the camera."),
    ),
    faults=(
        _("A second nose shadow: the fill draws; nearer to the lens, larger, or weaker."),
        _("Flat: the fill stands within a stop of the key; a stop down, or farther."),
        _("Looks pasted into the sun: fill as strong as the sun; a stop and more below it."),
        _(
            "The lit side rose with the fill: it reaches both; aim it at the shadow side, meter "
            "all of it anew."
        ),
    ),
    critique=(
        _("Name the ratio. Now the number beside it: who was nearer?"),
        _("What do you still see in the shadow, and do you need it?"),
        _("Does the ratio fit the weather in the backdrop?"),
    ),
    exercise=(
        _(
            "A teapot beside a window and a sheet of white card at 1 m, 50 cm and 20 cm: "
            "spot-meter "
            "both sides with the camera and write the difference in stops under each picture."
        ),
    ),
)

"""Teaching points of the picture: cloth, movement, height, story, more people than one."""

from planning.lesson.points.point import Point, _

DARK_ON_BRIGHT = Point(
    "dark-on-bright",
    _("Dark on bright, dark on dark"),
    objective=(_("Hold the cloth against a bright backdrop, and part dark from dark."),),
    demo=(
        _("Flash off, {how_base}: expect {base}. The backdrop decides the camera, not the cloth."),
        _(
            "{wardrobe}, in stops from mid-grey: lit {cloth_lit}, its shadow side {cloth_shaded}. "
            "Under −4.5 nothing is left of it. | Dark cloth, even lit, lands two stops and more "
            "under mid-grey; its shadow side is where it goes first."
        ),
        _(
            "Turn the cloth to the lamp: folds, lapel and shoulder catch a sheen. Dark cloth "
            "shows by its lights."
        ),
        _(
            "Down the ladder: at {slowest} the shadow side comes up to {cloth_shaded_last}, and "
            "the backdrop with it to {backdrop_last}. | Down the ladder: the shadow side comes "
            "up, and the backdrop with it."
        ),
        _(
            "Against the dark part: an edge, from a lamp or the sun behind; or a pale collar, a "
            "hand, a hat."
        ),
    ),
    task=(
        _("Hold the cloth against the bright part without opening the lens."),
        _(
            "Then the same cloth against the darkest part: make the outline readable, one means "
            "only."
        ),
    ),
    vary=(
        _("Large and near lamp for texture, small and far for shape."),
        _("A step to the side: what stands behind head and shoulders?"),
        _("Left as a silhouette, on purpose."),
    ),
    faults=(
        _(
            "The coat is a hole: turn it to the lamp, or a slower step; opening the lens burns "
            "the wall."
        ),
        _("Hair runs into the trees: a light patch behind the head, or an edge half a stop over."),
        _("The wall is blown: base off its brightest part, or place it lower."),
        _("The camera's own meter opened up on black: manual, and believe the incident reading."),
    ),
    critique=(
        _("Where does the cloth end? Follow the outline with a finger."),
        _("Which is brightest: face, collar or wall? Should it be?"),
        _("If it is a silhouette: is the shape good enough?"),
    ),
    exercise=(
        _(
            "A black jumper on a chair before a window: set the camera for the window, then bring "
            "the jumper back with a white card. At what distance does the weave begin to show?"
        ),
    ),
)

MOTION = Point(
    "motion",
    _("Motion and flash duration"),
    objective=(
        _(
            "Stop a movement by flash, draw its trail by daylight, and see which of the two you "
            "got."
        ),
    ),
    demo=(
        _(
            "One live trigger, no bursts. Ask once more: whoever is flash-sensitive sits out, or "
            "covers one eye and turns away."
        ),
        _(
            "Look over the ground: stones, wet, edges. The model tries it slowly first and may "
            "say no."
        ),
        _(
            "Count of three, one frame, at {start}: the flash stops it. This head lasts "
            "{flash_time} "
            "at full; turned down most are shorter, the maker says. | Count of three, one frame, "
            "at "
            "{start}: the flash stops it. Turned down most heads flash shorter; the maker says."
        ),
        _(
            "The same at {slowest}: daylight draws a trail beside the sharp figure. | The same "
            "two stops slower: daylight draws a trail beside the sharp figure."
        ),
        _(
            "Wait for the ready lamp each time: {recycle} after a full flash. | Wait for the "
            "ready lamp each time."
        ),
    ),
    task=(
        _("Two frames that stop it, two that show it moving. One press a count."),
        _("Say before each which of them it is going to be."),
    ),
    vary=(
        _("Hair, cloth, a jump, water: from slow to fast."),
        _("Lamp nearer and turned down: a shorter flash."),
        _("The camera moving with the model at the slow end."),
    ),
    faults=(
        _(
            "Blurred edge round a sharp figure: daylight too near the flash; faster shutter, or "
            "one more stop under."
        ),
        _("Blurred in spite of the flash: head near full; nearer, and turned down."),
        _("Every second frame dark: fired before it was ready; wait for lamp or beep."),
        _("The top of the jump missed: press before it; up there all stands still for a moment."),
    ),
    critique=(
        _("What stopped it here: the flash or the shutter? How do you see it?"),
        _("Does the trail lead somewhere?"),
        _("Would you know what comes next?"),
    ),
    exercise=(
        _(
            "A running tap in daylight at 1/1000, 1/60 and 1/4: find the shutter at which drops "
            "become threads."
        ),
    ),
)

HEIGHT_LINES = Point(
    "height-lines",
    _("Camera height and leading lines"),
    objective=(
        _("Let the camera's height place the horizon, and let a line bring the eye to the face."),
    ),
    demo=(
        _(
            "The face is {face_height} up. Camera there, then at the knee, then over the head: "
            "one spot, three pictures."
        ),
        _("The horizon out of the neck: under the shoulders, or over the head."),
        _(
            "Walk until a line, path, wall or edge of water, starts in a corner and ends at the "
            "model."
        ),
        _(
            "A lower camera has another backdrop: flash off, meter again. The base on this "
            "sheet, {base}, is for the camera as planned."
        ),
        _(
            "Nobody steps back with an eye at the finder: somebody stands behind, at an edge "
            "always."
        ),
    ),
    task=(
        _("Three heights before the first frame that counts; say what each does to the horizon."),
        _("One picture in which a line does the work, and the model stands still."),
    ),
    vary=(
        _("Lens as it is: move the feet, not the zoom."),
        _("The line leading out of the picture instead of in."),
        _("The model at the end of the line, then a third along it."),
    ),
    faults=(
        _("The horizon cuts the neck: down by a hand, or up by two."),
        _("Short legs, large head: camera too high and too near; knee height, two steps back."),
        _("The place leans: level first, then press; on sand one foot always sinks."),
        _("The lamp comes into a low picture: raise it, or nearer and from the side; new reading."),
    ),
    critique=(
        _("Where does the eye enter, and where does it leave?"),
        _("What has the horizon cut?"),
        _("How tall is the model in this picture, and is that what you meant?"),
    ),
    exercise=(
        _(
            "One chair at the end of a hall: nine frames, three heights from three distances, no "
            "zoom. Keep one and say why."
        ),
    ),
)

STORY = Point(
    "story",
    _("Telling a story with props and sequence"),
    objective=(
        _("Tell one sentence in five frames: the place, the person, the hands, the turn, the end."),
    ),
    demo=(
        _("Say the sentence aloud first: who wants what, and what is in the way."),
        _(
            "The prop is used, not held: the rope is coiled, the letter opened. Nothing that "
            "looks like a weapon in a public place."
        ),
        _("Five frames, wide to near and out again: place, person, hands, the turn, what is left."),
        _(
            "One light for all five: {working}, {start}, the lamp where it is. Only feet and "
            "lens move."
        ),
        _(
            "Or let evening fall in five frames: begin at {slowest}, end at {start}, and leave "
            "the lamp alone."
        ),
    ),
    task=(
        _("Write your sentence on the back of your hand; five frames in your turn, in that order."),
        _("Direct with verbs: wait, look for, let go. Show the model the last frame."),
    ),
    vary=(
        _("The same five without a face."),
        _("The end first."),
        _("One prop fewer."),
    ),
    faults=(
        _(
            "Five good pictures, no story: nothing changes from the first to the last; change "
            "one thing."
        ),
        _("The prop poses: give it something to do, and shoot while it is done."),
        _("The frames do not belong together: light or white balance moved; lock both."),
        _("All from one distance: three steps in for the hands, six out for the place."),
    ),
    critique=(
        _("Tell the story from the pictures. Was it the sentence on the hand?"),
        _("Which frame could go?"),
        _("What does the light say that the prop does not?"),
    ),
    exercise=(
        _(
            "Breakfast in five frames, no faces, one window for light: begin before the kettle "
            "and end with crumbs. Show it to somebody who was not there."
        ),
    ),
)

TWO_PEOPLE = Point(
    "two-people",
    _("Light for two or more people"),
    objective=(_("Give two faces the same light, or one of them less on purpose."),),
    demo=(
        _(
            "Both on one arc round the lamp, the cord to each nose: {distance}. Meter both, dome "
            "to the lens."
        ),
        _(
            "One of them half a metre farther from the lamp: {second_face} stops. | One of them "
            "half a metre farther from the lamp: meter it, and see."
        ),
        _(
            "The lamp at {double_distance}, expect {double_power}: the difference shrinks. | The "
            "lamp farther and the difference shrinks; at {double_distance} this head is "
            "{double_short} short. | The lamp farther and the difference shrinks, for more power."
        ),
        _("Aim at the farther one: the edge of the light is enough for the nearer."),
        _("Two rows: sharp from {sharp_near} to {sharp_far} at {working}. Put them into it."),
    ),
    task=(
        _("Set the two so that both read {all_in}, before you think of the pose."),
        _("One picture as equals, one in which the light says who leads."),
    ),
    vary=(
        _("Shoulder to shoulder, one behind the other, back to back."),
        _("The lamp in the middle above the lens, then from one side."),
        _("Three people: a shallow arc, the tallest away from the lamp."),
    ),
    faults=(
        _("The farther face dark: turn the pair toward the lamp; more power burns the nearer."),
        _("The nearer one's shadow on the other: lamp higher and closer to the lens."),
        _(
            "The second row soft: one distance for both, or two stops smaller and the lamp up "
            "with it."
        ),
        _("One always blinks: “flash” on three, and three frames of each pose."),
    ),
    critique=(
        _("Whom do you see first? Did the light do that, or the pose?"),
        _("Cover one face: is the other still well lit?"),
        _("What stands between the two?"),
    ),
    exercise=(
        _(
            "Two oranges and one lamp: set them so that both are as bright, then a hand's "
            "breadth apart in depth. Move only the lamp until they agree again."
        ),
    ),
)

"""The teaching point of colour: gels against white balance."""

from planning.lesson.points.point import Point, _

GELS = Point(
    "gels",
    _("Gels at dusk"),
    objective=(
        _("Keep warm and cold apart: colour the lamp, then let white balance say what is blue."),
    ),
    demo=(
        _("Modelling lamp off before any gel: it melts. White balance by hand: {white_balance} K."),
        _("Bare lamp first: the face white, the dusk blue, and it looks pasted on."),
        _(
            "{gel} on: the flash is now about {flash_k} K and loses {gel_loss}; meter it back to "
            "{key_alone}. | A warm gel on: a quarter loses a quarter of a stop, a half one half, a "
            "full one a little over one; meter it back."
        ),
        _(
            "The same frame with white balance 1000 K lower: the face comes back, the sky goes "
            "deep blue."
        ),
        _("Say which of the two moved: the gel moved the face, white balance moved everything."),
    ),
    task=(
        _(
            "One picture with the face as warm as the last sun, one with a white face and a blue "
            "world."
        ),
        _("Say the white balance before you set it; automatic stays off."),
    ),
    vary=(
        _("Nothing, a quarter, a half, a full gel, in the same frame."),
        _("The second lamp without a gel, as edge."),
        _("White balance set on the sky, on the face, between them."),
    ),
    faults=(
        _("Orange face: more gel than the hour has; a quarter, or white balance lower."),
        _("Grey sky, no blue: too early, or white balance on automatic."),
        _("Face dark since the gel: it costs light; meter the lamp again."),
        _(
            "The gel curls or smells: modelling lamp off, gel before the reflector, never on the "
            "tube."
        ),
    ),
    critique=(
        _("What time is it in this picture? Was it?"),
        _("Where do the two colours meet, on the face or behind it?"),
        _("Would you keep the colour if it hung on a wall?"),
    ),
    exercise=(
        _(
            "Somebody's hand, or a white cup, under a room lamp before a window at dusk: white "
            "balance by hand at 3000, 4500 and 6000 K. Write beside each what the picture says it "
            "is: the lamp or the sky."
        ),
    ),
)

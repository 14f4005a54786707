"""How the house's measurements usually err, before its own are seen: one ``Habits`` a figure.

Standard deviations, in stops (a doubling) unless a line says otherwise. What the readings
themselves say of their noise soon outweighs the first two.
"""

from planning.learn.witness import Habits

# A meter's calibration, shared by all its readings: makers hold about a tenth of a stop, and
# ISO 2720:1974 leaves the constant itself to them; from memory.
METER_CALIBRATION_STOPS = 0.1
# A head's 1/4 is a quarter of its full power to about a tenth of a stop, nine times in ten;
# common practice, no source.
POWER_MARK_STOPS = 0.05
# Heads said to be of 600 W.s stand at guide numbers of 57 to 118 m, two stops apart (see
# ESTIMATED_GUIDE_NUMBER_SPREAD_STOPS): a figure nobody of the house measured counts for no more.
UNMEASURED_WITHIN_STOPS = 1.25

# Careful metering holds 0.2 stop (METER_SPREAD_STOPS), from 0.05 in a dark room to 0.4 in a
# wind; voltage, warmth of the tube, fabric and cord are a day's own: common practice, no source.
GUIDE_NUMBER = Habits(
    noise=0.2,
    noise_factor=1.9,
    day=0.15,
    meter=METER_CALIBRATION_STOPS,
    mark=POWER_MARK_STOPS,
    prior_least=UNMEASURED_WITHIN_STOPS,
)

# One charge like another to about a tenth: the charger ends it, the cells' warmth, miscounted
# flashes: common practice, no source.
FLASHES = Habits(noise=0.15, noise_factor=1.9, day=0.0, prior_least=UNMEASURED_WITHIN_STOPS)
# A gauge is right when full and when empty and bends in between, each time alike, by so much of a
# charge at half: a display holds 2 %, its lamps light a quarter of their step early or late
# (standard deviations; common practice, no source).
GAUGE_BEND_SHARE, GAUGE_BEND_OF_WITHIN = 0.01, 0.25
# What is held before: counted by the house or its maker; reckoned from the watt-hours, whose
# efficiency lies between 0.75 and 0.85 (CHARGER_EFFICIENCY) and whose cells age.
COUNTED_FLASHES_WITHIN_STOPS = 0.3
RECKONED_FLASHES_WITHIN_STOPS = 0.5
# Nobody noted how cold it was: 20 degrees or some less.
UNKNOWN_COLD_STOPS = 0.1

# One turn against another, and one attendee's frames: half a doubling; a day's group and light
# make them quicker or slower together; common practice, no source.
TURN_MIN = Habits(noise=0.5, noise_factor=1.6, day=0.25, prior_least=UNMEASURED_WITHIN_STOPS)
FRAMES_EACH = Habits(noise=0.7, noise_factor=1.6, day=0.3, prior_least=UNMEASURED_WITHIN_STOPS)
USUAL_WITHIN_STOPS = 1.0  # minutes and frames of other people's workshops: half to twice

# Incident readings against the equations: careful metering 0.2 stop, a plane that faces a little
# aside (PLANE_SPREAD_STOPS) in each; the air and the clouds of a day are its own (SPREAD_STOPS).
DAYLIGHT = Habits(
    noise=0.35,
    noise_factor=1.5,
    day=0.4,
    meter=METER_CALIBRATION_STOPS,
    prior_least=0.6,
)
DAYLIGHT_WITHIN_STOPS = 0.6  # the equations may be off everywhere by so much; typical years

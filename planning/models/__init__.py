"""The planned sets: inputs of the plans, never their results."""

from planning.models.flash_reading import FlashReading
from planning.models.frame import CameraClock, Frame, FrameLot
from planning.models.learning import CountsFrom, LeftOut
from planning.models.picture import SetPicture
from planning.models.planned_light import PlannedLight
from planning.models.planned_set import BaseKind, Job, PlannedSet
from planning.models.reading import Reading
from planning.models.tally import TallyEvent
from planning.models.teaching_point import TeachingPoint

__all__ = [
    "BaseKind",
    "CameraClock",
    "CountsFrom",
    "FlashReading",
    "Frame",
    "FrameLot",
    "Job",
    "LeftOut",
    "PlannedLight",
    "PlannedSet",
    "Reading",
    "SetPicture",
    "TallyEvent",
    "TeachingPoint",
]

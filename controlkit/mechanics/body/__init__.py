"""The person: measurements, shape, pose, and where everything is on the posed body."""

from controlkit.mechanics.body.held import HeldPose, hold_device
from controlkit.mechanics.body.outline import VIEWS, Outline, directions, hidden, outlines, project
from controlkit.mechanics.body.placed import Posed, place, to_right
from controlkit.mechanics.body.places import joints, on_skin
from controlkit.mechanics.body.pose import POSE_RANGES, Pose, posed
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.body.scapula import Crossing, Scapula, crossing, scapula
from controlkit.mechanics.body.shape import Build, build
from controlkit.mechanics.body.wearer import Wearer, measure_names

__all__ = [
    "POSE_RANGES",
    "VIEWS",
    "Build",
    "Crossing",
    "HeldPose",
    "Outline",
    "Pose",
    "Posed",
    "Scapula",
    "Wearer",
    "build",
    "built",
    "crossing",
    "directions",
    "hidden",
    "hold_device",
    "joints",
    "measure_names",
    "on_skin",
    "outlines",
    "place",
    "posed",
    "project",
    "scapula",
    "stand",
    "to_right",
]

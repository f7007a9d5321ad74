"""The whole chain, from a motion of the body to the device: one question, one result."""

from controlkit.mechanics.chain.budgets import Budget, budget, holding_share
from controlkit.mechanics.chain.dual import (
    Capture,
    DualControl,
    DualPull,
    ExcursionAmplifier,
    Lifted,
    LiveLift,
    Opened,
    TripleControl,
    dual_pull,
)
from controlkit.mechanics.chain.effort import HELD, REPEATED, TASKS, endurance, fatigue
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.chain.motions import MOTIONS, Apart, Share, device_moved, hanging, take_apart
from controlkit.mechanics.chain.pair import PairArm, PairControl, PairPull, PairSide
from controlkit.mechanics.chain.positions import (
    BACK,
    EXPLORED,
    FORWARD,
    POSITIONS,
    Reach,
    on_command,
    one_scapula,
    over_wearers,
    reach,
)
from controlkit.mechanics.chain.results import Excursion, Motion, Pull
from controlkit.mechanics.chain.shoulder import ShoulderMoment, weight_moment
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.chain.strength import Strength

__all__ = [
    "BACK",
    "EXPLORED",
    "FORWARD",
    "HELD",
    "MOTIONS",
    "POSITIONS",
    "REPEATED",
    "TASKS",
    "Apart",
    "Budget",
    "Capture",
    "DualControl",
    "DualPull",
    "Excursion",
    "ExcursionAmplifier",
    "Lifted",
    "LiveLift",
    "Motion",
    "Opened",
    "PairArm",
    "PairControl",
    "PairPull",
    "PairSide",
    "Pull",
    "Reach",
    "Share",
    "ShoulderMoment",
    "SingleControl",
    "Strength",
    "TripleControl",
    "budget",
    "device_moved",
    "dual_pull",
    "endurance",
    "fatigue",
    "generated",
    "hanging",
    "holding_share",
    "on_command",
    "one_scapula",
    "over_wearers",
    "reach",
    "take_apart",
    "weight_moment",
]

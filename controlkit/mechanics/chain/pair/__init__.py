"""Two prostheses on one harness: what one side's pull does to the other."""

from controlkit.mechanics.chain.pair.arms import PairArm
from controlkit.mechanics.chain.pair.control import PairControl
from controlkit.mechanics.chain.pair.results import PairPull, PairSide

__all__ = ["PairArm", "PairControl", "PairPull", "PairSide"]

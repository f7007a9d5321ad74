"""Labs: named controls beside pictures that follow them."""

from controlkit.checking.student.python_slips import listen
from controlkit.labs.bench import bench_lab
from controlkit.labs.chain import chain_lab
from controlkit.labs.device import device_lab
from controlkit.labs.dual import dual_lab
from controlkit.labs.housing import housing_lab
from controlkit.labs.lesson import go_on, try_it
from controlkit.labs.lock import lock_lab
from controlkit.labs.motions import motion_lab
from controlkit.labs.pair import pair_lab
from controlkit.labs.patterns import pattern_lab
from controlkit.labs.population import population_lab
from controlkit.labs.sequence import sequence_lab
from controlkit.labs.so_far import so_far
from controlkit.labs.straps import strap_lab

__all__ = [
    "bench_lab",
    "chain_lab",
    "device_lab",
    "dual_lab",
    "go_on",
    "housing_lab",
    "lock_lab",
    "motion_lab",
    "pair_lab",
    "pattern_lab",
    "population_lab",
    "sequence_lab",
    "so_far",
    "strap_lab",
    "try_it",
]

listen()  # in a kernel that was started otherwise than by `controlkit start`

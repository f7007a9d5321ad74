"""A harness above the elbow in one pose: balance, mirror, the pull that was asked for, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import DualControl, Wearer, above_elbow_eight, dual_pull
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.body.pose import Pose
from controlkit.units import InputError, deg


def _system(side: str = "right", sex: str = "female") -> DualControl:
    wearer = Wearer.average(sex, level="transhumeral", amputated=side)  # type: ignore[arg-type]
    return DualControl(harness=above_elbow_eight(wearer))


@pytest.mark.parametrize("bent", [30.0, 60.0, 90.0])
def test_a_lift_is_drawn_with_the_pull_that_it_asks_for(bent: float) -> None:
    """Where lifting says that the arm has come so far, the straps there bear what lifting says."""
    system = _system()
    lifted = system.lift([deg(bent)])
    held = dual_pull(
        system, float(lifted.harness_force[0]), arm_flexion=float(lifted.arm_flexion[0]), elbow_flexion=deg(bent)
    )
    assert held.settled
    assert held.harness_force == pytest.approx(float(lifted.harness_force[0]), abs=1.0)


def test_forces_on_the_ring_balance_but_for_the_push_of_the_back() -> None:
    """What straps and skin leave over can only press the ring onto the back, forward."""
    held = dual_pull(_system(), 40.0, arm_flexion=deg(60))
    left = np.sum(list(held.ring_forces.values()), axis=0)
    assert np.linalg.norm(left) < 0.5 * held.harness_force
    assert left[0] > -0.5


def test_less_motion_than_the_pull_needs_gives_less_pull() -> None:
    system = _system()
    asked, rest = (dual_pull(system, 60.0, arm_flexion=deg(angle)) for angle in (90.0, 0.0))
    assert asked.harness_force == pytest.approx(60.0, abs=1.0)
    assert rest.harness_force < 20.0


def test_left_mirrors_right() -> None:
    right, left = (
        dual_pull(_system(side), 30.0, arm_flexion=deg(45), elbow_flexion=deg(90)) for side in ("right", "left")
    )
    for name, run in right.straps.items():
        assert np.allclose(run * [1.0, 1.0, -1.0], left.straps[name], atol=1e-9), name
    assert right.strap_tension == pytest.approx(left.strap_tension)
    assert right.moment_arm == pytest.approx(left.moment_arm)


def test_the_control_strap_ends_on_the_socket() -> None:
    system = _system()
    held = dual_pull(system, 20.0, arm_flexion=deg(30))
    body = joints(system.harness.wearer, Pose(arm_flexion=deg(30)))
    along = body["elbow"] - body["shoulder"]
    share = float((held.straps["control attachment strap"][-1] - body["shoulder"]) @ along) / float(along @ along)
    assert share == pytest.approx(system.harness.crossbar, abs=0.03)


@pytest.mark.parametrize(
    ("asked", "said"),
    [({"pull": 900.0}, "pull"), ({"pull": -1.0}, "pull"), ({"pull": 10.0, "opening": 0.5}, "opening")],
)
def test_what_was_never_followed_is_refused(asked: dict[str, float], said: str) -> None:
    with pytest.raises(InputError, match=said):
        dual_pull(_system(), **asked)

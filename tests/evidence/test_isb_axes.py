"""Wu G et al. ISB recommendation on joint coordinate systems. J Biomech 2005;38:981-992.

Doi 10.1016/j.jbiomech.2004.05.042. Axes as read in a table of J Sports Sci Med, angle sequences in table 2 of
PMC10782867. Thorax: x forward, y up, z right. Humerus: y from the elbow to the shoulder joint, x forward, z right.
Shoulder: plane of elevation, elevation, axial rotation about Y, X, Y. Elbow flexion: 0 is full extension.

The model measures from the middle of the trunk at the height of the notch, not from the notch itself.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from controlkit.mechanics import Pose, Wearer
from controlkit.mechanics.body.placed import arm_axes
from controlkit.mechanics.body.places import joints
from controlkit.units import deg


def _found(amputated: str, pose: Pose) -> dict[str, np.ndarray]:
    return joints(Wearer.average("female", amputated=amputated), pose)


@pytest.mark.parametrize(("amputated", "side"), [("right", 1.0), ("left", -1.0)])
def test_isb_thorax_x_forward_y_up_z_right(amputated: str, side: float) -> None:
    hanging, forward = _found(amputated, Pose()), _found(amputated, Pose(arm_flexion=deg(90)))
    assert side * hanging["elbow"][2] > 0.1  # the amputated side lies on its own side of z
    assert forward["elbow"][0] > hanging["elbow"][0] + 0.2
    assert hanging["c7"][1] > hanging["elbow"][1] + 0.2
    notch = 0.0
    assert hanging["c7"][1] > notch  # C7 stands higher than the notch in the survey


@settings(max_examples=30)
@given(st.floats(deg(-50), deg(170)), st.floats(0.0, deg(120)))
def test_isb_humerus_and_shoulder_sequence(flexion: float, abduction: float) -> None:
    """The arm's axes, read by an independent library in the recommended sequence, and put together again.

    Flexion is elevation in the plane at 90 degrees, abduction in the plane at 0.
    """
    axes = arm_axes(np.array([flexion]), np.array([abduction]))[0]
    assert np.linalg.det(axes) == pytest.approx(1.0)  # x forward, y up, z right: right-handed for a right arm
    raised = np.arccos(np.clip(axes[1, 1], -1.0, 1.0))
    if not 1e-3 < raised < np.pi - 1e-3:
        return  # the sequence is singular at the hanging arm
    plane, elevation, axial = Rotation.from_matrix(axes).as_euler("YXY")
    assert abs(elevation) == pytest.approx(raised, abs=1e-9)
    again = Rotation.from_euler("YXY", [plane, elevation, axial]).as_matrix()
    assert np.allclose(again, axes, atol=1e-9)


@pytest.mark.parametrize("angle", [20, 60, 100])
def test_isb_planes_of_elevation(angle: int) -> None:
    """Elevation is negative about X in the recommendation; the plane is then 90 for flexion, 0 for abduction."""
    for flexion, abduction, plane in ((angle, 0, 90), (0, angle, 0)):
        want = Rotation.from_euler("YXY", [plane, -angle, -plane], degrees=True).as_matrix()
        axes = arm_axes(np.array([deg(flexion)]), np.array([deg(abduction)]))[0]
        assert np.allclose(axes, want, atol=1e-12)


def test_isb_elbow_zero_is_straight_and_flexion_brings_the_hand_forward() -> None:
    straight = _found("right", Pose(elbow_flexion=0.0))
    upper, fore = straight["elbow"] - straight["shoulder"], straight["wrist"] - straight["elbow"]
    assert np.dot(upper, fore) == pytest.approx(np.linalg.norm(upper) * np.linalg.norm(fore))
    bent = _found("right", Pose(elbow_flexion=deg(90)))
    fore = bent["wrist"] - bent["elbow"]
    assert np.dot(upper, fore) == pytest.approx(0.0, abs=1e-12)
    assert fore[0] > 0.1

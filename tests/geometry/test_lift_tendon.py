"""Free length, moment arm and static force of the lift cable against MuJoCo's spatial tendon on a two-body arm.

MuJoCo, Google DeepMind, Apache licence: an independent rigid-body engine. Its arm has the same hinge, masses and sites;
nothing of ours enters it.
"""

from __future__ import annotations

import math

import mujoco
import numpy as np
import pytest

from controlkit.mechanics.elbow import GRAVITY, LiftLine, Piece, ProstheticForearm, lift

PIECES = (Piece("shell", 0.25, 0.12), Piece("wrist unit", 0.09, 0.24), Piece("hook", 0.18, 0.31))
FLEXIONS = np.deg2rad(np.arange(2.0, 136.0, 3.0))
PLACES = (
    (0.040, 0.0, 0.080, 0.0),
    (0.040, 0.0, 0.080, 0.025),
    (0.060, 0.015, 0.050, 0.030),
    (0.030, -0.010, 0.12, 0.02),
)


def _arm(line: LiftLine, inclination: float) -> tuple[mujoco.MjModel, mujoco.MjData]:
    """Upper arm above a hinge across the body, forearm below it; forward is x, up is z."""
    masses = "".join(
        f'<geom type="sphere" size="0.001" mass="{piece.mass:.17g}" pos="0 0 {-piece.centre:.17g}"/>'
        for piece in PIECES
    )
    model = mujoco.MjModel.from_xml_string(f"""
        <mujoco>
          <compiler angle="radian"/>
          <option gravity="0 0 {-GRAVITY:.17g}"/>
          <worldbody>
            <body name="upper arm" euler="0 {-inclination:.17g} 0">
              <geom type="sphere" size="0.001" mass="1"/>
              <site name="end" pos="{line.end_ahead:.17g} 0 {line.end_above:.17g}"/>
              <body name="forearm">
                <joint name="elbow" type="hinge" axis="0 -1 0"/>
                {masses}
                <site name="loop" pos="{line.loop_ahead:.17g} 0 {-line.loop_along:.17g}"/>
              </body>
            </body>
          </worldbody>
          <tendon><spatial name="cable"><site site="end"/><site site="loop"/></spatial></tendon>
        </mujoco>""")
    return model, mujoco.MjData(model)


@pytest.mark.parametrize("inclination", [0.0, math.radians(20.0)])
@pytest.mark.parametrize("place", PLACES)
def test_length_arm_and_force(place: tuple[float, ...], inclination: float) -> None:
    line = LiftLine(**dict(zip(("loop_along", "loop_ahead", "end_above", "end_ahead"), place, strict=True)))
    ours = lift(line, ProstheticForearm(PIECES), FLEXIONS, arm_inclination=inclination)
    model, data = _arm(line, inclination)
    for at, flexion in enumerate(FLEXIONS):
        data.qpos[0] = flexion
        data.qvel[0] = 0.0
        mujoco.mj_forward(model, data)
        assert float(line.length(flexion)) == pytest.approx(float(data.ten_length[0]), abs=1e-9)
        arm = -float(np.ravel(data.ten_J)[0])
        assert ours.moment_arm[at] == pytest.approx(arm, abs=1e-9)
        weight = float(data.qfrc_bias[0])  # what the joint must make to stand still
        assert ours.moment[at] == pytest.approx(weight, abs=1e-7)
        if weight > 0.0 and arm > 0.0:
            assert ours.force[at] == pytest.approx(weight / arm, rel=1e-6)
        elif weight > 0.0:
            assert not ours.lifts[at]

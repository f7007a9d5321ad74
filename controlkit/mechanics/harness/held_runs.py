"""Runs of a harness with its junctions held where they were donned: what the arm draws in, and how the loop turns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


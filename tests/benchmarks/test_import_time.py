"""Importing the package costs a small share of what importing numpy costs, timed in the same processes."""

from __future__ import annotations

import statistics
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TIMED = """
import time
start = time.perf_counter()
import controlkit
ours = time.perf_counter() - start
start = time.perf_counter()
import numpy
print(ours / (time.perf_counter() - start))
"""


def test_import_is_a_small_share_of_numpys() -> None:
    shares = []
    for _ in range(5):
        done = subprocess.run([sys.executable, "-c", TIMED], cwd=ROOT, capture_output=True, text=True, check=True)
        shares.append(float(done.stdout))
    assert statistics.median(shares) < 0.5

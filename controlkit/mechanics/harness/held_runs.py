"""Runs of a harness with its junctions held where they were donned: what the arm draws in, and how the loop turns."""

from __future__ import annotations

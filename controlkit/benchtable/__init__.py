"""A table of readings from the bench: read as it was written, and answered in words."""

from controlkit.benchtable.findings import BenchFinding, beside, cable_beside, friction_of, stiffness_of
from controlkit.benchtable.readings import BenchReadings, read_bench

__all__ = ["BenchFinding", "BenchReadings", "beside", "cable_beside", "friction_of", "read_bench", "stiffness_of"]

"""Bench readings beside the model: friction or stiffness fitted, with an interval and what does not belong."""

from controlkit.mechanics.bench.fits.readings import (
    SCALE,
    TAPE,
    Comparison,
    Fit,
    Outlier,
    compare,
    compare_cable,
    fit_friction,
    fit_stiffness,
)

__all__ = [
    "SCALE",
    "TAPE",
    "Comparison",
    "Fit",
    "Outlier",
    "compare",
    "compare_cable",
    "fit_friction",
    "fit_stiffness",
]

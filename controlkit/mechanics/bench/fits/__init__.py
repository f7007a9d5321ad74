"""Bench readings beside the model: friction or stiffness fitted, with an interval and what does not belong."""

from controlkit.mechanics.bench.fits.comparison import Comparison, compare, compare_cable
from controlkit.mechanics.bench.fits.readings import Fit, Outlier, fit_friction, fit_stiffness

__all__ = ["Comparison", "Fit", "Outlier", "compare", "compare_cable", "fit_friction", "fit_stiffness"]

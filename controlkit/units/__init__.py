"""Units: SI inside, the wearer's and the fitter's units at the edge.

Everything in the package is a plain number in SI: newton, metre, radian, kilogram. The makers
(`deg`, `mm`, `inch`, `lbf` and others) turn a number in another unit into SI, `read` takes what a
person wrote, `show` writes a value for a person, and `InputError` is the one error that speaks.
"""

from controlkit.units._errors import InputError
from controlkit.units._making import cm, deg, inch, kg, kgf, lbf, mm, newton, pound
from controlkit.units._reading import read, read_apart
from controlkit.units._showing import System, show
from controlkit.units._table import factor, units_of

__all__ = [
    "InputError",
    "System",
    "cm",
    "deg",
    "factor",
    "inch",
    "kg",
    "kgf",
    "lbf",
    "mm",
    "newton",
    "pound",
    "read",
    "read_apart",
    "show",
    "units_of",
]

for _name in __all__:
    if _name != "System":  # no function or class, but the words that one may be given
        globals()[_name].__module__ = __name__
del _name

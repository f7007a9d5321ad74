"""A course in the control of body-powered arm prostheses: the names that a lesson uses."""

__version__ = "0.1.0"

__all__ = ["__version__"]

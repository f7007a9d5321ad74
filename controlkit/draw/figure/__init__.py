"""The person as a figure: one surface, its contours, landmarks and tone, seen from anywhere."""

from controlkit.draw.figure.drawn import body_items, hides

__all__ = ["body_items", "hides"]

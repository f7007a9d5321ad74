"""Proportions that only the eye needs: head, neck, hips, breasts, forearm, hand. Drawing, not mechanics.

No strap lies on any of these and nothing is computed with them. They are drawn after common proportions of the human
figure, from memory, and scaled by what was measured of the wearer.
"""

from __future__ import annotations

__all__ = [
    "BAND",
    "BREAST",
    "EAR",
    "FACE",
    "FINGERS",
    "FOREARM",
    "HAIR_BEHIND",
    "HEAD",
    "HIPS",
    "NECK",
    "NOSE",
    "PALM",
    "THIGH",
    "THUMB",
    "WAISTBAND",
]

HEAD = (
    (-0.010, 0.215, 0.225, 0.004),
    (0.000, 0.140, 0.310, 0.075), (0.030, 0.060, 0.352, 0.140), (0.080, -0.020, 0.366, 0.195),
    (0.140, -0.110, 0.368, 0.238), (0.200, -0.200, 0.378, 0.268), (0.260, -0.285, 0.384, 0.288),
    (0.330, -0.355, 0.378, 0.305), (0.400, -0.400, 0.380, 0.318), (0.480, -0.428, 0.372, 0.330),
    (0.560, -0.440, 0.366, 0.340), (0.640, -0.440, 0.386, 0.345), (0.720, -0.425, 0.384, 0.340),
    (0.800, -0.390, 0.360, 0.322), (0.880, -0.325, 0.305, 0.282), (0.940, -0.240, 0.225, 0.215),
    (0.980, -0.140, 0.135, 0.130), (0.996, -0.060, 0.065, 0.060), (1.000, 0.000, 0.004, 0.003),
)  # fmt: skip
"""Head, ring by ring: height above the chin, back, front, half breadth, in heights of the head [-]."""
NOSE = (0.60, 0.385, 0.325, 0.085, 0.048)
"""Root, tip and base above the chin, how far it stands out, half its breadth, in heights of the head [-]."""
NECK = ((-0.42, 1.34, -0.055), (-0.26, 1.06, -0.045), (-0.10, 0.93, -0.035), (0.10, 0.90, -0.025), (0.34, 0.90, -0.02))
"""Neck: height above the chin in heights of the head, radius over the neck's own, and its middle ahead of the spine's
line in heights of the head [-]."""
FACE = (
    ((0.075, 0.600), (0.14, 0.615), (0.215, 0.588)),
    ((0.085, 0.520), (0.130, 0.538), (0.180, 0.526), (0.205, 0.512)),
    ((0.010, 0.345), (0.045, 0.338), (0.062, 0.365)),
    ((0.0, 0.243), (0.045, 0.250), (0.105, 0.240)),
    ((0.0, 0.188), (0.030, 0.187), (0.055, 0.195)),
)
"""Brow, lid, wing of the nose, mouth, lower lip of one half of a face: from the middle and above the chin, in heights
of the head [-]."""
EAR = ((-0.01, 0.47), (-0.03, 0.56), (-0.085, 0.575), (-0.11, 0.51), (-0.085, 0.43), (-0.045, 0.365), (-0.012, 0.37))
"""Ear: ahead and above the chin, in heights of the head [-]."""
HAIR_BEHIND = ((-0.27, 0.30), (-0.20, 0.20), (-0.10, 0.155), (0.0, 0.145), (0.10, 0.155), (0.20, 0.20), (0.27, 0.30))
"""Edge of the hair behind: to the side and above the chin, in heights of the head [-]."""
BAND = (0.9, 1.02)
"""Upper and lower edge of a woman's band, above and below the middle of a breast over its reach either way [-]."""
WAISTBAND = 0.040
"""Of the trousers, below the waist in statures [-]."""
HIPS = {"male": (0.096, 0.47, 1.02), "female": (0.106, 0.46, 1.08)}
"""Half breadth of the hips and height of the crotch in statures; depth of the seat over that of the waist [-]."""
THIGH = (0.50, 0.86)
"""Radius of a thigh at the crotch over half the hips' breadth, and further down over that [-]."""
BREAST = (0.245, 0.285, 0.52, 1.30, 0.18)
"""Breast, at the mechanics' fullest level of the chest: aside over the chest's breadth, radius over the chest's depth,
how far it stands out and reaches upwards over that radius, and downwards over the way from armpit to waist [-]."""
FOREARM = ((0.0, 0.97), (0.10, 0.95), (0.26, 0.90), (0.50, 0.76), (0.75, 0.59), (0.92, 0.50), (1.0, 0.48))
"""Forearm: along it, and radius over the upper arm's [-]."""
PALM = (
    (-0.10, 0.125, 0.80), (0.02, 0.140, 0.66), (0.12, 0.180, 0.48), (0.24, 0.212, 0.40), (0.38, 0.222, 0.37),
    (0.50, 0.205, 0.34),
)  # fmt: skip
"""Palm: beyond the wrist, and half breadth, in lengths of the hand, and thickness over breadth [-]."""
FINGERS = ((-0.155, 0.475, 0.40), (-0.055, 0.50, 0.46), (0.050, 0.49, 0.43), (0.145, 0.455, 0.34))
"""Fingers: aside, root beyond the wrist, and length, in lengths of the hand [-]."""
THUMB = (0.15, 0.46)
"""Thumb: root and tip beyond the wrist, in lengths of the hand [-]."""

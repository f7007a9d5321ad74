"""Smit G, Bongers RM, Van der Sluis CK, Plettenburg DH. J Rehabil Res Dev 2012;49(4):523-534.

Nine voluntary-opening devices: hooks ask for less force and pinch harder than hands; the best was a
split hook with three bands. The table of values could not be reached, so only directions are checked;
the hand's numbers are assumptions made to follow them.
"""

from __future__ import annotations

import numpy as np

from controlkit.mechanics import hand_opening, hook_opening


def test_smit_2012_hand_asks_for_more_and_pinches_less_than_a_hook_with_three_bands() -> None:
    hook, hand = hook_opening(3), hand_opening()
    assert hand.force(hand.travel) > hook.force(hook.travel)
    assert all(hand.pinch(width) < hook.pinch(width) for width in np.linspace(0.0, 0.05, 6))

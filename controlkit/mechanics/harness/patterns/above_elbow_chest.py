"""The chest strap with a shoulder saddle above the elbow: that of `chest.py` on a humeral socket."""

from __future__ import annotations

from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness.cuff import Cuff
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.patterns.above_elbow import base_plate_on
from controlkit.mechanics.harness.patterns.chest import CHEST, DIAPHRAGM, chest_strap
from controlkit.mechanics.harness.skin import Skin


def above_elbow_chest_strap(
    wearer: Wearer,
    *,
    strap_level: str | None = None,
    branch_below_c7: float | None = None,
    branch_to_sound_side: float = -0.08,
    base_plate: float | None = None,
    control_strap: float = 0.0,
    around: float = 0.0,
    support_strap: float = 0.0,
    skin: Skin = Skin(),
    straps: Straps = Straps(),
    cuff: Cuff = Cuff(),
) -> Harness:
    """Put a chest strap with a shoulder saddle on a wearer with a transhumeral amputation.

    Parameters
    ----------
    wearer : Wearer
        Who wears it
    strap_level : str, optional
        Level of the strap in front and under the sound arm, "diaphragm" or "chest"; at the diaphragm of a woman and on
        the chest of a man unless given
    branch_below_c7 : float, optional
        Height of the place where the control strap branches off, under C7; level with the armpits unless given [m]
    branch_to_sound_side : float
        Its distance from the spine towards the sound side; below zero is towards the prosthesis [m]
    base_plate : float, optional
        Where the control strap reaches the base plate on the humeral socket, share of the upper arm from shoulder to
        elbow; an inch above the cut end of the humerus unless given [-]
    control_strap : float
        Control attachment strap let out (+) or taken in (-) from just snug [m]
    around : float
        Chest strap let out (+) or taken in (-) from just snug [m]
    support_strap : float
        Suspensor between saddle and socket let out (+) or taken in (-) from just snug [m]
    skin : Skin
        How skin and cloth hold the strap on the back
    straps : Straps
        What the straps are made of
    cuff : Cuff
        How the socket holds on to the residual limb

    Returns
    -------
    Harness
        The harness

    Raises
    ------
    InputError
        If the wearer's level is not transhumeral, or a value is outside its range, in words that say which

    Notes
    -----
    Saddle, strap and what is taken for granted of them are those of `chest_strap`. For women an open textbook
    (University of Washington, chapter 15e, on the shoulder level) has no strap over the chest but one at the diaphragm.

    Examples
    --------
    >>> above_elbow_chest_strap(Wearer.average("female", level="transhumeral")).pattern
    ChestStrap(strap_level='diaphragm')
    """
    on_socket = base_plate_on(wearer, "chest_strap")
    return chest_strap(
        wearer,
        strap_level=strap_level or (DIAPHRAGM if wearer.sex == "female" else CHEST),
        branch_below_c7=branch_below_c7,
        branch_to_sound_side=branch_to_sound_side,
        crossbar=on_socket if base_plate is None else base_plate,
        control_strap=control_strap,
        around=around,
        support_strap=support_strap,
        skin=skin,
        straps=straps,
        cuff=cuff,
    )

"""Segment masses: Dempster as in Winter 2009; de Leva P, J Biomech 1996;29:1223-1230; Plagenhoef et al. 1983.

The rows of the first table must add up; the other two sets are compared between the sexes.
"""

from __future__ import annotations

import pytest

from controlkit.sources import source


def test_dempster_winter_masses_add_up() -> None:
    upper, fore, hand = (source(f"{name}_mass_dempster").si for name in ("upper_arm", "forearm", "hand"))
    half = source("hand_mass_dempster").digit / 2
    assert fore + hand == pytest.approx(source("forearm_hand_mass_dempster").si, abs=3 * half)
    assert upper + fore + hand == pytest.approx(source("arm_mass_dempster").si, abs=4 * half)


@pytest.mark.parametrize("segment", ["upper_arm", "forearm", "hand"])
@pytest.mark.parametrize("origin", ["de_leva", "plagenhoef"])
def test_womens_arm_segments_are_a_smaller_share(segment: str, origin: str) -> None:
    women, men = (source(f"{segment}_mass_{origin}_{sex}").si for sex in ("women", "men"))
    assert women < men


def test_dempster_forearm_and_hand_balance_where_printed() -> None:
    """Forearm and hand together, from the elbow: where their own centres put it, within the digits printed.

    The hand begins at the wrist and is counted along the forearm's length; how long it is on that scale follows
    from the shares of stature (Drillis and Contini 1966, hand over forearm).
    """
    fore, hand = source("forearm_mass_dempster"), source("hand_mass_dempster")
    reach = source("hand_of_stature").si / source("forearm_of_stature").si
    at_hand = 1.0 + source("hand_centre_dempster").si * reach
    printed = source("forearm_hand_centre_dempster")
    centres = [
        (f * source("forearm_centre_dempster").si + h * at_hand) / (f + h)
        for f in (fore.si - fore.digit / 2, fore.si + fore.digit / 2)
        for h in (hand.si - hand.digit / 2, hand.si + hand.digit / 2)
    ]
    assert min(centres) <= printed.si <= max(centres)

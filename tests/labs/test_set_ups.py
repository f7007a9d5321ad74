"""Set-ups of a lab: each found once, and a question aside moves no start."""

from __future__ import annotations

from controlkit.labs.controls import Values
from controlkit.labs.set_ups import SetUps
from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.units import mm


def test_a_set_up_is_put_on_once_and_a_question_aside_leaves_the_one_on_show() -> None:
    """What is asked aside is answered as when it is asked outright."""
    put_on = list[float]()

    def fitted(setting: Values) -> SingleControl:
        put_on.append(float(setting["ring"]))
        return SingleControl(figure_of_eight(Wearer.average("female"), ring_below_c7=float(setting["ring"])))

    set_ups = SetUps(fitted, ("ring",))

    def ask(setting: Values) -> Pull:
        return set_ups.of(setting).over([Pose(arm_flexion=0.5)])[0]

    shown = set_ups.of({"ring": mm(25), "view": "back"})
    aside = set_ups.aside(ask, {"ring": mm(60), "view": "back"})
    assert set_ups._shown is shown
    assert set_ups.of({"ring": mm(25), "view": "side"}) is shown
    assert put_on == [mm(25), mm(60)]
    assert aside.excursion == ask({"ring": mm(60)}).excursion
    assert set_ups._shown is not shown

"""Exercise 10: what there is to choose and to put in order, each with the question it gives back."""

from __future__ import annotations

from controlkit.checking import Statement

OTHER_HOOK = (
    Statement(
        "unmoved",
        "it stays shut, and grips as hard as before",
        ask="Something comes to its cable. On which side of the bands does a pull work that does not yet open "
        "the hook?",
        held_because="what does not open is thought to feel nothing",
    ),
    Statement(
        "grips less",
        "it stays shut, but grips less hard than before",
        ask="Lay what reaches the hook beside what it takes to open it. Which of the two is larger?",
        held_because="a pull that was not meant is thought to be a small one",
    ),
    Statement(
        "opens",
        "it opens",
        ask="Lay what reaches the hook, behind its housing, beside what all of its bands ask for. Which is larger?",
        held_because="any pull is thought to open a hook",
    ),
)
"""What the hook of the side that rests does."""

_ONE = "the arm of this side is flexed to 60°; the other arm hangs"
_THREE = "three bands on either hook"
SCENES = {
    "arm, high junction": (f"junction 25 mm below C7, {_THREE}", _ONE),
    "arm, low junction": (f"junction 100 mm below C7, {_THREE}", _ONE),
    "strong and weak": ("junction 120 mm below C7, seven bands on this hook and one on the other", _ONE),
    "shoulder forward": (
        f"junction 120 mm below C7, {_THREE}",
        "the shoulder of this side comes forward by 15°; both arms hang",
    ),
    "both shoulders": (f"junction 60 mm below C7, {_THREE}", "both shoulders come forward by 15°; both arms hang"),
    "arm back": (f"junction 60 mm below C7, {_THREE}", "the arm of this side goes back by 10°; the other hangs"),
    "forward and back": (
        f"junction 60 mm below C7, {_THREE}",
        "the shoulder of this side comes forward by 15°, the other one goes back by 15°; both arms hang",
    ),
    "reaching": (
        f"junction 60 mm below C7, {_THREE}",
        "the shoulder of this side comes forward by 15°, its arm hangs; the other arm is flexed to 30°",
    ),
    "load": (
        f"junction 100 mm below C7, {_THREE}",
        "a full bag on the prosthesis of this side drags it down the limb by 20 mm; both arms hang",
    ),
    "both arms": (f"junction 100 mm below C7, {_THREE}", "both arms are flexed to 60°"),
}
"""How the harness is set up, and what the wearer does."""

OF_SCENE = {
    "arm, high junction": "this hook",
    "arm, low junction": "this hook",
    "strong and weak": "both hooks",
    "shoulder forward": "both hooks",
    "both shoulders": "both hooks",
    "arm back": "neither hook",
    "forward and back": "neither hook",
    "reaching": "other hook",
    "load": "other hook",
    "both arms": "both hooks",
}
"""Which hooks open in each scene."""

OPENS = (
    Statement(
        "this hook",
        "the hook of this side opens, the other stays shut",
        ask="Which straps of this side does it pull on: the control strap, the front strap, or both? Where does "
        "each lead?",
        held_because="each side is thought to work its own device and no other",
    ),
    Statement(
        "other hook",
        "the hook of the other side opens, that of this side stays shut",
        ask="Is the front strap of this side drawn here, and nothing else? What takes up its own control strap?",
        held_because="that sides are crossed is remembered as if they changed places",
    ),
    Statement(
        "both hooks",
        "both hooks open",
        ask="Does each cable come to what its own hook asks for: by its own control strap, or by the other's "
        "front strap?",
        held_because="what is joined is thought to move together",
    ),
    Statement(
        "neither hook",
        "neither hook opens",
        ask="Follow both straps that end at this arm, then those of the other. Does one of them get a longer way "
        "to run?",
        held_because="a motion that is not a pull is thought to do nothing",
    ),
)

CHANGES = {
    "higher": "the junction is fixed 40 mm higher",
    "lower": "the junction is fixed 40 mm lower",
    "let out": "the control attachment strap of the other side is let out by 10 mm",
    "bands": "two bands are added to the other hook",
}
"""What is changed on a pair whose sides work each other."""

OF_CHANGE = {
    "higher": "less and shorter",
    "lower": "more and further",
    "let out": "one pays most",
    "bands": "later and harder",
}
"""What each change does."""

KEEPS_APART = (
    Statement(
        "less and shorter",
        "less crosses over, and both hooks alike open less far, each by its own arm",
        ask="Where does the junction lie after this change, and how straight does a strap run on through it?",
        held_because="whatever keeps two sides apart is thought to cost both the same",
    ),
    Statement(
        "more and further",
        "more crosses over, and both hooks open further, each by its own arm",
        ask="Draw both straps through the junction before and after. Do they kink more there, or less?",
        held_because="excursion and crossing over are thought to come and go together, whatever is changed",
    ),
    Statement(
        "one pays most",
        "less crosses over, and it is above all the other hook that opens less far by its own arm",
        ask="Whose strap has become longer here, if any has? And what of its own arm's motion does it miss?",
        held_because="slack is the first thing that comes to mind",
    ),
    Statement(
        "later and harder",
        "as much comes to the other cable, but its hook opens later, and asks its own arm for more",
        ask="Has anything at the other hook changed here, or only the straps on the way to it?",
        held_because="a change at the back is thought to be one at the device",
    ),
    Statement(
        "nothing to pay",
        "less crosses over, and nothing else changes",
        ask="Let the other arm pull now, for itself. Does its hook still open as far, and as easily, as before?",
        held_because="a mend is thought to be free",
    ),
)

WAYS = (
    Statement(
        "self-suspending socket",
        "the limb lifts the forearm itself, one degree for a degree, in a socket that holds by its shape",
        ask="How far would the forearm come so, limb and rim considered? And what must the limb make?",
        held_because="the simplest socket is thought to be the best for a short limb too",
    ),
    Statement(
        "step-up hinge",
        "the limb lifts the forearm through a step-up hinge, in a split socket",
        ask="Is it needed for the angle here, and has this limb the moment for it?",
        held_because="a hinge that gives angle is thought to give moment as well",
    ),
    Statement(
        "outside locking hinge",
        "the cable lifts the forearm, and a lock beside the elbow holds it; the limb lifts nothing",
        ask="Can this limb really not lift by itself, by one of the other two ways? What does a second job cost "
        "the cable?",
        held_because="a lock is thought to be the safe answer",
    ),
    Statement(
        "no body power",
        "neither limb nor cable can do it",
        ask="Where a limb cannot lift, what still can? Which limb, on which side of the elbow, leaves body power "
        "nothing?",
        held_because="what holds for a limb amputated near the armpit is taken for every very short one",
    ),
)

STEPS = (
    Statement("pre-position left", "the right hook turns the left device in its wrist unit to suit its object"),
    Statement("pre-position right", "the left hook turns the right device in its wrist unit to suit its object"),
    Statement("take the fork", "the hook of its side opens and closes on the fork's handle"),
    Statement("take the knife", "the hook of its side opens and closes on the knife's handle"),
    Statement("cut", "both held, the trunk leans over the plate; shoulders and arms hardly move"),
    Statement("lay down the fork", "the hook of its side opens and leaves the fork where it lay"),
    Statement("lay down the knife", "the hook of its side opens and leaves the knife where it lay"),
)

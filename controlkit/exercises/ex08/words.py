"""Exercise 8: what there is to choose and to put in order, each with the question it gives back."""

from __future__ import annotations

from controlkit.checking import Statement

SEEN = {
    "axilla loop": "The wearer pulls, and the whole harness slides over the back towards the prosthesis. Nothing "
    "on the sound side holds against the pull",
    "lateral suspensor": "A full bucket in the device drags the socket down, until the elastic strap in front is "
    "stretched out. While nothing hangs there, lift, device and lock all work",
    "anterior support strap": "The lock motion is made as it should be, and the lock's own strap is whole. But "
    "the place on the front of the shoulder where it is sewn on comes down with it, and the lock's cable hardly moves",
    "control strap": "The arm comes forward, both shoulder blades as well, and the ring stays in place. But nothing "
    "tightens between ring and hanger: the forearm does not rise, the device does not open",
    "lock strap": "The forearm rises and sinks on its cable as it should. But extension with abduction does nothing to "
    "the elbow, and nothing tightens on the front of the socket",
    "cross-back strap": "Everything works, but with less cable at the device than on the day of the fitting. The "
    "control attachment strap, which ran low over the back, has wandered up",
}
"""What is seen when one strap does not do its work."""

STRAPS = (
    Statement(
        "axilla loop",
        "the loop round the sound shoulder does not do its work",
        ask="Everything pulls against that loop. Does the harness as a whole give way here?",
        held_because="the loop is the part one sees, so it is blamed first",
    ),
    Statement(
        "lateral suspensor",
        "the strap from the ring to the side of the socket, in front of the acromion, does not do its work",
        ask="That strap carries the socket, more than any other. Does the socket come down here under a load?",
        held_because="suspension is looked for wherever a prosthesis does not work",
    ),
    Statement(
        "anterior support strap",
        "the strap from the ring over the shoulder to the socket's front, elastic below, does not do its work",
        ask="That strap comes down the front, and another is sewn to it. Is it this other one that lacks its "
        "hold here?",
        held_because="what lies in front of the shoulder is taken for one strap",
    ),
    Statement(
        "control strap",
        "the control attachment strap does not do its work",
        ask="That strap lies between ring and hanger, and pulls lift and device alike. Do both fail here, and "
        "only those?",
        held_because="the strap that works is blamed for whatever does not work",
    ),
    Statement(
        "lock strap",
        "the control strap of the elbow lock does not do its work",
        ask="That strap works the lock and nothing else. Is it the lock alone, and is the strap itself what "
        "fails here?",
        held_because="what the lock does not do is put down to its own strap",
    ),
    Statement(
        "cross-back strap",
        "the strap level over the back does not do its work",
        ask="That strap keeps another one low. What runs where it should not, and is that the trouble here?",
        held_because="a strap without a name of its own task is thought to do a little of all",
    ),
)

SCENES = {
    "worked under load": (
        "elbow locked with the forearm up, the cable slack",
        "the wearer makes the whole lock motion, and comes back",
    ),
    "weight on the cable": (
        "elbow locked with the forearm up, its weight taken on the cable",
        "the wearer makes the whole lock motion, the lift cable staying as it is, and comes back",
    ),
    "back to rest": (
        "elbow unlocked, the forearm held up by the cable",
        "to have room for the lock motion, the wearer first goes back to rest",
    ),
    "locked on the cable": (
        "elbow unlocked, the cable holding the forearm up between two positions of the lock",
        "the wearer makes the whole lock motion, the lift cable staying as it is, and then goes back to rest",
    ),
    "device held open": (
        "elbow locked at the table, the pull holding the device open",
        "the wearer makes the whole lock motion, still pulling as much, and comes back",
    ),
    "lift at a locked elbow": (
        "elbow locked at the table, an object held by the device",
        "the wearer goes on to lift the forearm to the mouth, without working the lock",
    ),
    "one time too many": (
        (
            "the lock has just been worked: the elbow is free, the forearm held up by the cable where a position "
            "of the lock is"
        ),
        "to be sure, the wearer makes the whole lock motion once more, the lift cable staying as it is",
    ),
}
"""How things stand, and what happens."""

COMES_OF_IT = (
    Statement(
        "stays locked",
        "the elbow was locked and stays so: the lock does not let go",
        ask="What does the lock bear as it is worked, and is that more than it lets go of?",
        held_because="a lock is thought to stick whenever something weighs on the prosthesis",
    ),
    Statement(
        "lets go",
        "the lock lets go, and the cable holds the forearm where it is",
        ask="What bears the weight as the lock is worked: the cable, the lock, or neither? And was it on?",
        held_because="working the lock is thought to be all there is to unlocking",
    ),
    Statement(
        "drops",
        "the forearm drops until it hangs",
        ask="What would have held the forearm up at that moment, and is it gone?",
        held_because="a forearm that moves is thought to fall",
    ),
    Statement(
        "catches below",
        "the forearm sinks a little and is held there by the lock",
        ask="Is the lock on at the end, does it stand at a position already, and what holds the forearm until it "
        "catches?",
        held_because="the lock is thought to have a position wherever one stops",
    ),
    Statement(
        "opens",
        "the forearm stays where it is, and the device opens",
        ask="Is there a pull at a locked elbow here, beyond what the device needs to begin?",
        held_because="the pull of a lift is thought to look for the device",
    ),
    Statement(
        "locks instead",
        "the free elbow is locked again",
        ask="How did the lock stand before? It changes over with every pull.",
        held_because="one motion is thought to have one meaning",
    ),
)

OF_SCENE = {
    "worked under load": "stays locked",
    "weight on the cable": "lets go",
    "back to rest": "drops",
    "locked on the cable": "catches below",
    "device held open": "stays locked",
    "lift at a locked elbow": "opens",
    "one time too many": "locks instead",
}
"""What comes of each scene."""

STEPS = (
    Statement("pre-position the wrist", "the sound hand turns the device in its wrist unit to suit the object"),
    Statement("pre-position the turntable", "the sound hand turns the forearm on its turntable towards the object"),
    Statement("unlock", "the lock motion, and back, with the elbow locked before it"),
    Statement("lock", "the same motion, and back, with the elbow free before it"),
    Statement("lift to the table", "arm flexion brings the forearm from hanging up to the table, on the cable"),
    Statement("lift to the mouth", "more of it brings the forearm from the table up to the mouth, on the cable"),
    Statement("lower to the table", "arm and shoulder blades let the forearm down from the mouth, on the cable"),
    Statement("lower", "arm and shoulder blades let the forearm down until it hangs, on the cable"),
    Statement(
        "take the weight", "arm flexion draws the slack cable until it bears the forearm; the elbow stays locked"
    ),
    Statement("ease the cable", "arm and shoulder blades go back, and the cable goes slack"),
    Statement("open the device", "arm flexion at a locked elbow opens the device as far as the object needs"),
    Statement("surround", "the trunk brings the open fingers to both sides of the object"),
    Statement("clear", "the trunk draws the open fingers away from the object"),
)

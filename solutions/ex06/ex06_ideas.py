"""Exercise 6: what learners believe, each as a model of the same case or as a statement."""

from __future__ import annotations

from ex06_case import arrives, let_out, lost

from controlkit.checking import Statement, WrongIdea

IDEAS = (
    WrongIdea(
        "motions-simply-add",
        "captured",
        lambda c, _: float(c.generated_table + c.generated_blade - lost(c)),
        "You added two motions, each measured alone. Does the table say that together they give just that?",
        "two columns of a table are there to be added",
        0.25,
    ),
    WrongIdea(
        "nothing-gives",
        "captured",
        lambda c, _: float(c.generated_table_asked),
        "That is what the shoulder generates. What gives before the cable feels it?",
        "the path is seen, slack and stretch are not",
        0.25,
    ),
    WrongIdea(
        "friction-shortens-travel",
        "captured",
        lambda c, _: c.generated_table_asked * c.arrives_table / 100,
        "You let a share of the force stand for a share of the travel. Is a cable shorter because it rubs?",
        "one efficiency is thought to serve for force and travel",
        0.25,
    ),
    WrongIdea(
        "arm-alone",
        "captured",
        lambda c, _: float(c.generated_table - lost(c)),
        "That is what the arm gives on its way to the table. What does the wearer do there to ask the device?",
        "excursion is put down to the arm alone",
        0.25,
    ),
    WrongIdea(
        "efficiency-upside-down",
        "harness_force",
        lambda c, _: c.full_force * arrives(c),
        "At the hanger you need less than at the device. Can friction help the wearer who pulls?",
        "a share that arrives is multiplied wherever it turns up",
        0.25,
    ),
    WrongIdea(
        "cable-without-loss",
        "harness_force",
        lambda c, _: float(c.full_force),
        "That is the force at the device. What happens to a pull on its way there?",
        "one cable is thought to have one tension",
        0.25,
    ),
    WrongIdea(
        "loss-of-the-wrong-end",
        "harness_force",
        lambda c, _: c.full_force * (2 - arrives(c)),
        "You added the lost share of the device's force. Of which force is it a share?",
        "what is taken off at one end is put on at the other",
        0.5,
    ),
    WrongIdea(
        "start-is-enough",
        "harness_force",
        lambda c, _: c.start_force / arrives(c),
        "With that the device begins to open. What does the last millimetre of travel ask?",
        "one force is thought to belong to a device",
        0.5,
    ),
    WrongIdea(
        "fingertips-for-cable",
        "unasked",
        lambda c, _: float(c.snug_at + c.opening_mouth_back),
        "You let out as far as the fingertips stand apart. What does a strap take up: fingertips, or cable?",
        "what one sees is taken for what one lets out",
        0.25,
    ),
    WrongIdea(
        "wearer-does-nothing",
        "unasked",
        lambda c, _: float(c.snug_at + c.travel_mouth),
        "You let out all that reaching gives. What can the wearer do with the shoulder blade there?",
        "the fitter is thought to have to do everything",
        0.5,
    ),
    WrongIdea(
        "snug-is-right",
        "unasked",
        lambda c, _: float(c.snug_at),
        "You leave the strap as it is. What do the last rows of the table say that the device does at the mouth?",
        "a strap without slack is thought to be right in every pose",
    ),
    WrongIdea(
        "tighter-keeps-shut",
        "unasked",
        lambda c, _: float(c.snug_at - c.travel_mouth_back),
        "You take the strap in. What does a shorter strap do to a device that its cable opens?",
        "tightening is thought to hold things in place",
        0.25,
    ),
    WrongIdea(
        "change-for-mark",
        "unasked",
        lambda c, _: float(c.travel_mouth_back),
        "That is how far it must be let out. At which mark does the buckle stand then?",
        "a change is taken for a place",
        0.5,
    ),
    WrongIdea(
        "slack-costs-nothing-there",
        "fly_left",
        lambda c, _: float(c.travel_fly_asked),
        "You let the strap out for the mouth and hung in a longer cable. Is it another strap and cable at the fly?",
        "each position is looked at alone",
    ),
    WrongIdea(
        "new-cable-forgotten",
        "fly_left",
        lambda c, mine: c.travel_fly_asked - let_out(c, mine["unasked"]),
        "You counted the strap. What does the longer cable do, which lies in one line with it?",
        "slack is looked for in straps",
        0.5,
    ),
    WrongIdea(
        "strap-forgotten",
        "fly_left",
        lambda c, _: float(c.travel_fly_asked - c.longer),
        "You counted the cable. Is the strap still where it was?",
        "the last change is the only one that is seen",
        0.25,
    ),
    WrongIdea(
        "slack-adds",
        "fly_left",
        lambda c, mine: c.travel_fly_asked + let_out(c, mine["unasked"]) + c.longer,
        "You let what is longer give more. What does the cable do while something loose comes taut?",
        "more strap is taken for more travel",
    ),
    WrongIdea(
        "same-everywhere",
        "fly_left",
        lambda c, mine: c.travel_table_asked - let_out(c, mine["unasked"]) - c.longer,
        "You started from what arrives at the table. How much of it is the arm's, and is the arm raised at the fly?",
        "a strap that serves at the table is thought to serve everywhere",
        0.25,
    ),
)

RUNS_OUT = (
    Statement(
        "excursion",
        "the cable travel that is there does not reach full opening",
        "How much travel is there in that position, and how much does this device need?",
        "what opens too little is put down to excursion",
    ),
    Statement(
        "force",
        "full opening takes more of the strength than the task may",
        "How much may the wearer pull for this task, and how much does the hanger ask when the device is fully open?",
        "a stiff device is put down to a weak wearer",
    ),
    Statement(
        "neither",
        "both pay for full opening, as often as the task asks",
        "Compare both: travel there with travel needed, pull asked with the pull that the task may take.",
        "one budget that holds is taken for both",
    ),
    Statement(
        "both",
        "the travel that is there does not reach, and the pull is more than the task may take",
        "Compare each for itself. Which of the two is within what there is?",
        "force and excursion are thought to run out together",
    ),
)

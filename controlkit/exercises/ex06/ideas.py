"""Exercise 6: what learners believe, each as a model of the same case or as a statement."""

from __future__ import annotations

from controlkit.checking import Statement, WrongIdea
from controlkit.exercises.ex06.case import arrives, let_out, lost

IDEAS = (
    WrongIdea(
        label="motions-simply-add",
        item="captured",
        model=lambda c, _: float(c.generated_table + c.generated_scapulae - lost(c)),
        ask="You added two motions, each measured alone. Does the table say that together they give just that?",
        held_because="two columns of a table are there to be added",
        share=0.25,
    ),
    WrongIdea(
        label="nothing-gives",
        item="captured",
        model=lambda c, _: float(c.generated_table_commanded),
        ask="That is what the shoulder generates. What gives before the cable feels it?",
        held_because="the path is seen, slack and stretch are not",
        share=0.25,
    ),
    WrongIdea(
        label="friction-shortens-travel",
        item="captured",
        model=lambda c, _: c.generated_table_commanded * c.arrives_table / 100,
        ask="You let a share of the force stand for a share of the travel. Is a cable shorter because it rubs?",
        held_because="one efficiency is thought to serve for force and travel",
        share=0.25,
    ),
    WrongIdea(
        label="arm-alone",
        item="captured",
        model=lambda c, _: float(c.generated_table - lost(c)),
        ask="That is what the arm gives on its way to the table. What does the wearer do there to open the device?",
        held_because="excursion is put down to the arm alone",
        share=0.25,
    ),
    WrongIdea(
        label="efficiency-upside-down",
        item="harness_force",
        model=lambda c, _: c.full_force * arrives(c),
        ask="At the hanger you need less than at the device. Can friction help the wearer who pulls?",
        held_because="a share that arrives is multiplied wherever it turns up",
        share=0.25,
    ),
    WrongIdea(
        label="cable-without-loss",
        item="harness_force",
        model=lambda c, _: float(c.full_force),
        ask="That is the force at the device. What happens to a pull on its way there?",
        held_because="one cable is thought to have one tension",
        share=0.25,
    ),
    WrongIdea(
        label="loss-of-the-wrong-end",
        item="harness_force",
        model=lambda c, _: c.full_force * (2 - arrives(c)),
        ask="You added the lost share of the device's force. Of which force is it a share?",
        held_because="what is taken off at one end is put on at the other",
        share=0.5,
    ),
    WrongIdea(
        label="start-is-enough",
        item="harness_force",
        model=lambda c, _: c.start_force / arrives(c),
        ask="With that the device begins to open. What does the last millimetre of travel ask?",
        held_because="one force is thought to belong to a device",
        share=0.5,
    ),
    WrongIdea(
        label="fingertips-for-cable",
        item="buckle",
        model=lambda c, _: float(c.snug_at + c.opening_mouth_back),
        ask="You let out as far as the fingertips stand apart. What does a strap take up: fingertips, or cable?",
        held_because="what one sees is taken for what one lets out",
        share=0.25,
    ),
    WrongIdea(
        label="wearer-does-nothing",
        item="buckle",
        model=lambda c, _: float(c.snug_at + c.travel_mouth),
        ask="You let out all that reaching gives. What can the wearer do with the scapula there?",
        held_because="the fitter is thought to have to do everything",
        share=0.5,
    ),
    WrongIdea(
        label="snug-is-right",
        item="buckle",
        model=lambda c, _: float(c.snug_at),
        ask="You leave the strap as it is. What do the last rows of the table say that the device does at the mouth?",
        held_because="a strap without slack is thought to be right in every pose",
    ),
    WrongIdea(
        label="tighter-keeps-shut",
        item="buckle",
        model=lambda c, _: float(c.snug_at - c.travel_mouth_back),
        ask="You take the strap in. What does a shorter strap do to a device that its cable opens?",
        held_because="tightening is thought to hold things in place",
        share=0.25,
    ),
    WrongIdea(
        label="change-for-mark",
        item="buckle",
        model=lambda c, _: float(c.travel_mouth_back),
        ask="That is how far it must be let out. At which mark does the buckle stand then?",
        held_because="a change is taken for a place",
        share=0.5,
    ),
    WrongIdea(
        label="slack-costs-nothing-there",
        item="fly_left",
        model=lambda c, _: float(c.travel_fly_commanded),
        ask="You let the strap out for the mouth and hung in a longer cable. Is it another strap and cable at the fly?",
        held_because="each position is looked at alone",
    ),
    WrongIdea(
        label="new-cable-forgotten",
        item="fly_left",
        model=lambda c, mine: c.travel_fly_commanded - let_out(c, mine["buckle"]),
        ask="You counted the strap. What does the longer cable do, which lies in one line with it?",
        held_because="slack is looked for in straps",
        share=0.5,
    ),
    WrongIdea(
        label="strap-forgotten",
        item="fly_left",
        model=lambda c, _: float(c.travel_fly_commanded - c.longer),
        ask="You counted the cable. Is the strap still where it was?",
        held_because="the last change is the only one that is seen",
        share=0.25,
    ),
    WrongIdea(
        label="slack-adds",
        item="fly_left",
        model=lambda c, mine: c.travel_fly_commanded + let_out(c, mine["buckle"]) + c.longer,
        ask="You let what is longer give more. What does the cable do while something loose comes taut?",
        held_because="more strap is taken for more travel",
    ),
    WrongIdea(
        label="same-everywhere",
        item="fly_left",
        model=lambda c, mine: c.travel_table_commanded - let_out(c, mine["buckle"]) - c.longer,
        ask="You started from what arrives at the table. How much of it is the arm's, and is the arm raised at the "
        "fly?",
        held_because="a strap that serves at the table is thought to serve everywhere",
        share=0.25,
    ),
)

RUNS_OUT = (
    Statement(
        "excursion",
        "the cable travel that is there does not reach the opening that the task asks",
        ask="How much travel is there in that position, and how much does this device need?",
        held_because="what opens too little is put down to excursion",
    ),
    Statement(
        "force",
        "that opening takes more of the strength than the task may",
        ask="How much may the wearer pull for this task, and how much does the hanger ask when the device is "
        "open so far?",
        held_because="a stiff device is put down to a weak wearer",
    ),
    Statement(
        "neither",
        "both pay for that opening, as often as the task asks",
        ask="Compare both: travel there with travel needed, pull asked with the pull that the task may take.",
        held_because="one budget that holds is taken for both",
    ),
    Statement(
        "both",
        "the travel that is there does not reach, and the pull is more than the task may take",
        ask="Compare each for itself. Which of the two is within what there is?",
        held_because="force and excursion are thought to run out together",
    ),
)

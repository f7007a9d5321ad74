"""Exercise 12: what is told of a person and what there is to choose, each wrong choice with its question."""

from __future__ import annotations

from controlkit.checking import Statement

FINDINGS = ("residual limb", "sound armpit", "chest", "sound hand", "shoulder", "largest pull")
"""What history and examination look at, in the order of the table."""

CALM = {
    "residual limb": (
        "skin whole; a graft on its front, two years old, which feels touch and bears a sleeve all day",
        "skin whole; the scar at its end is used to touch",
        "skin whole; phantom feeling at night, no pain, the same for years",
    ),
    "sound armpit": (
        "skin whole; a loop was tried for 30 min, the mark was gone after 10 min",
        "skin whole; a loop was tried for 30 min and left no mark",
        "an old scar from a boil, firm; a loop was tried for 30 min, the mark was gone after 5 min",
    ),
    "chest": (
        "a strap was tried round it for 30 min, no mark, breath as free as without",
        "two ribs broken ten years ago, healed, no pain when a strap was tried round them",
        "a belt has been worn round it for years, no mark",
    ),
    "sound hand": (
        "strong, feels everything; sprained a year ago, healed within weeks",
        "strong, feels everything",
        "the wrist was broken as a child; strong, feels everything",
    ),
    "shoulder": (
        "comes forward as far as the other, without pain",
        "stiff after the injury, in full use for a year now; comes forward 150°",
        "cracks when it is lifted, no pain; comes forward 160°",
    ),
    "largest pull": (
        "the same as at two visits before",
        "the same as a year ago",
        "lower than before the injury, steady for half a year",
    ),
}
"""What is found and stands in no harness's way."""

HISTORIES: dict[str, tuple[str, str, str]] = {
    "graft": (
        "sound armpit",
        "a graft after a burn, thin; under a loop it broke open at each of three trials, padded too",
        "free the armpit",
    ),
    "radiation": (
        "sound armpit",
        "radiation five years ago, skin thin and dry; the physician's letter says that nothing may press there",
        "free the armpit",
    ),
    "ribs": (
        "chest",
        (
            "two ribs healed out of line; a strap tried round them stopped the breath each time; the physician's "
            "letter says that nothing may go round them"
        ),
        "free the chest",
    ),
    "tender": (
        "chest",
        (
            "operated on a year ago; the scar runs all along where a strap would lie, and a belt there was taken "
            "off each time for pain; the surgeon's letter says to keep it free for good"
        ),
        "free the chest",
    ),
    "tingling": (
        "sound hand",
        "for two months tingling in thumb and index finger, at night too; cups slip from it; nobody has looked at it",
        "refer",
    ),
    "lump": (
        "residual limb",
        (
            "skin whole; for a month a lump beside the scar, at a touch pain shoots into the hand that is not "
            "there; nobody has looked at it"
        ),
        "refer",
    ),
    "stiff": (
        "shoulder",
        "comes forward 40°; four weeks ago 25°; in treatment, and gains every week",
        "treatment first",
    ),
    "gaining": (
        "largest pull",
        (
            "two weeks ago 45 N, a week ago 60 N, today 75 N; practised every day, without pain; a fifth of it "
            "opens no hook yet"
        ),
        "treatment first",
    ),
    "nothing": ("", "", "fit"),
}
"""What decides a history: where it is found, what is found, and what comes first."""

SINCE = {
    False: "what question 1 forbids for good is forbidden still. If something was still to be looked at, treated or "
    "practised: that is done since, and armpit and chest bear a strap",
    True: "what question 1 forbids for good is forbidden still. If something was still to be looked at, treated or "
    "practised: that is done since, the chest bears a strap, and nothing may press in the sound armpit",
}
"""What has come of a history since, by whether a look at it would have barred the armpit. It holds for every history
and tells of none, so that it does not answer what came first."""

FIRST_STEP = (
    Statement(
        "fit",
        "fit a harness now: nothing that was found stands in the way of either pattern",
        ask="Go through the rows one by one. Is there one that no pattern, or not every pattern, may pass over?",
        held_because="a history is read for what is usual in it",
    ),
    Statement(
        "free the armpit",
        "fit a harness now, one that leaves the sound armpit free",
        ask="Which row speaks of the armpit, and does it say that a loop may not lie there? And is there "
        "something to be seen to before any harness is worn?",
        held_because="the loop is blamed for whatever is found on that side",
    ),
    Statement(
        "free the chest",
        "fit a harness now, one that puts nothing round the chest",
        ask="What was found when a strap was tried round the chest, and what does it say of a strap there now?",
        held_because="an old injury is taken for one that still matters",
    ),
    Statement(
        "treatment first",
        "go on with the treatment or practice that is gaining, and fit when it has",
        ask="Is something getting better from week to week here, and does a fitting wait for it?",
        held_because="waiting is thought to be on the safe side",
    ),
    Statement(
        "refer",
        "no harness yet: a physician looks first",
        ask="Is there something new that nobody has looked at? What is old, healed and steady needs no second look.",
        held_because="any finding at all is thought to need a physician",
    ),
)

VISITORS: dict[str, tuple[str, str]] = {
    "strong": ("comes forward, without pain", "to grip with both hands, many times a day"),
    "middling": ("comes forward, without pain", "to grip with both hands, many times a day"),
    "weak": ("comes forward, without pain; no gain in a year of practice", "to grip with both hands, many times a day"),
    "torn plexus": (
        "the nerves of that side are torn for good: neither arm nor scapula moves by itself",
        "to grip with both hands, many times a day",
    ),
    "looks": (
        "comes forward, without pain",
        "a hand that looks like one; sound hand and residual limb do all the work, and are to go on doing it",
    ),
}
"""Another person: the shoulder, and the wish."""

RIGHT_FOR = (
    Statement(
        "body power",
        "a harness with the hook as it is banded now",
        ask="What does a fifth of the largest pull come to, and what does this hook ask for? Can that shoulder "
        "pull at all, and what is the wish?",
        held_because="body power is thought to suit whoever has a shoulder",
    ),
    Statement(
        "fewer bands",
        "a harness with the same hook and fewer bands, which still grip enough for the wish",
        ask="Does the hook ask too much with its bands as they are, and little enough with fewer? And is a grip "
        "wished for?",
        held_because="the middle is thought to suit everybody",
    ),
    Statement(
        "other power",
        "no harness that pulls: a prosthesis with another source of power, if the team agrees",
        ask="Is there any number of bands at which a fifth of that pull would do? If there is, what speaks "
        "against a cable here?",
        held_because="a motor is thought to be the answer to any weakness",
    ),
    Statement(
        "passive",
        "no grip: a prosthesis for looks and for holding things down",
        ask="What does this person wish to do with it?",
        held_because="what a person asks for is heard as less than it is",
    ),
)

RUNS_OUT = (
    Statement(
        "excursion",
        "at one of the tasks the cable travel that is there does not reach; the pull stays within a fifth",
        ask="At each task: how much travel is there, and how much does the object ask? Then look at the share "
        "once more.",
        held_because="what opens too little is put down to excursion",
    ),
    Statement(
        "force",
        "the travel reaches at every task; the hardest pull takes more than a fifth",
        ask="Compare your share with a fifth. Is what you found left of the travel more or less than nothing?",
        held_because="a small person is taken for a weak one",
    ),
    Statement(
        "both",
        "at one of the tasks the travel does not reach, and the hardest pull takes more than a fifth",
        ask="Compare each for itself. Which of the two is within what there is?",
        held_because="force and excursion are thought to run out together",
    ),
    Statement(
        "neither",
        "the travel reaches at every task, and the hardest pull stays within a fifth",
        ask="Is there a task at which less than nothing is left of the travel? And is your share above a fifth?",
        held_because="one task that works is taken for all",
    ),
)

SIGNS: dict[str, tuple[str, str]] = {
    "clear": (
        (
            "After two hours of wear, a red mark under the loop; gone ten minutes after taking off. The sound "
            "hand feels as always"
        ),
        "go on",
    ),
    "used to it": (
        "Sore muscles between the scapulae on the evening of the first long day, gone by the morning. No mark anywhere",
        "go on",
    ),
    "stays red": (
        (
            "After an hour of wear, a red mark where the socket ends; still there 40 minutes after taking off. "
            "Skin whole, no pain"
        ),
        "leave it off",
    ),
    "longer each day": (
        (
            "A red mark under the loop after each period: gone after 4 minutes on Monday, after 9 on Tuesday, "
            "after 16 on Wednesday, with the same hours of wear. Skin whole, the sound hand feels as always"
        ),
        "wear less",
    ),
    "longer than before": (
        (
            "A red mark where the socket ends was gone 5 minutes after taking off, for weeks; since the hours "
            "were raised it is gone 15 minutes after it. Skin whole, no pain"
        ),
        "wear less",
    ),
    "blister": (
        "A blister as large as a bean under the edge of the pad. No redness round it, no fever",
        "leave it off",
    ),
    "graze": (
        (
            "The skin under the loop is grazed and wet in one place as large as a fingernail. No redness round it, "
            "no fever"
        ),
        "leave it off",
    ),
    "goes to sleep": (
        (
            "After half an hour of wear the little finger of the sound hand goes to sleep, every time; five "
            "minutes after taking off it feels again. Skin whole"
        ),
        "refer",
    ),
    "stays numb": (
        (
            "The evening after it was taken off, thumb and index finger of the sound hand are still numb, and a "
            "key slips from them"
        ),
        "refer",
    ),
    "cold": (
        "The sound hand is blue and cold, and the arm begins to swell. The prosthesis was taken off half an hour ago",
        "emergency",
    ),
    "breathless": (
        (
            "Breath came short under a strap round the chest. The strap has been off for a quarter of an hour, "
            "and it is as short as before"
        ),
        "emergency",
    ),
    "fever": (
        "A sore place on the residual limb, hot and red far round it, with fever. The prosthesis is off already",
        "refer",
    ),
}
"""What a wearer tells, and what comes of it."""

STOP = (
    Statement(
        "go on",
        "go on as planned, and look at the skin after each period",
        ask="How long did it last after taking off, is the skin whole, and did anything go numb?",
        held_because="what is borne without complaint is thought to be harmless",
    ),
    Statement(
        "wear less",
        "wear it less, and have the prosthetist look at it soon",
        ask="Is the skin whole and the feeling as always? And is the mark gone within the printed time, and does "
        "it last longer than it did before?",
        held_because="less of it is thought to help with everything",
    ),
    Statement(
        "leave it off",
        "leave it off altogether until the prosthetist has seen it and changed something",
        ask="Is the skin broken, or is a mark still there when both printed times are over? And is any hand "
        "numb, tingling, cold or pale, if only for a while?",
        held_because="leaving off is thought to be always the safe thing, or always enough",
    ),
    Statement(
        "refer",
        "leave it off, and to a physician by appointment, the same day where anybody is ill; the prosthetist sees the "
        "harness too",
        ask="Is any hand numb, tingling, cold or pale, if only for a while, or is anybody ill? Or is it the skin "
        "alone? And does it bear waiting for an appointment?",
        held_because="any mark at all is thought to be for a physician, or a physician's appointment to be soon "
        "enough always",
    ),
    Statement(
        "emergency",
        "everything off at once, and straight to an emergency department: nobody waits for an appointment",
        ask="Is blood or breath wanting, and goes on so with everything taken off? Or has it passed, or is it a "
        "nerve or a wound, which a physician sees by appointment or the same day?",
        held_because="whatever frightens is thought to be an emergency",
    ),
)

TASKS: dict[str, tuple[tuple[str, int, int], ...]] = {
    "table": (
        ("a book, to read in it", 6, 45),
        ("a carrot, to peel it", 12, 40),
        ("a pencil case, to open it", 20, 55),
        ("a ball of wool, to wind it", 40, 78),
        ("a jar, to open it", 45, 78),
        ("a tin, to empty it", 50, 78),
        ("a narrow loaf, to cut it", 60, 78),
    ),
    "waist": (
        ("a bag by its handle, to fill it", 6, 35),
        ("a folded towel, to hang it up", 8, 60),
        ("a broom by its handle, to sweep", 20, 32),
        ("a rolled newspaper, to carry it", 25, 55),
        ("a small bottle, to unscrew it", 45, 78),
        ("a tin of paint, to paint from it", 55, 78),
    ),
    "fly": (
        ("a wallet, to take a note out", 6, 25),
        ("a purse, to open it", 10, 42),
        ("a torch, to change its cells", 22, 50),
        ("a rolled map, to unroll it", 25, 60),
        ("a flask, to unscrew it", 50, 78),
        ("a bundle of twigs, to tie it", 20, 78),
    ),
}
"""What the wearer wants to hold, by where it is done: the thing, and how narrow and how wide such things are [mm].
Estimates of this course, no source."""

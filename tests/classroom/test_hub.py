"""A class on a hub, set up by the page's own files and commands, from release to feedback."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from controlkit.checking import judge
from controlkit.classroom.records import ClassFolder
from tests.checking.hands import ROOT, Hands
from tests.classroom.hub_page import (
    INSTALL,
    OUTSIDER,
    PAGE,
    STUDENTS,
    TEACHER,
    Hub,
    every_block_is_used,
    needs,
    running,
)
from tests.classroom.hub_person import Person
from tests.classroom.walled import protection

EX = "ex01"
HERS = "Ana's own words: hold the shoulder still, or the hook opens."
TOLD = {"ana": "Ana Lima", "bo": "Bo Ek", "cy": "Cy Marsh"}

REFUSED = """
import os
def said(path):
    path = os.path.expanduser(path)
    try:
        return str(len(os.listdir(path) if os.path.isdir(path) else open(path, "rb").read()) > 0)
    except PermissionError:
        return "refused"
"""

MEMORY = """
import os
def of(process):
    with open(f"/proc/{process}/smaps_rollup") as told:
        return next(int(line.split()[1]) for line in told if line.startswith("Pss:")) // 1024
print(of(os.getppid()), of(os.getpid()))
"""

FORGE = """
import subprocess
done = subprocess.run(["nbgrader", "submit", *{}], cwd="..", capture_output=True, text=True)
assert done.returncode == 0, done.stderr
"""


def test_the_page_has_no_block_that_nothing_tries() -> None:
    """All but the installation, which the environment of the tests stands for, is run by the test below."""
    assert every_block_is_used(PAGE.read_text(encoding="utf-8")) == [
        f"# {INSTALL}",
        "# as root: accounts and folders",
        "# as root: first passwords",
        "# as the instructor: the class",
        "# as the instructor: hand out",
        "# as the instructor: collect and mark",
        "# as the instructor: hand back",
    ]


def test_the_guide_leads_to_it() -> None:
    assert "(hub.md)" in (ROOT / "solutions" / "guide.md").read_text(encoding="utf-8")


@dataclass
class Class:
    """A class on a hub, led so far as each test needs it, in one order."""

    hub: Hub
    hands: Hands
    people: dict[str, Person] = field(default_factory=dict)
    said: dict[str, str] = field(default_factory=dict)

    @property
    def teacher(self) -> Person:
        return self.people[TEACHER]

    def typed(self, block: str) -> str:
        """Type a block of the page into the instructor's terminal."""
        self.said[block] = "\n".join(self.teacher.type(line) for line in self.hub.words.commands(block))
        return self.said[block]

    @property
    def folder(self) -> Path:
        return Path(f"~{self.hub.words.account(TEACHER)}/my-class").expanduser()

    def answers(self, name: str) -> dict[str, Any]:
        """What a student answers: all of it right, half of it, nothing."""
        right = self.hands.solved(TOLD[name])
        wrong = {"part": "wrist", "sequence": "open", "travel": "1 mm", "pull": "1 N", "relaxed": "nothing", "why": "?"}
        if name == "ana":
            return {**right, "why": HERS}
        return {**wrong, **{item: right[item] for item in ("travel", "pull")}} if name == "bo" else wrong

    def points(self, name: str) -> float:
        """What the checks give for these answers, all items that a person does not mark."""
        case, answers, earlier, points = self.hands.case(TOLD[name]), self.answers(name), {}, 0.0
        for item in self.hands.exercise.items:
            judged = judge(self.hands.exercise, item.name, answers[item.name], case, earlier=earlier)
            if judged.value is not None:
                earlier[item.name] = judged.value
            points += 0.0 if item.by_hand else judged.points
        return points

    def cell(self, name: str, item: str) -> str:
        """How a student types an answer; one of the half-right computes it in a loop, which is to be run."""
        answer = self.answers(name)[item]
        if (name, item) == ("bo", "travel"):
            return f"{item} = 0.0\nfor _ in range(2):\n    {item} += {answer!r} / 2"
        return f"{item} = {answer!r}"


@pytest.fixture(scope="module")
def klass(every: dict[str, Hands]) -> Iterator[Class]:
    missing = needs()
    if missing:
        pytest.skip(f"A hub needs {', '.join(missing)}.")
    protection()
    with running() as hub:
        made = Class(hub, every[EX])
        with ExitStack() as after:
            after.callback(lambda: [one.close() for one in made.people.values()])
            yield made


@pytest.mark.long
def test_who_comes_in(klass: Class) -> None:
    """By the hub's own form: the right password, and one of the two groups."""
    with closing(Person(klass.hub, TEACHER)) as stranger:
        assert stranger.log_in("not it") == 403
    for name in (TEACHER, *STUDENTS):
        klass.people[name] = Person(klass.hub, name)
        assert klass.people[name].log_in() == 302
        klass.people[name].start()
    with closing(Person(klass.hub, OUTSIDER)) as outsider:
        assert outsider.log_in() == 403


@pytest.mark.long
def test_an_instructor_hands_out(klass: Class) -> None:
    klass.teacher.write("names.csv", klass.hub.words.roster(), "file")
    assert "for 3 students" in klass.typed("as the instructor: the class")
    said = klass.typed("as the instructor: hand out")
    assert "3 students have a case, 3 of them new." in said
    assert "Released as: controlkit ex01" in said


@pytest.mark.long
@pytest.mark.parametrize("name", STUDENTS)
def test_a_student_fetches_works_and_submits(name: str, klass: Class) -> None:
    student = klass.people[name]
    listed = student.assignments("fetch", EX)
    assert [(one["assignment_id"], one["status"]) for one in listed] == [(EX, "fetched")]
    page = student.read(f"{EX}/{EX}.ipynb")
    names = {item.name for item in klass.hands.exercise.items}
    for cell in page["cells"]:
        if cell["id"] == "who":
            cell["source"] = f"name = {TOLD[name]!r}"
        elif cell["id"] in names:
            cell["source"] = klass.cell(name, cell["id"])
    cells = {cell["id"]: cell["source"] for cell in page["cells"]}
    asked = [student.run(cells[one], EX) for one in ("who", "case", "travel", "t-travel")]
    assert ("that is right" in asked[-1]) == (name != "cy"), "her own check, in her own kernel"
    student.write(f"{EX}/{EX}.ipynb", page)
    listed = student.assignments("submit", EX)
    assert [one["status"] for one in listed] == ["fetched", "submitted"]


@pytest.mark.long
def test_a_submission_in_anothers_name_is_left(klass: Class) -> None:
    """Bo lays his own notebook down as Cy's, later than Cy's own, as nbgrader's command does when it is asked."""
    cy = klass.hub.words.account("cy")
    klass.people["bo"].run(FORGE.format([EX, f"--student={cy}"]))
    forged = [one for one in _inbound(klass).iterdir() if one.name.startswith(cy)]
    assert len(forged) == 2, "the control: it lies there beside her own"


def _inbound(klass: Class) -> Path:
    return Path(klass.hub.words.settings["/srv/exchange"]) / "controlkit" / "inbound"


@pytest.mark.long
def test_an_instructor_collects_and_marks(klass: Class) -> None:
    said = klass.typed("as the instructor: collect and mark")
    cy, bo = klass.hub.words.account("cy"), klass.hub.words.account("bo")
    (left,) = re.findall(r"(\S+)\+ex01\+[^\n]*left in the exchange", said)
    assert left.endswith(cy)
    assert f"it belongs to {bo}, not to {cy}" in said
    assert "3 notebooks taken in" in said
    assert "Cells that compute run behind bubblewrap" in said
    assert "3 marked, 3 of them now." in said
    marks = {name: _marked(klass, name) for name in STUDENTS}
    assert marks == {name: klass.points(name) for name in STUDENTS}
    most = sum(item.points for item in klass.hands.exercise.items if not item.by_hand)
    assert marks["ana"] == most > marks["bo"] > marks["cy"] == 0


def _marked(klass: Class, name: str) -> float:
    """What is noted in the class folder."""
    found = ClassFolder(klass.folder).marked(EX, klass.hub.words.account(name))
    assert found is not None
    return float(sum(one.points or 0.0 for one in found.items))


@pytest.mark.long
def test_an_instructor_reads_what_was_written_and_hands_back(klass: Class) -> None:
    """In nbgrader's form, in her own server; a student's has none."""
    teacher, ana = klass.teacher, klass.hub.words.account("ana")
    found = teacher.api(f"formgrader/api/submitted_notebooks/{EX}/{EX}")
    (hers,) = (one["id"] for one in found if one["student"] == ana)
    form = teacher.ask(f"formgrader/submissions/{hers}")
    assert form.status_code == 200
    assert "hold the shoulder still" in form.text
    grades = teacher.api(f"formgrader/api/grades?submission_id={hers}")
    (why,) = (one for one in grades if one["needs_manual_grade"])
    teacher.api(f"formgrader/api/grade/{why['id']}", "PUT", json={"manual_score": 2, "extra_credit": None})
    assert klass.people["bo"].ask("formgrader/").status_code == 404
    said = klass.typed("as the instructor: hand back")
    assert "3 pages of feedback" in said
    assert said.count("Feedback released to") == 3


@pytest.mark.long
@pytest.mark.parametrize("name", STUDENTS)
def test_a_student_fetches_her_own_feedback_and_no_other(name: str, klass: Class) -> None:
    student = klass.people[name]
    student.assignments("fetch_feedback", EX)
    (when,) = student.read(f"{EX}/feedback")
    (page,) = student.read(when["path"])
    text = student.read(page["path"])
    points = klass.points(name) + (2 if name == "ana" else 0)
    assert f"<strong>{points:g} of " in text, "her marks"
    others = [told for other, told in TOLD.items() if other != name]
    assert TOLD[name] in text
    assert not [told for told in others if told in text]
    assert ("hold the shoulder still" in text) == (name == "ana")


@pytest.mark.long
def test_a_student_reads_neither_class_nor_solutions_nor_anothers_work(klass: Class) -> None:
    """In Bo's kernel; the instructor's, and Ana's for her own, are the control."""
    words = klass.hub.words
    teacher, ana = words.account(TEACHER), words.account("ana")
    theirs = [
        f"~{teacher}",
        f"~{teacher}/my-class",
        f"~{teacher}/my-class/gradebook.db",
        f"~{teacher}/my-class/cases/{EX}.json",
    ]
    theirs += [str(_inbound(klass)), str(_inbound(klass).with_name("feedback"))]
    theirs += [words.settings["/srv/course"], f"{words.settings['/srv/course']}/solutions/{EX}_graded.py"]
    hers = [f"~{ana}", f"~{ana}/{EX}/{EX}.ipynb"]
    hub = [words.settings["/srv/hub"], words.settings["/etc/jupyterhub/hub.key"]]
    assert _said(klass.people["bo"], [*theirs, *hers, *hub]) == ["refused"] * (len(theirs) + len(hers) + len(hub))
    assert _said(klass.teacher, theirs) == ["True"] * len(theirs)
    assert _said(klass.people["ana"], hers) == ["True"] * len(hers)
    assert _said(klass.people["bo"], [f"~/{EX}", str(_inbound(klass).with_name("outbound"))]) == ["True", "True"]
    assert _said(klass.teacher, [*hers, *hub]) == ["refused"] * (len(hers) + len(hub))


def _said(person: Person, paths: list[str]) -> list[str]:
    return person.run(f"{REFUSED}\nfor path in {paths!r}:\n    print(said(path))").split()


@pytest.mark.long
def test_a_student_has_limits_and_other_ones_servers_are_closed(klass: Class) -> None:
    told = klass.people["bo"].run("import resource\nprint(*resource.getrlimit(resource.RLIMIT_NPROC), os.getuid())")
    assert told.split()[:2] == ["300", "300"]
    assert "300" not in klass.teacher.run("import resource\nprint(*resource.getrlimit(resource.RLIMIT_NPROC))").split()
    address = f"{klass.people['ana'].server}/api/contents"
    assert klass.people["ana"].visit(address) == 200
    assert klass.people["bo"].visit(address) in (403, 404)


LISTEN = """
import zmq
line = zmq.Context.instance().socket(zmq.SUB)
line.subscribe(b"")
line.connect("tcp://127.0.0.1:{}")
"""

OWN = """
import json
from ipykernel.connect import get_connection_file
with open(get_connection_file()) as held:
    print(json.load(held)["iopub_port"])
"""

PLAIN = """
from jupyter_client.manager import start_new_kernel
manager, client = start_new_kernel(transport_encryption="disabled")
print(manager.iopub_port)
"""


SAY = "client.execute_interactive(\"print('secret')\", timeout=30)"


@pytest.mark.long
def test_nobody_listens_to_anothers_kernel(klass: Class) -> None:
    """Both are on the loopback address, where every account may connect; the control is a kernel not encrypted."""
    ana, bo = klass.people["ana"], klass.people["bo"]
    for begun, said, heard in ((OWN, "print('secret')", 0), (PLAIN, SAY, 1)):
        bo.run(LISTEN.format(ana.run(begun).split()[-1]))
        for _ in range(3):
            ana.run(said)
        assert bo.run("print(line.poll(2000))").strip() == str(heard)
    ana.run("manager.shutdown_kernel(now=True)")


@pytest.mark.long
def test_each_finds_in_the_menu_what_is_hers(klass: Class) -> None:
    form, list_of = "@jupyter/nbgrader:formgrader", "@jupyter/nbgrader:assignment-list"
    hers, leads = (klass.people[one].ask("lab").text for one in ("ana", TEACHER))
    off = [re.findall(r'"disabledExtensions": (\[.*?\])', page, re.DOTALL)[0] for page in (hers, leads)]
    assert (form in off[0], form in off[1]) == (True, False)
    assert all("apputils-extension:announcements" in one and list_of not in one for one in off)
    said = klass.people["ana"].type("controlkit start")
    assert "open my-course/course/index.ipynb in the list of files" in said


@pytest.mark.long
def test_what_a_student_takes_up(klass: Class) -> None:
    """Printed with -s: the shares of server and kernel in memory, in MB, as exercise and as lab."""
    bo = klass.people["bo"]
    sizes = [[int(one) for one in bo.run(MEMORY).split()]]
    bo.run("from controlkit.labs import strap_lab\nlab = strap_lab()\nlab")
    sizes.append([int(one) for one in bo.run(MEMORY).split()])
    print(f"server and kernel [MB]: exercise {sizes[0]}, with the strap lab {sizes[1]}")
    assert all(0 < one < 4096 for pair in sizes for one in pair)

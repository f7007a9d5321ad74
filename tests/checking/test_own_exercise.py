"""An exercise in a student's hands: what it shows, keeps, opens and hands back; and her progress file."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output

import controlkit
from controlkit.checking import Exercise, Feedback, Judgement, Progress, judge
from controlkit.checking.reading import plain
from controlkit.checking.student.progress import checked
from controlkit.checking.student.receipt import RECORD
from controlkit.checking.student.siblings import Siblings
from controlkit.tables import Handout, Table
from tests.checking.hands import Hands

Captured = pytest.CaptureFixture[str]


def right(lever: Exercise, name: str = "Ana") -> float:
    return lever.right(lever.own_case(name))["effort"]


def done(item: str, points: float) -> Judgement:
    note = Feedback("right", "right", "yes", "the right answer")
    return Judgement(item=item, points=points, out_of=points, feedback=(note,))


def test_check_and_score_agree(lever: Exercise, capsys: Captured) -> None:
    mine = lever("Ana")
    for factor, points in ((1.0, 4.0), (1.37, 0.0)):
        mine.check("effort", factor * right(lever))
        assert f"This answer: {points:g} of 4 points." in capsys.readouterr().out
        assert mine.score("effort", factor * right(lever)) == points


def test_check_returns_nothing(lever: Exercise) -> None:
    """In a graded cell the only value shown must be the score."""
    assert lever("Ana").check("effort", 10) is None


def test_marks_do_not_depend_on_attempts(lever: Exercise) -> None:
    mine = lever("Ana")
    for _ in range(6):
        mine.check("effort", 1.37 * right(lever))
    assert mine.score("effort", right(lever)) == 4.0


def test_carry_forward_uses_the_last_answer(lever: Exercise) -> None:
    mine = lever("Ana")
    case = lever.own_case("Ana")
    own = 1.37 * right(lever)
    mine.score("effort", own)
    assert mine.score("moment", own * case.long / 1000) == 2.0
    mine.score("effort", "not a number")
    assert mine.score("moment", own * case.long / 1000) == 0.0


def test_worked_steps_open_after_an_attempt(lever: Exercise, capsys: Captured) -> None:
    mine = lever("Ana")
    before = repr(mine.steps("effort"))
    mine.check("effort", "ten")
    before += repr(mine.steps("effort")) + repr(mine.steps())
    assert before.count("open after your first attempt") == 3
    assert "moments about the pivot" not in before
    assert "mine.steps(" not in capsys.readouterr().out  # what cannot be read is no attempt
    mine.check("effort", 1.37 * right(lever))
    assert 'Steps, on a like case: mine.steps("effort")' in capsys.readouterr().out
    for asked in ("effort", None):
        assert repr(mine.steps(asked)).count("moments about the pivot:") == 1
    assert 'no worked steps for "moment"' in repr(mine.steps("moment"))
    mine.check("effort", right(lever))
    assert "mine.steps(" not in capsys.readouterr().out  # nothing is missing
    assert "moments about the pivot" in repr(mine.steps())  # and yet they can be read


def test_in_a_kernel_the_steps_lie_folded_below_the_answer(lever: Exercise) -> None:
    """A line that opens with mouse or keyboard; no program text to write."""
    shell = InteractiveShell()
    InteractiveShell._instance, before = shell, InteractiveShell._instance
    try:
        with capture_output() as shown:
            lever("Ana").check("effort", 1.37 * right(lever))
    finally:
        InteractiveShell._instance = before
    (fold,) = shown.outputs
    assert re.match(r"<details><summary [^>]*>Show the steps on a like case</summary>", fold.data["text/html"])
    assert "moments about the pivot" in fold.data["text/html"]
    assert fold.data["text/plain"] == 'Steps, on a like case: mine.steps("effort")'
    assert "mine.steps" not in shown.stdout


def test_handed_out_without_worked_steps(lever: Exercise) -> None:
    bare = replace(lever, worked={})
    assert "without worked steps" in repr(bare("Ana").steps("effort"))


def test_record_is_plain_data(lever: Exercise) -> None:
    mine = lever(" Zoë  Marsh ")
    mine.check("effort", 12)
    record = mine.record()
    assert json.loads(json.dumps(record._repr_mimebundle_()[RECORD])) == record.data
    assert record.data == {
        "exercise": "lever",
        "kit_version": controlkit.__version__,
        "name": "Zoë  Marsh",
        "seed": "zoë marsh",
        "case_number": record.data["case_number"],
        "case": lever.own_case("Zoë Marsh").as_data(),
        "answers": {"effort": 12.0},
        "typed": {"effort": "12"},
        "points": {"effort": 0.0},
    }
    assert re.fullmatch(r"\d{3} \d{3}", record.data["case_number"])
    assert record.data["case_number"] != lever("Ana").record().data["case_number"]


def test_the_receipt_says_what_is_done_what_is_missing_and_how_to_hand_in(lever: Exercise) -> None:
    mine = lever("Ana")
    said = repr(mine.record())
    assert "So far 0 of 6 points by the checks. Your instructor gives up to 3 more for what you wrote." in said
    assert "Still without an answer: 1. effort, 2. moment, 3. why." in said
    mine.check("effort", right(lever))
    mine.check("moment", 400)
    mine.check("why", "The arms differ.")
    said = repr(mine.record())
    assert "Ana, case number " in said
    assert "So far 4 of 6 points by the checks." in said
    assert "1. effort  ##########  4 of 4" in said
    assert "2. moment  ..........  0 of 2" in said
    assert "3. why     ##########  written; your instructor gives up to 3" in said
    assert "Not full yet: 2. moment (0 of 2)." in said
    assert "hand in the file lever.ipynb" in said
    assert "“The arms differ.”, 3 words" in said
    assert "Still without" not in said
    shown = mine.record()._repr_mimebundle_()["text/html"]
    assert '<svg role="img" aria-label="Points by item: 1. effort, 4 of 4; 2. moment, 0 of 2; 3. why, written' in shown
    mine.check("why", "...")
    mine.check("moment", right(lever) * lever.own_case("Ana").long / 1000)
    said = repr(mine.record())
    assert "So far 6 of 6 points by the checks." in said
    assert "Still without an answer: 3. why." in said  # emptied again


def test_the_next_day_points_are_there_and_a_later_part_still_follows_from_an_earlier_answer(
    lever: Exercise, capsys: Captured
) -> None:
    first, case = lever("Ana"), lever.own_case("Ana")
    own = 1.37 * right(lever)
    first.check("effort", own)
    first.check("why", "The arms differ.")
    next_day = lever("Ana")
    said = repr(next_day.record())
    assert "1. effort  ..........  0 of 4" in said
    assert "3. why     ##########  written" in said
    assert f"{own:.6g}" in said
    capsys.readouterr()
    next_day.check("moment", own * case.long / 1000)
    assert "it follows from your own effort" in capsys.readouterr().out
    next_day.check("effort", "not a number")
    next_day.check("moment", own * case.long / 1000)
    assert "follows from" not in capsys.readouterr().out


def test_an_answer_is_checked_again_where_the_one_before_it_changed(lever: Exercise, capsys: Captured) -> None:
    mine, case = lever("Ana"), lever.own_case("Ana")
    own = 1.37 * right(lever)
    mine.check("effort", own)
    mine.check("moment", own * case.long / 1000)
    assert "Check again" not in repr(mine.record())
    mine.check("effort", right(lever))
    for receipt in (mine.record(), lever("Ana").record()):  # the same day and the next
        assert "Check again: 2. moment. The earlier answer that it follows from has changed since." in repr(receipt)
        assert "2 of 2, check again" in repr(receipt)
    again = lever("Ana")
    again.check("moment", own * case.long / 1000)
    assert "check again" not in repr(again.record()).casefold()
    assert "0 of 2" in repr(again.record())
    capsys.readouterr()


def test_the_receipt_takes_no_more_points_from_a_file_than_there_are(lever: Exercise) -> None:
    lever("Ana").check("effort", right(lever))
    path = Path("progress.json")
    held = json.loads(path.read_text(encoding="utf-8"))
    for points, shown in ((400.0, "So far 4 of 6 points"), (-9.0, "So far 0 of 6 points")):
        held["progress"]["lever: ana"]["effort"]["points"] = points
        path.write_text(json.dumps(held), encoding="utf-8")
        assert shown in repr(lever("Ana").record())


def test_a_name_that_is_not_listed_needs_review_at_grading(lever: Exercise, monkeypatch: pytest.MonkeyPatch) -> None:
    Path("class-list.txt").write_text("Ana\nZoë Marsh\n", encoding="utf-8")
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    other, listed = lever("Bo Lind"), lever("Ana")
    needed = "Needs review: “Bo Lind” is not on the list of your class."
    assert needed in repr(other.show())
    assert needed in repr(other.record())
    assert other.record().data["needs_review"] == needed
    assert other.score("effort", right(lever, "Bo Lind")) == 4.0
    assert "Needs review" not in repr(listed.show()) + repr(listed.record())
    assert "needs_review" not in listed.record().data


def test_a_check_is_wrapped_at_spaces(lever: Exercise, capsys: Captured) -> None:
    long = replace(lever.items[0], hints=("Which of the two arms turns the lever, and which holds it? " * 6,))
    replace(lever, items=(long, *lever.items[1:]))("Ana").check("effort", 1.37 * right(lever))
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 100
    assert out.count("Which of the two arms turns") >= 1
    assert " ".join(out.split()).count("Which of the two arms turns the lever, and which holds it?") == 6


def test_the_points_of_an_answer_and_of_the_exercise_are_told_apart(lever: Exercise, capsys: Captured) -> None:
    mine = lever("Ana")
    mine.check("effort", right(lever))
    capsys.readouterr()
    mine.check("moment", 400)
    assert "  This answer: 0 of 2 points. The exercise so far: 4 of 6 by the checks.\n" in capsys.readouterr().out


def test_what_was_written_is_seen_and_never_marked(lever: Exercise, capsys: Captured) -> None:
    mine = lever("Ana")
    for nothing in (..., "", "\n...\n"):
        mine.check("why", nothing)
        assert "why: nothing stands here yet. Write in place of the dots" in capsys.readouterr().out
    mine.check("why", "\nThe arms differ.\n")
    assert capsys.readouterr().out == "why: 3 words stand here. A person reads and marks it.\n"
    mine.check("why", 12)
    assert 'Written words stand between """ and """' in capsys.readouterr().out
    assert mine.score("why", "The arms differ.") == 0.0


def test_class_id_replaces_the_name(lever: Exercise, tmp_path: Path) -> None:
    by_id = lever("Ana", class_id="A-17").record().data
    assert by_id["seed"] == "a-17"
    assert by_id["name"] == "Ana"
    (tmp_path / "class-id.txt").write_text(" A-17\n", encoding="utf-8")
    assert lever("Ana").record().data == by_id
    assert lever("Somebody else").record().data["case"] == by_id["case"]


def test_attempts_are_kept_in_a_plain_file(lever: Exercise, tmp_path: Path) -> None:
    lever("Ana").check("effort", 1.37 * right(lever))
    lever("Ana").check("effort", right(lever))
    lever("Ben").check("effort", 3)
    file = json.loads((tmp_path / "progress.json").read_text(encoding="utf-8"))
    kept = file["progress"]
    assert kept["lever: ana"]["effort"] == {
        "attempts": 2,
        "last": "right",
        "points": 4.0,
        "out_of": 4,
        "best": 4.0,
        "answer": f"{right(lever):.6g}",
        "value": right(lever),
        "basis": None,
    }
    assert file["asked"] == {"lever": [["effort", 4, False], ["moment", 2, False], ["why", 3, True]]}
    assert kept["lever: ben"]["effort"]["attempts"] == 1
    assert [path.name for path in tmp_path.iterdir()] == ["progress.json"]


def test_running_a_cell_again_is_no_new_attempt(lever: Exercise, tmp_path: Path) -> None:
    mine = lever("Ana")
    for _ in range(3):
        mine.check("effort", 12)
    kept = json.loads((tmp_path / "progress.json").read_text(encoding="utf-8"))["progress"]
    assert kept["lever: ana"]["effort"]["attempts"] == 1


def test_deleting_the_file_starts_afresh(lever: Exercise, tmp_path: Path) -> None:
    lever("Ana").check("effort", 12)
    (tmp_path / "progress.json").unlink()
    assert lever("Ana")._attempts("effort") == 0


def test_nothing_is_written_while_grading(lever: Exercise, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    lever("Ana").check("effort", 12)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "broken",
    [
        "",
        "{",
        "[]",
        '{"format": 1}',
        '{"format": 2, "progress": {}}',
        '{"format": 1, "progress": {"a": 1}}',
        "\xff\x00",
    ],
)
def test_a_broken_file_is_kept_and_said(lever: Exercise, tmp_path: Path, broken: str, capsys: Captured) -> None:
    file = tmp_path / "progress.json"
    file.write_bytes(broken.encode("latin-1"))
    (tmp_path / "progress-unreadable-1.json").write_text("an earlier one", encoding="utf-8")
    lever("Ana").check("effort", 12)
    out = capsys.readouterr().out
    assert "kept as progress-unreadable-2.json" in out
    assert "Marks do not depend on it." in out
    assert (tmp_path / "progress-unreadable-2.json").read_bytes() == broken.encode("latin-1")
    assert (tmp_path / "progress-unreadable-1.json").read_text(encoding="utf-8") == "an earlier one"
    assert json.loads(file.read_text(encoding="utf-8"))["progress"]["lever: ana"]["effort"]["attempts"] == 1


def test_a_read_only_file_is_left_alone_and_said_once(lever: Exercise, tmp_path: Path, capsys: Captured) -> None:
    lever("Ana").check("effort", 12)
    file = tmp_path / "progress.json"
    before = file.read_bytes()
    file.chmod(0o444)
    mine = lever("Ana")
    capsys.readouterr()
    for answer in (13, 14):
        mine.check("effort", answer)
    out = capsys.readouterr().out
    assert out.count("cannot be written") == 1
    assert file.read_bytes() == before
    assert mine._attempts("effort") == 3
    assert [path.name for path in tmp_path.iterdir()] == ["progress.json"]


def test_a_vanished_folder_stops_nothing(tmp_path: Path) -> None:
    progress = Progress(tmp_path / "gone")
    progress.add("lever", "ana", done("effort", 4))
    assert progress.attempts("lever", "ana", "effort") == 1
    assert "cannot be written" in progress.notes[0]


def test_two_notebooks_share_a_file(tmp_path: Path) -> None:
    first, second = Progress(tmp_path), Progress(tmp_path)
    first.add("lever", "ana", done("effort", 4))
    second.add("lever", "ana", done("moment", 2))
    assert Progress(tmp_path).attempts("lever", "ana", "effort") == 1
    assert Progress(tmp_path).attempts("lever", "ana", "moment") == 1


def test_show_is_a_table_with_names_and_escapes(lever: Exercise) -> None:
    page = Handout("<b>", ("a & b", Table("cap", ("name", "value"), (("load", "50 N"), ("<i>", "&")))))
    html = page._repr_html_()
    assert "<b>" not in html
    assert "<i>" not in html
    assert re.search(r'<th scope="col" [^>]*>name</th>', html)
    assert re.search(r'<tr><th scope="row" [^>]*>load</th><td [^>]*>50 N</td></tr>', html)
    assert re.search(r"<caption [^>]*>cap</caption>", html)
    assert "load  50 N" in repr(page)
    mine = lever("Ana <script>")
    assert "1. effort  4       the force that holds the load\n" in repr(mine.show())
    assert "; in N, within 0.2 N; a number without a unit is read in N." in repr(mine.given("effort"))
    assert 'no item "push"' in repr(mine.given("push"))
    assert "&lt;script&gt;" in lever("Ana <script>").show()._repr_html_()


# --- Names ------------------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["zoë marsh", "  ZOË   Marsh ", "Zoe\u0308 Marsh"])
def test_a_name_on_the_list_of_the_class_is_taken_however_it_is_typed(
    lever: Exercise, tmp_path: Path, typed: str
) -> None:
    (tmp_path / "class-list.txt").write_text("Ana Dvořák\nZoë Marsh\n", encoding="utf-8-sig")
    assert lever(typed).record().data["case"] == lever.own_case("Zoë Marsh").as_data()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("Zoe Marsh", "If you are “Zoë Marsh”, write just that"),
        ("Zoë Marhs", "If you are “Zoë Marsh”, write just that"),
        ("Bo", "“Bo” is not on the list of your class. Write your name as your instructor has it"),
    ],
)
def test_a_name_that_is_not_on_the_list_costs_nothing_and_is_told_what_to_type(
    lever: Exercise, tmp_path: Path, typed: str, words: str, capsys: Captured
) -> None:
    (tmp_path / "class-list.txt").write_text("Ana Dvořák\nZoë Marsh\n", encoding="utf-8")
    mine = lever(typed)
    mine.check("effort", 12)
    assert words in capsys.readouterr().out
    assert words in repr(mine.show())
    assert "Dvořák" not in repr(mine.show())  # nobody else's name is told
    assert not (tmp_path / "progress.json").exists()


def test_a_class_id_needs_no_list_and_grading_asks_for_none(
    lever: Exercise, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "class-list.txt").write_text("Ana\n", encoding="utf-8")
    assert lever("Bo", class_id="A-17").case is not None
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    assert lever("Bo").score("effort", right(lever, "Bo")) == 4.0  # a grader sees the name in the record


def test_another_spelling_of_a_name_is_said_once_and_works(lever: Exercise, capsys: Captured) -> None:
    lever("Zoë Marsh").check("effort", 12)
    assert "spelling" not in capsys.readouterr().out
    other = lever("Zoe Marsh")
    assert "worked here before as “zoë marsh”" in repr(other.show())
    other.check("effort", 12)
    assert "type your name as you did then" in capsys.readouterr().out
    other.check("effort", 13)
    lever("Zoe Marsh").check("effort", 13)
    lever("Ana").check("effort", 13)  # somebody else at the same machine
    assert "spelling" not in capsys.readouterr().out


def test_the_other_sign_costs_nothing_and_names_what_to_type(lever: Exercise, capsys: Captured) -> None:
    mine = lever("Ana")
    mine.check("effort", -right(lever))
    out = capsys.readouterr().out
    assert (
        "the size is right, the sign is not. Here it counts as positive: type it without the minus sign."
        in " ".join(out.split())
    )
    assert "This does not count as an attempt." in out
    assert mine._attempts("effort") == 0
    mine.check("effort", -1.37 * right(lever))
    assert "type it without the minus sign" in capsys.readouterr().out
    assert mine._attempts("effort") == 1


def test_no_typed_name_draws_a_like_case(lever: Exercise) -> None:
    """Else whoever typed it would be given the case whose steps were shown."""
    like = lever.own_case("Ana", like=1)
    for typed in (f"{like.seed}", "ana (like case 1)", "ana\x1flike\x1f1", "ana like 1"):
        own = lever.own_case(typed)
        assert own.seed != like.seed, typed
        assert "\x1f" not in own.seed
    walked = Siblings(lever, lever.own_case("Ana"), lever.worked).walk("effort")
    assert walked is not None
    assert walked[1] is not None
    assert "\x1f" in walked[1].seed


def test_a_score_never_raises(lever: Exercise, every: dict[str, Hands]) -> None:
    ring: list[object] = []
    ring.append(ring)
    wide: list[object] = [1]
    for _ in range(14):
        wide = [wide] * 4
    deep: list[object] = []
    for _ in range(3000):
        deep = [deep]
    for answer in (ring, wide, deep):
        assert lever("Ana").score("effort", answer) == 0.0
        assert isinstance(plain(answer), list)
    fourth = every["ex04"].exercise
    for formula in ("pull^100", "pull*10^200", "₂ pull", "pull ①"):
        judged = judge(fourth, "arrives", formula, every["ex04"].case(1))
        assert judged.points < judged.out_of, formula


def test_a_name_with_half_a_character_is_a_sentence(lever: Exercise) -> None:
    assert "character that is none" in str(lever("Ann\ud800").record().who)
    assert lever("Ann\ud800").case is None


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 10**400])
def test_numbers_of_a_file_are_finite(value: float) -> None:
    with pytest.raises(ValueError, match="not a progress file"):
        checked({"format": 1, "progress": {"lever: ana": {"effort": {"attempts": 1, "value": value}}}})

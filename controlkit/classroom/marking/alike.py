"""Work of two students that is alike: for a person to look at, never a verdict."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import combinations

from controlkit.checking import Case, Design, Quantity, Sheet
from controlkit.classroom.records import Submission
from controlkit.classroom.records.answers import Remark

RUN = 5
"""So many words in a row are compared [-]."""

FEWEST_WORDS = 20
"""Shorter texts may well be alike [-]."""

SHARE = 0.6
"""From this share of common runs of words on, two texts are alike [-]."""

FEWEST_ANSWERS = 3
"""So many equal answers to questions about different cases are worth a look [-]."""

FEWEST_SIGNS = 300
"""So long must equal program text be, all cells together [characters]."""


def alike(sheet: Sheet, cases: Mapping[str, Case], submissions: Sequence[Submission]) -> dict[str, tuple[Remark, ...]]:
    """What is alike in a class.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    cases : mapping
        Student to her case
    submissions : sequence of Submission
        What was handed in

    Returns
    -------
    dict of str to tuple of Remark
        Student to what to look at; who is not in it has nothing
    """
    pairs: dict[tuple[str, str], list[str]] = defaultdict(list)
    _same_files(submissions, pairs)
    _same_answers(sheet, cases, submissions, pairs)
    _same_texts(sheet, submissions, pairs)
    _same_programs(submissions, pairs)
    found: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for (one, other), what in sorted(pairs.items()):
        for own, neighbour in ((one, other), (other, one)):
            found[own]["; ".join(what)].append(neighbour)
    return {
        student: tuple(Remark("alike", f"Alike with {', '.join(who)}: {what}.") for what, who in held.items())
        for student, held in found.items()
    }


Pairs = dict[tuple[str, str], list[str]]


def _same_files(submissions: Sequence[Submission], pairs: Pairs) -> None:
    by_digest: dict[str, list[str]] = defaultdict(list)
    for one in submissions:
        if one.digest and any(answer.how not in ("blank", "not read") for answer in one.answers.values()):
            by_digest[one.digest].append(one.student)
    for students in by_digest.values():
        for pair in combinations(students, 2):
            pairs[pair].append("the very same file")


def _same_answers(sheet: Sheet, cases: Mapping[str, Case], submissions: Sequence[Submission], pairs: Pairs) -> None:
    """Equal numbers and designs, though the cases differ."""
    equal: dict[tuple[str, str], list[str]] = defaultdict(list)
    for item in sheet.items:
        if not isinstance(item, Quantity | Design):
            continue
        by_answer: dict[str, list[str]] = defaultdict(list)
        for one in submissions:
            answer = one.answers.get(item.name)
            if answer is not None and answer.says and not answer.sort:
                by_answer["".join(answer.says.split())].append(one.student)
        for students in by_answer.values():
            for pair in combinations(students, 2):
                equal[pair].append(item.called)
    for pair, items in equal.items():
        drawn = [cases[student].as_data() for student in pair if student in cases]
        if len(items) >= FEWEST_ANSWERS and len(drawn) == 2 and drawn[0] != drawn[1]:
            pairs[pair].append(f"equal answers to different cases ({', '.join(items)})")


def _same_texts(sheet: Sheet, submissions: Sequence[Submission], pairs: Pairs) -> None:
    for item in sheet.items:
        if not item.by_hand:
            continue
        runs = {one.student: _runs(one, item.name) for one in submissions}
        for one, other in combinations(sorted(student for student, found in runs.items() if found), 2):
            least = min(len(runs[one]), len(runs[other]))
            if len(runs[one] & runs[other]) >= SHARE * least:
                pairs[one, other].append(f"the text of {item.called}")


def _runs(one: Submission, item: str) -> frozenset[tuple[str, ...]]:
    answer = one.answers.get(item)
    text = answer.value if answer is not None else ""
    words = [word.strip(".,;:!?()\"'").casefold() for word in text.split()] if isinstance(text, str) else []
    if len(words) < FEWEST_WORDS:
        return frozenset()
    return frozenset(tuple(words[place : place + RUN]) for place in range(len(words) - RUN + 1))


def _same_programs(submissions: Sequence[Submission], pairs: Pairs) -> None:
    """Cells that compute, equal but for blanks and comments."""
    by_text: dict[str, list[str]] = defaultdict(list)
    for one in submissions:
        for item, source in one.sources.items():
            plain = _plain(source)
            if plain:
                by_text[f"{item}\n{plain}"].append(one.student)
    shared: dict[tuple[str, str], int] = defaultdict(int)
    for text, students in by_text.items():
        for pair in combinations(students, 2):
            shared[pair] += len(text)
    for pair, length in shared.items():
        if length >= FEWEST_SIGNS:
            pairs[pair].append("program text")


def _plain(source: str) -> str:
    """Program text in one form; nothing where it only types an answer."""
    try:
        tree = ast.parse(source)
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        return ""
    computes = any(isinstance(node, ast.BinOp | ast.If | ast.For | ast.FunctionDef) for node in ast.walk(tree))
    return ast.unparse(tree) if computes else ""

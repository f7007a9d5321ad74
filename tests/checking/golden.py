"""Digests of the cases of some names, as they are handed out.

`python -m tests.checking.golden` writes them anew; with the word `check` it draws the cases under the numpy at hand
and says which differ. It needs the package and nothing of the tests, so that any environment that the package allows
can be asked: they are alike under numpy 2.0.2 with scipy 1.14.1, and under numpy 2.4.6 with scipy 1.17.1.
"""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path

import numpy as np

from controlkit.checking import Case
from controlkit.classroom.begin import module_of

ROOT = Path(__file__).resolve().parents[2]

GOLDEN = Path(__file__).with_name("golden.json")

PEOPLE = ("Solution", "Zoë Marsh", "Ana Dvořák", "李小龍", "Student 1", "A-17")


def digest(case: Case) -> str:
    """What a case holds, in a few letters."""
    held = json.dumps(case.as_data(), sort_keys=True, ensure_ascii=True)
    return hashlib.sha256(held.encode()).hexdigest()[:16]


def drawn() -> dict[str, dict[str, str]]:
    """The digests of every exercise, drawn here and now."""
    found = {}
    for name in sorted(path.parent.name for path in ROOT.glob("solutions/*/*.ipynb")):
        exercise = module_of(name, ROOT).exercise
        found[name] = {who: digest(exercise.own_case(who)) for who in PEOPLE}
    return found


def main(words: list[str]) -> int:
    """Write the digests, or compare them."""
    found = drawn()
    if words != ["check"]:
        GOLDEN.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        return 0
    known = json.loads(GOLDEN.read_text(encoding="utf-8"))
    other = [f"{name}: {who}" for name in found for who in PEOPLE if found[name][who] != known[name][who]]
    print(f"numpy {np.__version__}: {len(found) * len(PEOPLE)} cases, {len(other)} other than those handed out")
    print("\n".join(other))
    return int(bool(other))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

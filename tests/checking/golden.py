"""Digests of the cases of some names, as they are handed out: `python -m tests.checking.golden` writes them anew."""

from __future__ import annotations

import hashlib
import importlib
import json
import sys
from pathlib import Path

from controlkit.checking import Case
from tests.checking.hands import NAMES, ROOT

GOLDEN = Path(__file__).with_name("golden.json")

PEOPLE = ("Solution", "Zoë Marsh", "Ana Dvořák", "李小龍", "Student 1", "A-17")


def digest(case: Case) -> str:
    """What a case holds, in a few letters."""
    held = json.dumps(case.as_data(), sort_keys=True, ensure_ascii=True)
    return hashlib.sha256(held.encode()).hexdigest()[:16]


def main() -> None:
    """Write the digests of every exercise."""
    found = {}
    for name in NAMES:
        sys.path.insert(0, str(ROOT / "solutions" / name))
        exercise = importlib.import_module(name).exercise
        found[name] = {who: digest(exercise.own_case(who)) for who in PEOPLE}
    GOLDEN.write_text(json.dumps(found, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()

"""What stands on the shelves of exercises 6, 8, 11 and 12, noted where the exercises look it up.

`python -m tests.checking.shelf` works it out and notes it anew. Cases change where a reading comes to another whole
number: then `tests.checking.golden` has to be noted anew, too.
"""

from __future__ import annotations

import json
from pathlib import Path

from controlkit.exercises.ex06 import shelf as bench
from controlkit.exercises.ex08 import shelf as errands
from controlkit.exercises.ex11 import shelf as checkout
from controlkit.exercises.ex12 import shelf as people

NOTED = Path(bench.__file__).with_name("shelf.json")
ERRANDS = Path(errands.__file__).with_name("shelf.json")
CHECKOUT = Path(checkout.__file__).with_name("shelf.json")
TRIED = Path(people.__file__).with_name("shelf.json")


def main() -> None:
    """Note readings, errands and people."""
    NOTED.write_text(json.dumps(bench.taken(), indent=1) + "\n", encoding="utf-8")
    ERRANDS.write_text(json.dumps(errands.taken(), separators=(",", ":"), ensure_ascii=False) + "\n", encoding="utf-8")
    CHECKOUT.write_text(json.dumps(checkout.taken(), separators=(",", ":")) + "\n", encoding="utf-8")
    TRIED.write_text(json.dumps(people.noted(), separators=(",", ":")) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()

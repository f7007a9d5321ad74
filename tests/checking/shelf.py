"""What the bench reads on the shelf of exercise 6, noted where the exercise looks it up.

`python -m tests.checking.shelf` works it out and notes it anew. Cases change where a reading comes to another whole
number: then `tests.checking.golden` has to be noted anew, too.
"""

from __future__ import annotations

import json
from pathlib import Path

from controlkit.exercises.ex06 import shelf

NOTED = Path(shelf.__file__).with_name("shelf.json")


def main() -> None:
    """Note the readings."""
    NOTED.write_text(json.dumps(shelf.taken(), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()

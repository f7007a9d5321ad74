"""`python -m controlkit.classroom`: begin an exercise, or release the exercises. A class: `controlkit class`."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from controlkit.classroom.begin import begin
from controlkit.classroom.release import release
from controlkit.units import InputError


def main(arguments: Sequence[str] | None = None) -> int:
    """Carry out one command.

    Parameters
    ----------
    arguments : sequence of str, optional
        What stands behind the command; from the command line if left out

    Returns
    -------
    int
        0 if it worked, else 1 [-]
    """
    parser = argparse.ArgumentParser(prog="python -m controlkit.classroom", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    out = commands.add_parser("release", help="make exercises/ from solutions/")
    out.add_argument("names", nargs="*", help="which exercises; all of them if left out")
    own = commands.add_parser("begin", help="write the notebook of a new exercise from its items")
    own.add_argument("name", help="the exercise, such as ex42")
    chosen = parser.parse_args(arguments)
    try:
        if chosen.command == "release":
            for path in release(names=chosen.names or None):
                print(f"released {path.name}")
        else:
            for path in begin(chosen.name):
                print(f"wrote {path.name}")
    except InputError as trouble:
        print(trouble, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())

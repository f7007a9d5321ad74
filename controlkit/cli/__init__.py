"""The `controlkit` command: start the course, check the installation, lead a class.

Kept light: nothing heavy is imported before it is known what was asked for.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from controlkit.cli import classes
from controlkit.cli.trouble import Trouble

__all__ = ["main"]

_WHAT_IT_CAN_DO = """\
controlkit: a course in the control of body-powered arm prostheses

  controlkit start            open the course in your browser (work folder: my-course)
  controlkit start FOLDER     the same, with a work folder of your choice
  controlkit selfcheck        see whether everything that the course needs is there
  controlkit class            for instructors: hand out, take in, mark and hand back, step by step

Add --help to any for more. It teaches; it fits nobody.
"""


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="controlkit",
        description="A course in the control of body-powered arm prostheses.",
    )
    parser.add_argument("--version", action="store_true", help="say which version this is")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")

    start = commands.add_parser(
        "start",
        help="open the course in your browser",
        description="Lay lessons and exercises out in a work folder and open the start page. "
        "A file that you worked on is never overwritten; a newer release of it is laid beside it.",
    )
    start.add_argument("folder", nargs="?", default="my-course", metavar="FOLDER", help="work folder (my-course)")
    start.add_argument("--port", type=int, metavar="N", help="use exactly this port (otherwise a free one is found)")
    start.add_argument("--no-browser", action="store_true", help="print the address and open no browser")

    commands.add_parser(
        "selfcheck",
        help="see whether everything that the course needs is there",
        description="Check versions, the notebook kernel, the labs' widgets and a computed sample; "
        "name the single next step if something is missing.",
    )
    classes.add_commands(commands)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """
    Run the `controlkit` command.

    Parameters
    ----------
    argv : sequence of str, optional
        The words after `controlkit`; those of the command line if left out.

    Returns
    -------
    int
        Exit code: 0 done, 1 something is missing or in the way (said on stderr), 130 interrupted.

    Examples
    --------
    >>> main(["--version"])
    controlkit 0.1.0
    0
    """
    given = _parser().parse_args(argv)
    try:
        return _run(given)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130


def _run(given: argparse.Namespace) -> int:
    if given.version:
        from controlkit import __version__

        print(f"controlkit {__version__}")
        return 0
    if given.command == "start":
        from controlkit.cli.start import start

        return start(given.folder, port=given.port, browser=not given.no_browser)
    if given.command == "selfcheck":
        from controlkit.cli.selfcheck import selfcheck

        return selfcheck()
    if given.command == "class":
        return classes.run(given)
    print(_WHAT_IT_CAN_DO, end="")
    return 0

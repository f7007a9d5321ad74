"""`controlkit start`: lay out the work folder, then open the start page in JupyterLab."""

from __future__ import annotations

import os
from pathlib import Path

from controlkit.cli.browser import open_page
from controlkit.cli.release import START_PAGE, find_release
from controlkit.cli.workfolder import lay_out, prepare

__all__ = ["start"]

HUB = "JUPYTERHUB_SERVICE_PREFIX"
"""What is set where JupyterHub started JupyterLab: it runs already, and another would not be reached."""


def start(folder: str, *, port: int | None = None, browser: bool = True) -> int:
    """
    Lay lessons and exercises out in a work folder and open the start page there.

    Parameters
    ----------
    folder : str
        The work folder; made if it is not there.
    port : int, optional
        Exactly this port; a free one is found if left out.
    browser : bool, optional
        Whether to open the start page in a browser.

    Returns
    -------
    int
        0 once the course was stopped, a course already running for that folder was opened, or a hub runs it.

    Raises
    ------
    Trouble
        If something is in the way; it says what, and the next step.
    """
    release = find_release()
    place = prepare(Path(folder), release)
    done = lay_out(place, release)
    print(f"Your work folder: {place}")
    for line in done.words():
        print(f"  {line}")

    if HUB in os.environ:
        print(f"You work on a hub: open {Path(folder) / START_PAGE} in the list of files.")
        return 0

    from controlkit.cli import server  # heavy: JupyterLab

    running = server.running_for(place)
    if running is not None:
        print("The course is already running for this folder.")
        open_page(running.page(START_PAGE), browser=browser)
        return 0
    return server.serve(place, START_PAGE, port=port, browser=browser)

"""The person's own browser: is there one with a window, and a page opened in it."""

from __future__ import annotations

import webbrowser
from pathlib import Path

__all__ = ["has_browser", "open_page"]

_TEXT_BROWSERS = {"www-browser", "w3m", "links", "elinks", "lynx"}


def has_browser() -> bool:
    """
    Tell whether a browser with a window is there; one in the terminal cannot show a lab.

    Returns
    -------
    bool
        True if the start page can be opened from here.
    """
    try:
        found = webbrowser.get()
    except webbrowser.Error:
        return False
    return Path(str(getattr(found, "name", ""))).name not in _TEXT_BROWSERS


def open_page(address: str, *, browser: bool) -> None:
    """
    Print an address and open it.

    Parameters
    ----------
    address : str
        The page.
    browser : bool
        Whether to open a browser; if there is none, that is said.
    """
    opened = browser and has_browser() and webbrowser.open(address)
    print(f"The course is open at\n  {address}")
    if browser and not opened:
        print("No browser could be opened from here: copy that address into one on this machine.")

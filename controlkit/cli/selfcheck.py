"""`controlkit selfcheck`: is everything there, and if not, what is the one next step."""

from __future__ import annotations

import platform
import sys
from collections.abc import Callable
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from controlkit.cli.browser import has_browser
from controlkit.cli.release import find_release
from controlkit.cli.trouble import Trouble

__all__ = ["Finding", "selfcheck"]

_OLDEST_PYTHON = (3, 11)
_NEEDED = ("numpy", "scipy", "matplotlib", "ipykernel", "ipywidgets", "anywidget", "jupyterlab", "nbformat", "pint")
_INSTALL_AGAIN = "Install once more: run the first command of README.md in the course's folder."
_KERNEL_WAIT = 60.0

# What runs in the kernel: a calculation whose answer is known from here, and one real widget.
_IN_KERNEL = """
import ipywidgets
print("sum", sum(range({upto})))
ipywidgets.FloatSlider()
"""


@dataclass(frozen=True)
class Finding:
    """
    What one check found.

    Parameters
    ----------
    name : str
        What was looked at.
    ok : bool
        Whether it is as it must be.
    found : str
        What was found, in words.
    next_step : str
        What to do if it is not.
    """

    name: str
    ok: bool
    found: str
    next_step: str = ""


def _python() -> Finding:
    wanted = ".".join(map(str, _OLDEST_PYTHON))
    return Finding(
        "Python",
        sys.version_info[:2] >= _OLDEST_PYTHON,
        f"{platform.python_version()} on {platform.system()} {platform.machine()}",
        f"Install Python {wanted} or newer, then run the first command of README.md again.",
    )


def _libraries() -> Finding:
    found, missing = [], []
    for name in _NEEDED:
        try:
            found.append(f"{name} {metadata.version(name)}")
        except metadata.PackageNotFoundError:
            missing.append(name)
    if missing:
        return Finding("Libraries", False, "missing: " + ", ".join(missing), _INSTALL_AGAIN)
    return Finding("Libraries", True, ", ".join(found))


def _lessons() -> Finding:
    try:
        pages = [place for place, _ in find_release().files() if place.suffix == ".ipynb"]
    except Trouble as trouble:
        return Finding("Lessons", False, trouble.found, trouble.next_step)
    return Finding("Lessons", True, f"{len(pages)} pages of lessons and exercises")


def _sample() -> Finding:
    """Compute one excursion and hold it against what must be true of any."""
    import math

    from controlkit import mechanics
    from controlkit.units import deg, show

    wearer = mechanics.Wearer.average("female")
    system = mechanics.SingleControl(mechanics.figure_of_eight(wearer))
    pull = system.at(arm_flexion=deg(60))
    generated, captured = pull.excursion.generated, pull.excursion.captured
    credible = math.isfinite(generated) and math.isfinite(captured) and 0.0 < captured <= generated + 0.002
    return Finding(
        "Sample",
        credible,
        f"60 degrees of arm flexion pull {show(generated, 'length')} of strap, "
        f"of which {show(captured, 'length')} reach the cable",
        "The numbers computed on this machine are not credible. " + _INSTALL_AGAIN,
    )


def _kernel() -> Finding:
    """Start the kernel that notebooks use, let it compute, and see it announce a widget."""
    import subprocess

    from jupyter_client.manager import KernelManager

    upto = 1000
    printed, widgets = "", 0
    manager = KernelManager(kernel_name="python3")
    manager.start_kernel(stderr=subprocess.DEVNULL)
    try:
        client = manager.blocking_client()
        client.start_channels()
        client.wait_for_ready(timeout=_KERNEL_WAIT)

        def listen(message: dict[str, dict[str, str]]) -> None:
            nonlocal printed, widgets
            kind = message["header"]["msg_type"]
            if kind == "stream":
                printed += message["content"]["text"]
            elif kind == "comm_open":
                widgets += message["content"]["target_name"] == "jupyter.widget"

        client.execute_interactive(_IN_KERNEL.format(upto=upto), timeout=_KERNEL_WAIT, output_hook=listen)
        client.stop_channels()
    finally:
        manager.shutdown_kernel(now=True)
    if f"sum {sum(range(upto))}" not in printed:
        return Finding("Kernel", False, "it started, but did not compute", _INSTALL_AGAIN)
    if not widgets:
        return Finding("Kernel", False, "it computes, but the labs' controls do not reach it", _INSTALL_AGAIN)
    return Finding("Kernel", True, "starts, computes, and opens a control of a lab")


def _page_parts() -> Finding:
    """See whether JupyterLab finds the page's half of the labs' controls."""
    from jupyter_core.paths import jupyter_path

    wanted = ("@jupyter-widgets/jupyterlab-manager", "anywidget")
    missing = [part for part in wanted if not any((Path(p) / part).is_dir() for p in jupyter_path("labextensions"))]
    if missing:
        return Finding("Labs in the page", False, "missing: " + ", ".join(missing), _INSTALL_AGAIN)
    return Finding("Labs in the page", True, "JupyterLab finds the controls' parts")


def _browser() -> Finding:
    found = "one is there" if has_browser() else "none found from here; copy the printed address into one yourself"
    return Finding("Browser", True, found)


_CHECKS: tuple[Callable[[], Finding], ...] = (_python, _libraries, _lessons, _sample, _kernel, _page_parts, _browser)


def selfcheck(checks: tuple[Callable[[], Finding], ...] = _CHECKS) -> int:
    """
    Check the installation and name the single next step if something is missing.

    Parameters
    ----------
    checks : tuple of callable, optional
        The checks, in the order in which they build on one another.

    Returns
    -------
    int
        0 if all is there, 1 if something is missing.
    """
    first_missing: Finding | None = None
    for check in checks:
        finding = _guarded(check)
        print(f"{'ok     ' if finding.ok else 'MISSING'}  {finding.name}: {finding.found}", flush=True)
        if not finding.ok and first_missing is None:
            first_missing = finding
    if first_missing is None:
        print("\nAll is there. Next: controlkit start")
        return 0
    print(f"\nNext step ({first_missing.name}): {first_missing.next_step}")
    return 1


def _guarded(check: Callable[[], Finding]) -> Finding:
    """Run a check; whatever it meets is a finding, never a traceback."""
    try:
        return check()
    except Exception as error:  # noqa: BLE001  (the one place whose job it is to report anything)
        name = check.__name__.strip("_").replace("_", " ").capitalize()
        return Finding(name, False, f"{type(error).__name__}: {error}", _INSTALL_AGAIN)

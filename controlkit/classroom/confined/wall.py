"""The wall around every worker: the command of bubblewrap, with the few things that can be seen inside."""

from __future__ import annotations

import os
import site
import sys
from collections.abc import Iterator
from pathlib import Path

import controlkit

PACKAGES, KIT, SCRATCH = "/packages", "/kit", "/scratch"
"""Inside: the folder that holds the package; what was handed out; where a notebook may write."""

_NOBODY = 65534
"""The unprivileged user and group that stands in for root."""

_SYSTEM = ("/usr", "/lib", "/lib32", "/lib64", "/bin", "/sbin")
_OF_ETC = ("/etc/ld.so.cache", "/etc/alternatives", "/etc/localtime")
_OF_PYTHON = ("bin", "lib", "lib64", "pyvenv.cfg", "libexec")


def package_folder() -> Path:
    """The package itself, and not the folder in which it lies: beside it may lie solutions.

    Returns
    -------
    Path
        The folder ``controlkit``
    """
    return Path(controlkit.__file__).resolve().parent


def site_folders() -> tuple[Path, ...]:
    """Folders of installed packages that lie outside this Python.

    Returns
    -------
    tuple of Path
        In the order in which they are looked through
    """
    folders = [Path(one) for one in sys.path if Path(one).name in ("site-packages", "dist-packages")]
    folders += [Path(site.getusersitepackages())] if site.ENABLE_USER_SITE else []
    roots = [Path(one) for one in (*_SYSTEM, *(str(root / part) for root in _roots() for part in _OF_PYTHON))]
    outside = [one for one in folders if one.is_dir() and not any(one.is_relative_to(root) for root in roots)]
    return tuple(dict.fromkeys(outside))


def command(program: list[str], *, bubblewrap: str, kit: Path | None, stage: Path | None, once: bool) -> list[str]:
    """The whole command that runs a Python program behind the wall.

    Parameters
    ----------
    program : list of str
        What stands behind the name of Python, as seen inside
    bubblewrap : str
        Where bubblewrap is
    kit : Path or None
        The folder that was handed out
    stage : Path or None
        For root: an empty folder that everybody may enter
    once : bool
        Whether one notebook alone runs behind it; else each brings its own scratch folder

    Returns
    -------
    list of str
        Program and arguments
    """
    seen = list(_seen(kit))
    if stage is None:
        return [bubblewrap, *_arguments(seen, once=once), sys.executable, "-I", "-B", *program]
    staged = [(str(stage / str(number)), there) for number, (_, there) in enumerate(seen)]
    sources = [source for source, _ in seen]
    dropped = [sys.executable, "-I", "-B", str(package_folder() / "classroom" / "confined" / "drop.py")]
    dropped += [str(stage), str(_NOBODY), str(_NOBODY), str(len(sources)), *sources, bubblewrap]
    return [*dropped, *_arguments(staged, once=once), sys.executable, "-I", "-B", *program]


def _roots() -> tuple[Path, ...]:
    """Where this Python lies: the environment, what it was made from, and where links of either lead."""
    named = [Path(sys.prefix), Path(sys.exec_prefix), Path(sys.base_prefix), Path(sys.base_exec_prefix)]
    named += [one.resolve() for one in named]
    named.append(Path(os.path.realpath(sys.executable)).parent.parent)
    return tuple(one for one in dict.fromkeys(named) if one != Path("/"))


def _seen(kit: Path | None) -> Iterator[tuple[str, str]]:
    """Whatever can be read inside: from where, and where it stands there."""
    there = [Path(one) for one in (*_SYSTEM, *_OF_ETC) if Path(one).exists() and not Path(one).is_symlink()]
    for root in _roots():
        if root != Path("/usr"):
            there += [root / part for part in _OF_PYTHON if (root / part).exists()]
    there += [Path("/nix/store")] if str(sys.base_prefix).startswith("/nix/") else []
    for one in dict.fromkeys((*there, *site_folders())):
        yield str(one), str(one)
    yield str(package_folder()), f"{PACKAGES}/controlkit"
    if kit is not None:
        yield str(kit.resolve()), KIT


def _arguments(seen: list[tuple[str, str]], *, once: bool) -> list[str]:
    """What bubblewrap is told: nothing is shared, nothing can be written but one scratch folder."""
    told = ["--unshare-user", "--uid", "1000", "--gid", "1000"]
    told += ["--unshare-pid", "--unshare-ipc", "--unshare-net", "--unshare-uts", "--unshare-cgroup-try"]
    told += ["--hostname", "confined", "--die-with-parent", "--new-session", "--cap-drop", "ALL", "--clearenv"]
    for source, there in seen:
        told += ["--ro-bind", source, there]
    for one in _SYSTEM:
        if Path(one).is_symlink():
            told += ["--symlink", str(Path(one).readlink()), one]
    told += ["--proc", "/proc", "--dev", "/dev", *(["--tmpfs", SCRATCH] if once else ["--dir", SCRATCH])]
    if not any(Path(there).is_relative_to("/tmp") for _, there in seen):
        told += ["--symlink", SCRATCH, "/tmp"]
    told += ["--remount-ro", "/dev", "--remount-ro", "/", "--chdir", "/"]
    for name, value in environment().items():
        told += ["--setenv", name, value]
    return told


def environment() -> dict[str, str]:
    """All that a worker finds in its environment.

    Returns
    -------
    dict of str to str
        One thread for each library of numbers, a home that is empty
    """
    threads = {f"{name}_NUM_THREADS": "1" for name in ("OPENBLAS", "OMP", "MKL", "NUMEXPR", "VECLIB_MAXIMUM")}
    place = {"HOME": SCRATCH, "TMPDIR": SCRATCH, "MPLCONFIGDIR": SCRATCH, "MPLBACKEND": "Agg", "PATH": "/usr/bin:/bin"}
    return {**threads, **place, "LANG": "C.UTF-8"}

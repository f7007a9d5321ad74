"""What an instructor keeps back: loaded by its path at grading, never imported by the package."""

from __future__ import annotations

import importlib.util
from pathlib import Path

from controlkit.checking import KeptBack
from controlkit.units import InputError


def private(exercise: str, start: Path | str = ".") -> KeptBack:
    """The private part of an exercise, from the nearest ``solutions/`` folder above.

    Parameters
    ----------
    exercise : str
        Name of the exercise, such as "ex03"
    start : Path or str
        Folder from which to look upwards

    Returns
    -------
    KeptBack
        What students do not see

    Raises
    ------
    InputError
        If there is no such file, or it does not hold them

    Notes
    -----
    Looked for as ``solutions/ex03_graded.py`` in ``start`` and every folder above it. It fails
    rather than grade a class on what the students have already seen.
    """
    here = Path(start).resolve()
    for folder in (here, *here.parents):
        path = folder / "solutions" / f"{exercise}_graded.py"
        if path.is_file():
            return _load(path)
    raise InputError(
        given=f"The private file solutions/{exercise}_graded.py was found neither here nor in any folder above.",
        do="Grade inside the class folder that holds solutions/.",
    )


def _load(path: Path) -> KeptBack:
    spec = importlib.util.spec_from_file_location(f"_private_{path.stem}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    kept_back = getattr(module, "kept_back", None)
    if not isinstance(kept_back, KeptBack):
        raise InputError(
            given=f"The file {path.name} does not define `kept_back`.",
            do="It must say kept_back = KeptBack({...}), by item.",
        )
    return kept_back

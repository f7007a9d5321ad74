"""What designs came to, kept on disk by body and settings: a mended tolerance simulates nothing anew."""

from __future__ import annotations

import hashlib
import pickle
import zlib
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

from controlkit.checking import Case, Design, Sheet
from controlkit.classroom.records.kept import keep_bytes
from controlkit.executors.program import PACKAGE, of_files
from controlkit.units import InputError

_JUDGES = ("items.py", "ideas.py", "steps.py")
"""Files of an exercise that say what is asked and what is enough; the function that simulates is looked at itself."""


def remembering(sheet: Sheet, folder: Path) -> Sheet:
    """An exercise whose designs are simulated once for each body and setting.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    folder : Path
        Where results lie; made if need be

    Returns
    -------
    Sheet
        The same, and its designs judge to the same points
    """
    items = tuple(
        replace(item, simulate=OnDisk(item.simulate, folder)) if isinstance(item, Design) else item
        for item in sheet.items
    )
    return replace(sheet, items=items)


@dataclass(frozen=True)
class OnDisk:
    """A simulation that looks on disk first.

    Parameters
    ----------
    simulate : callable
        Of a design
    folder : Path
        Where results lie
    """

    simulate: Callable[[Any, Mapping[str, Any], Case], Any]
    folder: Path

    def __call__(self, wearer: Any, settings: Mapping[str, Any], case: Case) -> Any:
        path = self.path(wearer, settings, case)
        try:
            worn, result = pickle.loads(zlib.decompress(path.read_bytes()))
        except (OSError, ValueError, zlib.error, pickle.UnpicklingError, AttributeError, ImportError, EOFError):
            worn, result = _simulated(self.simulate, wearer, settings, case)
            content = _packed(worn, result)
            if content is not None:
                keep_result(path, content)
        if not worn:
            raise InputError(given=result["given"], allowed=result["allowed"], do=result["do"])
        return result

    def path(self, wearer: Any, settings: Mapping[str, Any], case: Case) -> Path:
        """Where a result lies, or will lie.

        Parameters
        ----------
        wearer : Wearer
            The body
        settings : mapping
            What was chosen
        case : Case
            The student's

        Returns
        -------
        Path
            By all that a result depends on
        """
        key = hashlib.sha256()
        for part in (_mechanics(), of_function(self.simulate), wearer, sorted(settings.items())):
            key.update(repr(part).encode())
        key.update(repr((case.exercise, sorted(case.values.items()))).encode())
        return self.folder / f"{key.hexdigest()}.result"


def simulated(
    simulate: Callable[[Any, Mapping[str, Any], Case], Any], wearer: Any, settings: Mapping[str, Any], case: Case
) -> bytes | None:
    """Simulate a design, and pack what it came to as it lies on disk.

    Parameters
    ----------
    simulate : callable
        Of the design
    wearer : Wearer
        The body
    settings : mapping
        What was chosen
    case : Case
        The student's

    Returns
    -------
    bytes or None
        For `keep_result`; None if it cannot be kept
    """
    return _packed(*_simulated(simulate, wearer, settings, case))


def keep_result(path: Path, content: bytes) -> None:
    """Keep what a design came to; where there is no room it is simulated each time.

    Parameters
    ----------
    path : Path
        Of `OnDisk`
    content : bytes
        From `simulated`
    """
    with suppress(OSError):
        keep_bytes(path, content)


def _simulated(
    simulate: Callable[[Any, Mapping[str, Any], Case], Any], wearer: Any, settings: Mapping[str, Any], case: Case
) -> tuple[bool, Any]:
    """What a design came to; why it cannot be worn as plain words, which lie on disk alike wherever they were said."""
    try:
        return True, simulate(wearer, settings, case)
    except InputError as reason:
        return False, {"given": reason.given, "allowed": reason.allowed, "do": reason.do}


def _packed(worn: bool, result: Any) -> bytes | None:
    """None if it cannot be kept: it is simulated each time."""
    try:
        return zlib.compress(pickle.dumps((worn, result)), 3)
    except (TypeError, AttributeError, pickle.PicklingError):
        return None


@cache
def _mechanics() -> str:
    rooms = [PACKAGE / name for name in ("mechanics", "units", "sources")]
    shared = [path for path in sorted((PACKAGE / "exercises").rglob("*.py")) if path.name not in _JUDGES]
    return of_files(*rooms, *shared)


@cache
def of_function(function: Callable[..., Any]) -> str:
    """A fingerprint of a function, with every function and constant of its own file that it uses.

    Parameters
    ----------
    function : callable
        Of an exercise

    Returns
    -------
    str
        SHA-256
    """
    found = hashlib.sha256()
    seen: set[str] = set()
    waiting: list[Any] = [function]
    while waiting:
        one = waiting.pop()
        if not isinstance(one, FunctionType):
            found.update(repr(type(one)).encode())
            continue
        if one.__qualname__ in seen:
            continue
        seen.add(one.__qualname__)
        for code in _codes(one.__code__):
            found.update(code.co_code + repr([c for c in code.co_consts if not isinstance(c, CodeType)]).encode())
            for name in code.co_names:
                used = one.__globals__.get(name)
                if isinstance(used, FunctionType) and used.__module__ == one.__module__:
                    waiting.append(used)
                elif not isinstance(used, FunctionType | ModuleType):
                    found.update(f"{name} {used!r}".encode())
    return found.hexdigest()


def _codes(code: CodeType) -> list[CodeType]:
    return [code, *(inner for one in code.co_consts if isinstance(one, CodeType) for inner in _codes(one))]

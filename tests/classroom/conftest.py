"""The same exercises as the tests of checking have them."""

from __future__ import annotations

from tests.checking.conftest import every, modules

__all__ = ["every", "modules"]

"""Benchmarks use the server and browser of the browser tests, and the exercises of the tests of checking."""

from tests.browser.conftest import browser, chromium_path, page, server, watch
from tests.checking.conftest import every, modules

__all__ = ["browser", "chromium_path", "every", "modules", "page", "server", "watch"]

"""The benchmarks of the labs use the same server and browser as the browser tests."""

from tests.browser.conftest import browser, chromium_path, page, server, watch

__all__ = ["browser", "chromium_path", "page", "server", "watch"]

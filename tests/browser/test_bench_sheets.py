"""A bench sheet prints on one page."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

SHEETS = sorted((Path(__file__).resolve().parents[2] / "course" / "bench-sheets").glob("*.html"))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_one_page(browser: Any, path: Path) -> None:
    """On A4, with the margins that the sheet asks for."""
    page = browser.new_page()
    try:
        page.goto(path.as_uri())
        printed = page.pdf(prefer_css_page_size=True)
    finally:
        page.close()
    assert re.findall(rb"/Type\s*/Pages[^>]*?/Count (\d+)", printed) == [b"1"]

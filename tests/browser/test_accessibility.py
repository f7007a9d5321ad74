"""An accessibility scan of what stands round the labs; the labs themselves are scanned one by one in test_labs.py."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from .conftest import PROGRAMS, Gallery
from .labpage import LAB

# Violations of the notebook programs themselves, all outside our labs; each with its reason.
FOREIGN: dict[str, str] = {
    "aria-allowed-attr": "both programs: code editors and cells carry attributes that their roles do not allow",
    "aria-input-field-name": "both programs: the code editor has no label",
    "aria-required-children": "both programs: the list of cells is a feed whose children are no articles",
    "label-title-only": "JupyterLab: the field with the document's name has a tooltip for a label",
    "region": "JupyterLab: its link to the main panel stands outside every landmark",
    "link-name": "Notebook 7: its logo is a link without a text",
    "skip-link": "Notebook 7: its link to the main panel leads nowhere",
    "tabindex": "Notebook 7: its menu uses tab numbers above zero",
}


@pytest.mark.parametrize("program", PROGRAMS)
def test_what_fails_is_foreign(galleries: Callable[[str], Gallery], program: str) -> None:
    """The rest of the page fails only in ways that are known to be foreign."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    around = axe.run(galleries(program).page, context={"exclude": [[LAB]]})
    assert around.response["passes"], "the scan looked at something"
    unknown = {violation["id"] for violation in around.response["violations"]} - set(FOREIGN)
    assert not unknown, around.generate_report()

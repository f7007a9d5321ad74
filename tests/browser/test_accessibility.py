"""An accessibility scan of the lab in both programs."""

from __future__ import annotations

from typing import Any

import pytest

from .conftest import PROGRAMS
from .labpage import LAB, open_lab

# Violations of the notebook programs themselves, all outside our lab; each with its reason.
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
def test_no_violation_of_ours(page: Any, server: Any, program: str) -> None:
    """The lab itself passes; the rest of the page fails only in ways that are known to be foreign."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    lab = open_lab(page, server, program)
    lab.type_value("crossbar", "twelve")  # the sentence beside a control is part of the scan
    ours = axe.run(page, context={"include": [[LAB]]})
    assert ours.response["passes"], "the scan looked at something"
    assert not ours.response["violations"], ours.generate_report()
    around = axe.run(page, context={"exclude": [[LAB]]})
    unknown = {violation["id"] for violation in around.response["violations"]} - set(FOREIGN)
    assert not unknown, around.generate_report()


@pytest.mark.parametrize("program", PROGRAMS)
def test_names_and_words_for_a_screen_reader(page: Any, server: Any, program: str) -> None:
    """Controls have names and values with units; pictures have title and words; one region speaks."""
    lab = open_lab(page, server, program)
    slider = page.get_by_role("slider", name="Ring below C7")
    assert slider.get_attribute("aria-valuetext") == "60 mm"
    assert page.get_by_role("textbox", name="Ring below C7, typed, in mm").count() == 1
    for name in ("Play the motion", "Pin this setting", "Reset"):
        assert page.get_by_role("button", name=name).count() == 1
    picture = page.get_by_role("img", name="The wearer from behind")
    assert picture.count() == 1
    described = picture.locator("desc").text_content()
    assert described.startswith("Seen from behind")
    spoken = page.locator(f"{LAB} .ck-aloud")
    node = spoken.element_handle()
    lab.press("ring_below_c7", "ArrowRight")
    page.wait_for_function(
        "([node, words]) => words.startsWith(node.textContent.slice(0, 40)) && node.textContent.length > 40",
        arg=[node, lab.words],
    )
    assert spoken.evaluate("(now, then) => now === then", node), "the speaking region lasts"

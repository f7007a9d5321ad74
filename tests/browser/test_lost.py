"""What gets lost between a page and its kernel is asked again, and nobody who has gone on is called back."""

from __future__ import annotations

from typing import Any

import pytest

from .labpage import LAB, open_labs

# the next message to the kernel that holds a question, or all from the kernel until the next question, do not arrive
LOSE = """
window.ckLost = [];
window.ckLose = '';
const text = (data) => typeof data === 'string' ? data : new TextDecoder().decode(data);
const send = WebSocket.prototype.send;
WebSocket.prototype.send = function (data) {
  if (!text(data).includes('"asked"')) return send.call(this, data);
  if (window.ckLose === 'question') { window.ckLose = ''; window.ckLost.push('question'); return; }
  window.ckDeaf = window.ckLose === 'answer';
  window.ckLose = '';
  return send.call(this, data);
};
const heard = Object.getOwnPropertyDescriptor(WebSocket.prototype, 'onmessage');
Object.defineProperty(WebSocket.prototype, 'onmessage', { ...heard, set(handle) {
  heard.set.call(this, (event) => {
    if (window.ckDeaf) window.ckLost.push('answer'); else handle.call(this, event);
  });
} });
"""


@pytest.mark.parametrize("lost", ["question", "answer"])
def test_what_gets_lost_is_asked_again(page: Any, server: Any, lost: str) -> None:
    """A line that fails for a moment: the lab shows what was asked for without another move, and goes on."""
    page.add_init_script(LOSE)
    lab = open_labs(page, server, "jupyterlab", ["device"])["device"]
    line = lab.line
    page.evaluate("(lost) => { window.ckLose = lost; }", lost)
    lab.press("width", "ArrowRight")
    assert lost in page.evaluate("window.ckLost")
    moved = lab.line
    assert moved != line
    page.evaluate("window.ckLost = []")
    lab.press("width", "ArrowRight")
    assert lab.line not in (line, moved)
    assert page.evaluate("window.ckLost") == []
    lab.no_error()


def test_a_choice_leaves_the_keyboard_where_the_learner_has_gone(page: Any, server: Any) -> None:
    """After a prediction the next one has the focus, unless she has gone on to something else meanwhile."""
    lab = open_labs(page, server, "jupyterlab", ["bench"])["bench"]  # it has more than two
    asked = lab.root.locator(".ck-options").get_attribute("data-of")
    page.evaluate(CHOOSE, [LAB, "strength"])
    second = page.wait_for_function(OTHER, arg=[LAB, asked]).json_value()
    assert page.evaluate("document.activeElement.dataset.key") == "strength"
    lab.root.locator(".ck-options button").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_function(OTHER, arg=[LAB, second])
    assert page.evaluate("document.activeElement.closest('.ck-options') !== null")


# choose with a click, and be elsewhere before the kernel has answered
CHOOSE = """([lab, key]) => {
  const root = document.querySelector(lab), option = root.querySelector('.ck-options button');
  option.focus();
  option.click();
  root.querySelector(`[data-key=${key}]`).focus();
}"""
# the prediction that stands there, if it is not the old one
OTHER = """([lab, old]) => {
  const now = document.querySelector(lab).querySelector('.ck-options').dataset.of;
  return now !== old && now;
}"""

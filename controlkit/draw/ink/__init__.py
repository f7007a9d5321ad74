"""The inks: SVG text for labs and notebooks, matplotlib for print."""

from controlkit.draw.ink.mpl import render_matplotlib
from controlkit.draw.ink.svg import render_html, render_svg
from controlkit.draw.page.scene import Shown

__all__ = ["render_html", "render_matplotlib", "render_svg"]

Shown.written_by(render_html)

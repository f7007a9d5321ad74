"""How things look: pictures as data, and two ways to ink them.

A picture never computes. It is handed a result of the mechanics and turns it
into lines, labels and words.
"""

from controlkit.draw.charts.chain import chain_bars
from controlkit.draw.charts.dual import dual_excursion_chart, lift_force_chart, live_grip_chart, live_lift_chart
from controlkit.draw.charts.excursion import EXCURSIONS, excursion_scene
from controlkit.draw.details.scene import DETAILS, detail_scene
from controlkit.draw.device.scene import device_scene
from controlkit.draw.ink import render_html, render_matplotlib, render_svg
from controlkit.draw.page.evidence import evidence_tables, practice_tables
from controlkit.draw.page.legend import StrapKey, legend
from controlkit.draw.page.scene import (
    Arrow,
    Axis,
    Chart,
    Curve,
    Dot,
    Frame,
    Label,
    Line,
    Marker,
    Region,
    Scene,
    Threshold,
)
from controlkit.draw.page.side import side_by_side
from controlkit.draw.page.tables import facts, text_table
from controlkit.draw.wearer.housing import housing_scene
from controlkit.draw.wearer.lifting import lift_scene
from controlkit.draw.wearer.notation import notation_scene
from controlkit.draw.wearer.pair import pair_scene
from controlkit.draw.wearer.parts import PARTS
from controlkit.draw.wearer.polygon import force_polygon_scene
from controlkit.draw.wearer.scene import wearer_scene
from controlkit.draw.words.chain import Chain
from controlkit.draw.words.dual import Lifting
from controlkit.draw.words.sequence import amount_words

__all__ = [
    "DETAILS",
    "EXCURSIONS",
    "PARTS",
    "Arrow",
    "Axis",
    "Chain",
    "Chart",
    "Curve",
    "Dot",
    "Frame",
    "Label",
    "Lifting",
    "Line",
    "Marker",
    "Region",
    "Scene",
    "StrapKey",
    "Threshold",
    "amount_words",
    "chain_bars",
    "detail_scene",
    "device_scene",
    "dual_excursion_chart",
    "evidence_tables",
    "excursion_scene",
    "facts",
    "force_polygon_scene",
    "housing_scene",
    "legend",
    "lift_force_chart",
    "lift_scene",
    "live_grip_chart",
    "live_lift_chart",
    "notation_scene",
    "pair_scene",
    "practice_tables",
    "render_html",
    "render_matplotlib",
    "render_svg",
    "side_by_side",
    "text_table",
    "wearer_scene",
]

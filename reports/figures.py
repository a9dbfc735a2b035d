"""The charts as files: SVG for print, PNG of a slide's size; each says whom it is for."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache, partial
from typing import Final

from lxml import etree

from reports.making import Making, drawn_from
from reports.parts import Figure

SLIDE: Final = (1920, 1080)
_FOOT, _EDGE = 26, 8
_SVG: Final = "{http://www.w3.org/2000/svg}"


def export_figures(making: Making, figures: Iterable[Figure], keep: str) -> None:
    """Write each figure as `figures/<name>.svg` and `.png`, where it is not as it was.

    Args:
        making: the edition that they go into.
        figures: figures with distinct names.
        keep: whom they are for, drawn under each.
    """
    for figure in figures:
        specification = json.dumps(figure.specification, sort_keys=True)
        longer = f"{figure.says} {figure.longer}"
        name, inputs = f"figures/{figure.name}", drawn_from(specification, longer, keep)
        draw = partial(_drawing, specification, figure.title, longer, keep)
        drawing = making.write(f"{name}.svg", draw, inputs)
        making.write(f"{name}.png", partial(_png, drawing), inputs)


def chart_library(making: Making) -> str:
    """Return the chart library as one script that sets `lostrootEmbed`, about 900 kB."""
    return making.write("figures/charts.js", _bundle, drawn_from()).decode()


# The library starts a whole script engine: it is loaded only when something is to be drawn.
def _svg(specification: str) -> bytes:
    import vl_convert

    return vl_convert.vegalite_to_svg(specification).encode()


def _drawing(specification: str, title: str, longer: str, keep: str) -> bytes:
    """A chart with its name, its text alternative, and a line under it that says whose it is."""
    root = etree.fromstring(_svg(specification))
    wide, high = float(root.get("width")), float(root.get("height"))
    root.set("height", f"{high + _FOOT:g}")
    root.set("viewBox", f"0 0 {wide:g} {high + _FOOT:g}")
    root.find(f"{_SVG}rect").set("height", f"{high + _FOOT:g}")
    for place, (tag, text) in enumerate((("title", title), ("desc", longer))):
        told = etree.Element(f"{_SVG}{tag}")
        told.text = text
        root.insert(place, told)
    foot = etree.SubElement(root, f"{_SVG}text", x=f"{wide - _EDGE:g}", y=f"{high + _FOOT / 2:g}")
    foot.attrib.update({"text-anchor": "end", "font-family": "sans-serif", "font-size": "11"})
    foot.text = keep
    written: bytes = etree.tostring(root, encoding="utf-8")
    return written


def _png(drawing: bytes) -> bytes:
    """A drawing in the middle of a white slide."""
    import vl_convert

    inner, (wide, high) = etree.fromstring(drawing), SLIDE
    inner.attrib.update({"x": "3%", "y": "3%", "width": "94%", "height": "94%"})
    inner.set("overflow", "visible")  # to cut off what lies outside, if anything did, takes longest
    slide = etree.Element(f"{_SVG}svg", nsmap={None: _SVG[1:-1]}, width=str(wide), height=str(high))
    etree.SubElement(slide, f"{_SVG}rect", width="100%", height="100%", fill="white")
    slide.append(inner)
    return vl_convert.svg_to_png(etree.tostring(slide, encoding="unicode"), scale=1)


@cache  # both editions need it
def _bundle() -> bytes:
    import vl_convert

    library: str = vl_convert.javascript_bundle("window.lostrootEmbed = vegaEmbed;")
    return library.encode()

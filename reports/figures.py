"""The charts as files: SVG for print, PNG for slides."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache, partial

from reports.making import Making, drawn_from
from reports.parts import Figure

PNG_SCALE = 2


def export_figures(making: Making, figures: Iterable[Figure]) -> None:
    """Write each figure as `figures/<name>.svg` and `.png`, where it is not as it was.

    Args:
        making: the edition that they go into.
        figures: figures with distinct names.
    """
    for figure in figures:
        specification = json.dumps(figure.specification, sort_keys=True)
        name, inputs = f"figures/{figure.name}", drawn_from(specification)
        drawing = making.write(f"{name}.svg", partial(_svg, specification), inputs)
        making.write(f"{name}.png", partial(_png, drawing), inputs)


def chart_library(making: Making) -> str:
    """Return the chart library as one script that sets `lostrootEmbed`, about 900 kB."""
    return making.write("figures/charts.js", _bundle, drawn_from()).decode()


# The library starts a whole script engine: it is loaded only when something is to be drawn.
def _svg(specification: str) -> bytes:
    import vl_convert

    return vl_convert.vegalite_to_svg(specification).encode()


def _png(drawing: bytes) -> bytes:
    import vl_convert

    return vl_convert.svg_to_png(drawing.decode(), scale=PNG_SCALE)


@cache  # both editions need it
def _bundle() -> bytes:
    import vl_convert

    library: str = vl_convert.javascript_bundle("window.lostrootEmbed = vegaEmbed;")
    return library.replace("</script", "<\\/script").encode()

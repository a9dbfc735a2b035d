"""The charts as files: SVG for print, PNG for slides."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import vl_convert

from reports.parts import Figure

__all__ = ["export_figures"]

PNG_SCALE = 2


def export_figures(folder: Path, figures: Iterable[Figure]) -> tuple[Path, ...]:
    """Write each figure as `<name>.svg` and `<name>.png`.

    Args:
        folder: an existing folder.
        figures: figures with distinct names.
    """
    written: list[Path] = []
    for figure in figures:
        vector, image = folder / f"{figure.name}.svg", folder / f"{figure.name}.png"
        drawing = vl_convert.vegalite_to_svg(figure.specification)
        vector.write_text(drawing, encoding="utf-8")
        image.write_bytes(vl_convert.svg_to_png(drawing, scale=PNG_SCALE))
        written += [vector, image]
    return tuple(written)

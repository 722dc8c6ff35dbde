"""A drawing as a picture of dots, in letters that come along with raftway's own libraries."""

import re
from pathlib import Path

from scheduler.outputs.fonts import load_charts

FONT = "DejaVu Sans"
ZOOM = 2.5
TALLEST = 16_000
"""Dots; a higher drawing is shown smaller, but never below its own size."""


def png(drawing: str) -> bytes:
    """Return a drawing as PNG on white, 2.5 dots for each of its units.

    Fonts of the system are used only for letters that the one that comes along does not have.

    Raises:
        ValueError: it is no drawing.
    """
    load_charts()
    import matplotlib
    import resvg_py
    from matplotlib.ft2font import FT2Font

    fonts = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    known = FT2Font(str(fonts / "DejaVuSans.ttf")).get_charmap()
    only_known = all(ord(letter) in known or not letter.isprintable() for letter in set(drawing))
    height = re.search(r'viewBox="0 0 \S+ ([0-9.]+)"', drawing)
    zoom = ZOOM if height is None else max(1.0, min(ZOOM, TALLEST / max(1.0, float(height[1]))))
    dots = resvg_py.svg_to_bytes(
        svg_string=drawing,
        background="#ffffff",
        skip_system_fonts=only_known,
        font_dirs=[str(fonts)],
        font_family=FONT,
        sans_serif_family=FONT,
        zoom=zoom,
    )
    return bytes(dots)

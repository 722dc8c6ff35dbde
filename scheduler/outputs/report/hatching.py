"""The hatch of a crop as strokes within a rectangle.

Browsers print a pattern as a picture of its own wherever it stands: some hundred drawings with patterns
make a PDF of hundreds of megabytes, or none. Strokes stay strokes.
"""

from collections.abc import Iterator

from scheduler.outputs.drawings.svg import number

STEP = 6
"""From one stroke to the next."""

DOT = 2
"""Length of a dotted stroke."""


def strokes(hatch: str, width: float, height: float) -> str:
    """Return the strokes of a hatch as the data of a path, from 0, 0; empty for no hatch.

    Args:
        hatch: a sign of :data:`scheduler.outputs.drawings.palette.HATCHES`.
        width: of the rectangle.
        height: of the rectangle.
    """
    drawn: list[str] = []
    if hatch in ("-", "+"):
        drawn += (f"M0 {number(y)}H{number(width)}" for y in _steps(height))
    if hatch in ("|", "+"):
        drawn += (f"M{number(x)} 0V{number(height)}" for x in _steps(width))
    if hatch in ("/", "x"):
        drawn += (
            f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}"
            for x1, y1, x2, y2 in _slanting(width, height)
        )
    if hatch in ("\\", "x"):
        drawn += (
            f"M{number(width - x1)} {number(y1)}L{number(width - x2)} {number(y2)}"
            for x1, y1, x2, y2 in _slanting(width, height)
        )
    if hatch == ".":
        drawn += (f"M{number(x)} {number(y)}h{DOT}" for y in _steps(height) for x in _steps(width - DOT))
    return "".join(drawn)


def _steps(length: float) -> Iterator[float]:
    at = STEP / 2
    while at < length:
        yield at
        at += STEP


def _slanting(width: float, height: float) -> Iterator[tuple[float, float, float, float]]:
    """Yield strokes that rise to the right, cut off at the edges."""
    total = float(STEP)
    while total < width + height:
        top, bottom = max(0.0, total - width), min(height, total)
        yield total - top, top, total - bottom, bottom
        total += STEP

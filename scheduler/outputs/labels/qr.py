"""The QR code of a lot: its code as plain text, nothing else."""

import io
from functools import lru_cache

import segno

SMALLEST_MODULE = 330
"""Thousandths of a mm; phones read smaller ones, but not with wet or scratched labels (estimate)."""
QUIET = 4
"""Modules left white on each side, as ISO/IEC 18004 asks for (from memory)."""


def qr_svg(text: str, size: int) -> str:
    """Return a QR code as an ``<svg>`` element without size or address.

    Args:
        text: what a scanner reads.
        size: the side it will be printed at, quiet zone included, in thousandths of a mm.

    Returns:
        The element, or nothing at all where the text is empty, too long to be scanned at that size, or holds
        a colon, which makes a phone take it for an address or a command.
    """
    if not text or ":" in text:
        return ""
    modules, drawn = _drawn(text)
    return drawn if size >= SMALLEST_MODULE * modules else ""


@lru_cache(maxsize=1024)  # a lot has many labels
def _drawn(text: str) -> tuple[int, str]:
    """Return how many modules a code is wide with its quiet zone, and the code; none of a text too long."""
    try:
        code = segno.make_qr(text, error="m")
    except (segno.DataOverflowError, UnicodeEncodeError):
        return 0, ""
    out = io.BytesIO()
    code.save(
        out, kind="svg", border=QUIET, xmldecl=False, svgns=False, nl=False, omitsize=True, svgclass=None,
        lineclass=None, light="#fff",
    )  # fmt: skip
    return int(code.symbol_size(border=QUIET)[0]), out.getvalue().decode()

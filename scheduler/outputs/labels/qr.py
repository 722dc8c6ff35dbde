"""The QR code of a lot: its code as plain text, nothing else."""

import io

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
    try:
        code = segno.make_qr(text, error="m")
    except (segno.DataOverflowError, UnicodeEncodeError):
        return ""
    if size < SMALLEST_MODULE * code.symbol_size(border=QUIET)[0]:
        return ""
    out = io.BytesIO()
    code.save(
        out, kind="svg", border=QUIET, xmldecl=False, svgns=False, nl=False, omitsize=True, svgclass=None,
        lineclass=None, light="#fff",
    )  # fmt: skip
    return out.getvalue().decode()

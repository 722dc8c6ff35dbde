"""Positions of a bed as text, and read again."""

import re
from collections.abc import Iterable

_RUN = re.compile(r"([1-9][0-9]{0,5})(?:-([1-9][0-9]{0,5}))?")


def positions_text(positions: Iterable[int]) -> str:
    """Write positions in runs: ``1-12, 15``."""
    runs: list[list[int]] = []
    for position in sorted(set(positions)):
        if runs and position == runs[-1][-1] + 1:
            runs[-1][1:] = [position]
        else:
            runs.append([position])
    return ", ".join("-".join(str(end) for end in run) for run in runs)


def positions_in(text: str) -> list[int] | None:
    """Read positions as :func:`positions_text` writes them; None where the text is something else."""
    found: list[int] = []
    for part in text.split(","):
        match = _RUN.fullmatch(part.strip())
        if match is None:
            return None
        first, last = int(match.group(1)), int(match.group(2) or match.group(1))
        if last < first:
            return None
        found += range(first, last + 1)
    return found

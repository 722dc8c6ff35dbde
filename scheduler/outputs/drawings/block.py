"""A piece of a drawing, as high as it is, to be put below others."""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.outputs.drawings.svg import Node

GAP = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One piece, drawn from (0, 0) on.

    Attributes:
        height: how much room it takes.
        inside: what is drawn.
        crops, marks: what the legend must explain.
        above: drawn before it where the piece before has another, and on top of every sheet.
        gap: room below it.
    """

    height: float
    inside: Sequence[Node]
    crops: frozenset[str] = frozenset()
    marks: frozenset[str] = frozenset()
    above: "Block | None" = None
    gap: float = GAP

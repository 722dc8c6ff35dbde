"""Blocks one below the other, under a heading and over a legend: one drawing, or as many as pages need."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from scheduler.outputs.drawings.block import Block
from scheduler.outputs.drawings.legend import legend
from scheduler.outputs.drawings.pen import SOFT, WIDTH, Pen
from scheduler.outputs.drawings.svg import Node, group, label, referring, svg
from scheduler.outputs.drawings.text import clipped, width_of

MARGIN = 2
_HEADING, _TITLE, _REST = 24, 15, 11


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """What stands on top: a name, what is shown of it, and the whole in a sentence for whoever listens."""

    name: str
    rest: str
    spoken: str


def sheets(pen: Pen, heading: Heading, blocks: Sequence[Block], tallest: float | None = None) -> list[Node]:
    """Return drawings that hold all blocks; a single one of any height when ``tallest`` is None."""
    pages: list[list[Block]] = [[]]
    for block in blocks:
        if tallest is not None and pages[-1] and _height(pen, [*pages[-1], block]) > tallest:
            pages.append([])
        pages[-1].append(block)
    if len(pages) == 1:
        return [_sheet(pen, heading, blocks)]
    return [
        _sheet(
            replace(pen, name=f"{pen.name}-sheet{at}"),
            replace(
                heading,
                rest=f"{heading.rest}; {at} of {len(pages)}",
                spoken=f"{heading.spoken} Sheet {at} of {len(pages)}.",
            ),
            [_referring(block, pen.name, f"{pen.name}-sheet{at}") for block in page],
        )
        for at, page in enumerate(pages, start=1)
    ]


def _referring(block: Block, old: str, new: str) -> Block:
    return replace(block, inside=tuple(referring(each, old, new) for each in block.inside))


def _with_tops(blocks: Sequence[Block]) -> list[Block]:
    """Return blocks and, before each that needs it, what belongs above it."""
    drawn: list[Block] = []
    before = None
    for block in blocks:
        if block.above is not None and block.above != before:
            drawn.append(block.above)
            before = block.above
        drawn.append(block)
    return drawn


def _height(pen: Pen, blocks: Sequence[Block]) -> float:
    drawn = _with_tops(blocks)
    return _HEADING + sum(block.height + block.gap for block in drawn) + _legend(pen, blocks).height + MARGIN


def _legend(pen: Pen, blocks: Sequence[Block]) -> Block:
    crops = frozenset[str]().union(*(block.crops for block in blocks))
    marks = frozenset[str]().union(*(block.marks for block in blocks))
    return legend(pen, crops, marks)


def _sheet(pen: Pen, heading: Heading, blocks: Sequence[Block]) -> Node:
    room = WIDTH - width_of(heading.rest, _REST) - 12
    name = clipped(heading.name, room, _TITLE, bold=True)
    inside: list[Node] = [
        group([label(0, 15, name, _TITLE, font_weight="bold")], title=heading.name),
        label(WIDTH, 15, heading.rest, _REST, text_anchor="end", fill=SOFT),
    ]
    y: float = _HEADING
    for block in _with_tops(blocks):
        inside.append(group(block.inside, y=y))
        y += block.height + block.gap
    explained = _legend(pen, blocks)
    inside.append(group(explained.inside, y=y))
    crops = frozenset[str]().union(*(block.crops for block in blocks))
    size = (WIDTH + 2 * MARGIN, y + explained.height + 2 * MARGIN)
    return svg(size, heading.spoken, pen.patterns(crops), [group(inside, MARGIN, MARGIN)])

"""One row of a work sheet's table: cells as lines of text."""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from scheduler.outputs.report.say import code, joined, own
from scheduler.plan.views.ledger import Stack

Said = tuple[Markup, ...]
"""Lines of text that stand under each other in one cell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row.

    Attributes:
        what: the crop, product or thing.
        code: its lot or order; may be empty.
        many: how many.
        source, target, note: where from, where to or for whom, what to mind.
        count: what is counted when it is done.
    """

    what: Markup
    code: Markup
    many: Said
    source: Said
    target: Said
    note: Said
    count: str


def row(what: tuple[str, str], count: str, many: Iterable[Markup], **cells: Iterable[Markup | str]) -> Row:
    """Return a row; ``what`` is a name and a code, ``cells`` are source, target and note."""
    name, lot = what
    return Row(
        what=own(name),
        code=code(lot) if lot else Markup(""),
        count=count,
        many=tuple(many),
        source=_said(cells.get("source", ())),
        target=_said(cells.get("target", ())),
        note=_said(cells.get("note", ())),
    )


def _said(lines: Iterable[Markup | str]) -> Said:
    return tuple(Markup.escape(line) for line in lines)


def shared(stack: Stack) -> Iterable[Markup]:
    """Yield with which lots units are shared; nothing when they are not."""
    if stack.shared_with:
        units = stack.item if len(stack.units) == 1 else f"{stack.item}s"
        yield Markup("same {} as {}").format(units, joined(code(lot) for lot in stack.shared_with))

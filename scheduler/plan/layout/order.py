"""Decided amounts in an order of their own, so that the plan does not depend on the order they came in."""

from collections.abc import Iterable
from dataclasses import fields
from typing import TypeVar

from scheduler.plan.decided import (
    BedBatch,
    BoardMove,
    Decided,
    Fill,
    RaftBatch,
    RaftLeave,
    Sale,
    TrayHeads,
    TrayMove,
)

Row = TypeVar("Row", TrayMove, BoardMove, RaftBatch, RaftLeave, Fill, Sale, TrayHeads, BedBatch)


def in_order(decided: Decided) -> Decided:
    """Return the same amounts sorted by what they are about; values not known come first."""
    return Decided(
        tray_moves=_sorted(decided.tray_moves),
        board_moves=_sorted(decided.board_moves),
        raft_batches=_sorted(decided.raft_batches),
        raft_leaves=_sorted(decided.raft_leaves),
        fills=_sorted(decided.fills),
        tray_heads=_sorted(decided.tray_heads),
        sales=_sorted(decided.sales),
        bed_batches=_sorted(decided.bed_batches),
    )


def _sorted(rows: Iterable[Row]) -> tuple[Row, ...]:
    return tuple(sorted(rows, key=_key))


def _key(
    row: TrayMove | BoardMove | RaftBatch | RaftLeave | Fill | Sale | TrayHeads | BedBatch,
) -> tuple[object, ...]:
    values = [getattr(row, field.name) for field in fields(row)]
    plain = [value for value in values if not isinstance(value, tuple)]
    return (*((value is not None, value or 0) for value in plain if not isinstance(value, str)), repr(row))

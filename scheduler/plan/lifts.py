"""Rafts lifted out: those that leave their row while one that came in before them stays."""

from collections.abc import Iterable, Iterator

from scheduler.plan.rows import UnitRow


def as_they_leave(rafts: Iterable[UnitRow]) -> Iterator[tuple[UnitRow, bool]]:
    """Yield the rafts of one row, first in first, each with whether it is lifted out past others."""
    ahead_until: int | None = None
    for raft in rafts:
        yield raft, ahead_until is not None and ahead_until > raft.leaves
        ahead_until = raft.leaves if ahead_until is None else max(ahead_until, raft.leaves)

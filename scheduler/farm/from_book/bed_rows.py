"""Plants that stand in beds on the first day: which positions they take."""

from collections.abc import Sequence

from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.places import Place


def first_positions(rows: Sequence[Row], bed: Place, log: FaultLog) -> list[int]:
    """Return the first position of each row of one bed; rows without one take the next that are free.

    A row takes as many positions side by side as it has units. Positions that two rows take, or that the bed
    does not have open on the first day, are a fault.
    """
    there = bed.slots.on(0)
    taken: dict[int, Row] = {}
    firsts: dict[int, int] = {}
    for row in sorted(rows, key=lambda row: row.whole_or_none("order") is None):
        number, first = row.whole("units"), row.whole_or_none("order")
        if first is None:
            first = _free_run(taken, number, there)
        firsts[row.number] = first
        positions = range(first, first + number)
        twice = next((taken[at] for at in positions if at in taken), None)
        if twice is not None:
            found = f"positions {first} to {positions[-1]} of '{bed.name}'"
            log.add(row.cell("order"), found, f"positions that {twice.cell('order')} does not take", "taken")
        elif positions[-1] > there:
            found = f"position {positions[-1]} in '{bed.name}'"
            expected = f"at most its {there} positions on the first day"
            log.add(row.cell("units"), found, expected, "no-room")
        taken.update(dict.fromkeys(positions, row))
    return [firsts[row.number] for row in rows]


def _free_run(taken: dict[int, Row], number: int, there: int) -> int:
    """Return the first of so many free positions side by side; past the last one where there are none."""
    for first in range(1, there - number + 2):
        if not any(at in taken for at in range(first, first + number)):
            return first
    return there + 1

"""A sheet of paper from which things can be rubbed out again, and on which rafts may stay longer."""

from bisect import bisect_left, bisect_right, insort
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from scheduler.model.first.sheet import LOOK, Sheet
from scheduler.model.variables.decide import HOLD_DAYS
from scheduler.model.variables.decisions import Decisions, UnitGroup

FAR = 60
"""Days to what leaves a row before or after, beyond which it does not matter how many more they are."""


@dataclass(slots=True, eq=False)
class Stay:
    """Rafts of a kind in a bundle of rows, from one day until another."""

    bundle: str
    kind: str
    enters: int
    leaves: int
    rafts: int


class Gap(NamedTuple):
    """Where rafts would stand in a row.

    Attributes:
        leaves: the day on which they can leave.
        spread: days from what leaves before them to what leaves after them, each side ``FAR`` at most.
    """

    leaves: int
    spread: int


def _enters(stay: Stay) -> int:
    return stay.enters


class Ledger(Sheet):
    """A sheet that keeps how each of its changes is undone."""

    def __init__(self, chosen: Decisions) -> None:
        """Start with empty places."""
        super().__init__(chosen)
        self._stays: dict[str, list[Stay]] = {name: [] for name in self.rows}
        self._undo: list[Callable[[], object]] = []

    def mark(self) -> int:
        """Return a mark to which everything after it can be undone."""
        return len(self._undo)

    def note(self, undo: Callable[[], object]) -> None:
        """Keep how something else that belongs to a change is undone."""
        self._undo.append(undo)

    def back_to(self, mark: int) -> None:
        """Undo everything since a mark, the last change first."""
        while len(self._undo) > mark:
            self._undo.pop()()

    def gap(self, bundle: str, enters: int, emptied: int) -> Gap | None:
        """Return where rafts that enter and are emptied on some days would stand in a bundle, if they can.

        They wait for all that entered before, and may not hold up what enters later and leaves earlier.
        """
        stays, ahead, behind = self._stays[bundle], emptied - FAR, emptied + FAR
        at = bisect_left(stays, enters, key=_enters)
        for stay in stays[max(0, at - LOOK) : at]:
            ahead = max(ahead, stay.leaves)
        leaves = max(emptied, ahead)
        if leaves - emptied > HOLD_DAYS:
            return None
        end = bisect_right(stays, enters, lo=at, key=_enters)
        for stay in stays[end : end + LOOK]:
            behind = min(behind, stay.leaves)
        return Gap(leaves, behind - ahead) if behind >= leaves else None

    def stand(self, stay: Stay) -> Stay:
        """Let rafts stand in a bundle, as :meth:`gap` has found they can."""
        insort(self._stays[stay.bundle], stay, key=_enters)
        self._change(stay, stay.enters, stay.leaves, stay.rafts, washed_from=stay.enters)
        self.note(lambda: self._gone(stay))
        return stay

    def _gone(self, stay: Stay) -> None:
        self._stays[stay.bundle].remove(stay)
        self._change(stay, stay.enters, stay.leaves, -stay.rafts, washed_from=stay.enters)

    def _change(self, stay: Stay, enters: int, leaves: int, rafts: int, *, washed_from: int) -> None:
        """Take slots from a day until another, and rafts from a day until they are washed."""
        first = self._start
        self.rows[stay.bundle].room.add(enters - first, leaves - first, rafts)
        self._owned[stay.kind].add(washed_from - first, leaves + self.wash[stay.kind] - first, rafts)

    def may_stay(self, stay: Stay, until: int) -> bool:
        """Say whether rafts may leave on a later day than they do now."""
        if until <= stay.leaves:
            return True
        if self.row_free(stay.bundle, stay.leaves, until) < stay.rafts:
            return False
        stays = self._stays[stay.bundle]
        at = bisect_right(stays, stay.enters, key=_enters)
        if any(other.leaves < until for other in stays[at : at + LOOK]):
            return False
        return self.owned(stay.kind, stay.leaves + self.wash[stay.kind], until) >= stay.rafts

    def stay(self, stay: Stay, until: int) -> None:
        """Let rafts leave on a later day, as :meth:`may_stay` has found they may."""
        before = stay.leaves
        if until > before:
            washed = before + self.wash[stay.kind]
            self._change(stay, before, until, stay.rafts, washed_from=washed)
            stay.leaves = until
            self.note(lambda: self._left(stay, before))

    def _left(self, stay: Stay, before: int) -> None:
        washed = before + self.wash[stay.kind]
        self._change(stay, before, stay.leaves, -stay.rafts, washed_from=washed)
        stay.leaves = before

    def raise_in(self, group: UnitGroup, amount: int, leaves: int) -> None:
        """Put more of a group of trays or boards in until a day."""
        steps = list(self._steps(group, amount, leaves))
        self.add(group, amount, leaves)

        def undo() -> None:
            self._leaving[group][leaves] -= amount
            for start, until, more in steps:
                self._slots[group.pool].add(start - self._start, until - self._start, -more)
                self.own(group.kind, start, until, -more)

        self.note(undo)

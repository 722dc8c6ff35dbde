"""First in, first out in every row."""

from collections import defaultdict
from collections.abc import Callable
from itertools import pairwise

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.model.variables.decisions import Decisions, Queue, Tag

Leaving = dict[int, list[IntVar]]
"""Day -> rafts of one entry that leave their slot on it."""

Hold = Callable[[IntVar, IntVar], object]
"""What is asked of rafts that leave, given the yes-or-no that everything before them has left."""


def lane_order(model: CpModel, chosen: Decisions) -> None:
    """A row is first in, first out: no raft leaves it before every raft that entered earlier has left.

    For each entry day, and each day on which a later raft might leave too early, there is a yes-or-no:
    everything that entered up to that day has left. A raft that leaves needs the yes of the entry before.
    """
    if not chosen.farm.rules.lift_out:
        _in_order(model, chosen, lambda rafts, before: model.add(rafts == 0).only_enforce_if(~before))


def lifted_past(model: CpModel, chosen: Decisions) -> None:
    """A raft that leaves while one that entered before it stays is lifted out, where rafts may be.

    What stands in which row of a bundle is known only later: a raft counts as lifted where anything that
    entered the bundle before stays, which is never too few.
    """
    if not chosen.lifts:
        return
    lifts: dict[int, tuple[IntVar, IntVar]] = {}
    for queue, days in chosen.queues.items():
        for day, rafts in days.items():
            leave = rafts
            if queue.raft_class.growing >= 0 and day == chosen.frame.start:
                leave = leaving_first(chosen, queue, rafts)
            lifts[rafts.index] = leave, chosen.lifts[queue, day]

    def hold(rafts: IntVar, before: IntVar) -> None:
        leave, lifted = lifts[rafts.index]
        model.add(lifted >= leave).only_enforce_if(~before)

    _in_order(model, chosen, hold)


def leaving_first(chosen: Decisions, queue: Queue, rafts: IntVar) -> IntVar:
    """Return the growing rafts that leave on the first day, without those whose lifting can wait."""
    found = (some for group, some in chosen.lifted.items() if chosen.class_of[group] == queue.raft_class)
    return next(found, rafts)


def _in_order(model: CpModel, chosen: Decisions, hold: Hold) -> None:
    for bundle in chosen.bundles:
        leaving: dict[int, Leaving] = defaultdict(lambda: defaultdict(list))
        for queue, by_day in chosen.queues.items():
            if queue.bundle == bundle.name:
                for day, rafts in by_day.items():
                    leaving[queue.entry][day].append(rafts)
        if leaving:
            order = _Order(model, chosen, (bundle.name, hold), leaving)
            order.of_cycle(chosen.frame.period) if chosen.frame.period else order.of_season()


class _Order:
    """The entries of one bundle, first to last, and the yes-or-nos between them."""

    def __init__(
        self, model: CpModel, chosen: Decisions, bundle: tuple[str, Hold], leaving: dict[int, Leaving]
    ) -> None:
        self._model, self._chosen, self._leaving = model, chosen, leaving
        self._bundle, self._hold = bundle
        self._entries = sorted(leaving)

    def of_season(self) -> None:
        """Order the entries of a season: each asks only about the one before, which asks on."""
        before: dict[int, IntVar] = {}
        for entry, asked in zip(self._entries, self._asked_days(), strict=True):
            self._wait_for(entry, before)
            cleared = {day: self._yes_or_no(entry, day) for day in asked}
            self._clear(entry, cleared, before)
            before = cleared

    def of_cycle(self, period: int) -> None:
        """Order the entries of a cycle: ahead of its first entry stands the last one of the cycle before."""
        latest = max(max(days) for days in self._leaving.values())
        phases = {day % period for days in self._leaving.values() for day in days}
        cleared = [
            {day: self._yes_or_no(entry, day) for day in range(entry, latest + 1) if day % period in phases}
            for entry in self._entries
        ]
        for position, entry in enumerate(self._entries):
            shift = 0 if position else period
            before = {day - shift: yes for day, yes in cleared[position - 1].items()}
            self._wait_for(entry, before)
            self._clear(entry, cleared[position], before)

    def _wait_for(self, entry: int, before: dict[int, IntVar]) -> None:
        """Ask of each raft of an entry what holds on a day by which something before it has not left."""
        self._chosen.pulse()
        for day, rafts in self._leaving[entry].items():
            for some in rafts if day in before else ():
                self._hold(some, before[day])

    def _clear(self, entry: int, cleared: dict[int, IntVar], before: dict[int, IntVar]) -> None:
        """An entry is cleared when none of it leaves later, all before it is cleared, and it stays so."""
        days = sorted(cleared)
        for day, after in pairwise(days):
            self._model.add_implication(cleared[day], cleared[after])
        for day in days:
            later = [some for d, rafts in self._leaving[entry].items() if d > day for some in rafts]
            if later:
                self._model.add(sum(later) == 0).only_enforce_if(cleared[day])
            if day in before:
                self._model.add_implication(cleared[day], before[day])

    def _asked_days(self) -> list[list[int]]:
        """Return, entry by entry, the days on which a later entry asks whether all up to it have left.

        From the last day on which any of them may leave, the answer is sure and nobody asks.
        """
        latest: list[int] = []
        for entry in self._entries:
            latest.append(max([max(self._leaving[entry]), *latest[-1:]]))
        asked: list[list[int]] = [[] for _ in self._entries]
        for position in range(len(self._entries) - 2, -1, -1):
            days = {*self._leaving[self._entries[position + 1]], *asked[position + 1]}
            asked[position] = sorted(day for day in days if day < latest[position])
        return asked

    def _yes_or_no(self, entry: int, day: int) -> IntVar:
        name = f"clear_{self._bundle}_{entry}_{day}"
        yes = self._chosen.new(self._model, 1, name, Tag("", day, True, self._bundle))
        self._chosen.cleared[self._bundle, entry, day] = yes
        return yes

"""First in, first out in every row."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.model.decisions import Decisions, Tag

Leaving = dict[int, list[IntVar]]
"""Day -> rafts of one entry that leave their slot on it."""


def lane_order(model: CpModel, chosen: Decisions) -> None:
    """A row is first in, first out: no raft leaves it before every raft that entered earlier has left.

    For each entry day, and each day on which a later raft might leave too early, there is a yes-or-no:
    everything that entered up to that day has left. A raft that leaves needs the yes of the entry before.
    """
    if chosen.farm.rules.lift_out:
        return
    for bundle in chosen.bundles:
        leaving: dict[int, Leaving] = defaultdict(lambda: defaultdict(list))
        for queue, by_day in chosen.queues.items():
            if queue.bundle == bundle.name:
                for day, rafts in by_day.items():
                    leaving[queue.entry][day].append(rafts)
        if leaving and chosen.frame.period:
            _order_cycle(model, chosen, leaving)
        elif leaving:
            _order(model, chosen, leaving)


def _order_cycle(model: CpModel, chosen: Decisions, leaving: dict[int, Leaving]) -> None:
    """Order the entries of a cycle: ahead of its first entry stands the last one of the cycle before."""
    period = chosen.frame.period
    entries = sorted(leaving)
    phases = {day % period for days in leaving.values() for day in days}
    latest = max(max(days) - period * (entry > entries[0]) for entry, days in leaving.items())
    latest = max(latest, *(max(days) for days in leaving.values()))
    asked = [[d for d in range(entry, latest + 1) if d % period in phases] for entry in entries]
    cleared = [
        {day: _yes_or_no(model, chosen, entry, day) for day in days}
        for entry, days in zip(entries, asked, strict=True)
    ]
    for position, entry in enumerate(entries):
        shift = 0 if position else period
        before = {day - shift: yes for day, yes in cleared[position - 1].items()}
        for day, rafts in leaving[entry].items():
            for some in rafts:
                if day in before:
                    model.add(some == 0).only_enforce_if(~before[day])
        days = sorted(cleared[position])
        for day, after in zip(days, days[1:], strict=False):
            model.add_implication(cleared[position][day], cleared[position][after])
        for day in days:
            yes = cleared[position][day]
            later = [some for d, rafts in leaving[entry].items() if d > day for some in rafts]
            if later:
                model.add(sum(later) == 0).only_enforce_if(yes)
            if day in before:
                model.add_implication(yes, before[day])


def _order(model: CpModel, chosen: Decisions, leaving: dict[int, Leaving]) -> None:
    entries = sorted(leaving)
    latest = _latest(entries, leaving)
    asked = _asked_days(entries, leaving, latest)
    before: dict[int, IntVar] = {}
    for position, entry in enumerate(entries):
        for day, rafts in leaving[entry].items():
            if day in before:
                for some in rafts:
                    model.add(some == 0).only_enforce_if(~before[day])
        before = _cleared(model, chosen, (entry, leaving[entry]), asked[position], before)


def _latest(entries: list[int], leaving: dict[int, Leaving]) -> list[int]:
    """Return, entry by entry, the day from which everything up to it has surely left."""
    found: list[int] = []
    for entry in entries:
        found.append(max([max(leaving[entry]), *found[-1:]]))
    return found


def _asked_days(entries: list[int], leaving: dict[int, Leaving], latest: list[int]) -> list[list[int]]:
    """Return, entry by entry, the days on which a later entry asks whether everything up to it has left."""
    asked: list[list[int]] = [[] for _ in entries]
    for position in range(len(entries) - 2, -1, -1):
        days = {*leaving[entries[position + 1]], *asked[position + 1]}
        asked[position] = sorted(day for day in days if day < latest[position])
    return asked


def _cleared(
    model: CpModel,
    chosen: Decisions,
    entry: tuple[int, Leaving],
    days: list[int],
    before: dict[int, IntVar],
) -> dict[int, IntVar]:
    """Make the yes-or-nos of one entry: it has left, and so has everything before it."""
    number, leaving = entry
    cleared: dict[int, IntVar] = {}
    for day in reversed(days):
        yes = _yes_or_no(model, chosen, number, day)
        later = [some for d, rafts in leaving.items() if d > day for some in rafts]
        if later:
            model.add(sum(later) == 0).only_enforce_if(yes)
        if day in before:
            model.add_implication(yes, before[day])
        if cleared:
            model.add_implication(yes, next(reversed(cleared.values())))
        cleared[day] = yes
    return cleared


def _yes_or_no(model: CpModel, chosen: Decisions, entry: int, day: int) -> IntVar:
    yes = chosen.new(model, 1, f"clear_{entry}_{day}", Tag("", entry, True))
    chosen.cleared.append(yes)
    return yes

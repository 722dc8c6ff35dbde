"""The cycle laid over the season as one whole answer: convoys that fit, and all that follows from them."""

from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate, chain

from ortools.sat.python.cp_model import IntVar

from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.model.first.convoys import Convoy, Cycle, convoys, tray_convoys
from scheduler.model.goals import FLEXIBLE_TAIL
from scheduler.model.options.frame import OUTLET
from scheduler.model.options.options import BoardOut, RaftSet, TrayOut
from scheduler.model.rules.lane_order import leaving_first
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.solver.engine import Engine
from scheduler.model.variables.decisions import Decisions, TrayLot, lot_of

MANY_DAYS = 10_000_000
"""Longer than anything has grown."""

MOST_TRIES = 200
"""Times that convoys are taken out again because something else stood in their way."""

SERVING = 5.0
"""Seconds for sharing out the heads of a season among deliveries."""


def laid(engine: Engine, best: Incumbent, cycle: Cycle) -> list[int]:
    """Return an answer in which the cycle runs through the season, from one in which nothing is sown.

    Convoys that break a limit are taken out until none is broken; should that fail, ``best`` comes back.

    Raises:
        Stopped: the search was to end before the answer was ready.
    """
    chosen = best.built.chosen
    every = chain(convoys(cycle, chosen), tray_convoys(cycle, chosen))
    found = placed_over(engine, best, every)
    if found is None:
        return list(best.values)
    return served(engine, best, *found)


def placed_over(
    engine: Engine, best: Incumbent, found: Iterable[Convoy]
) -> tuple[list[int], list[Convoy]] | None:
    """Return an answer with some convoys in it, before anything is cut for a delivery, and those kept.

    None where taking some out did not help.

    Raises:
        Stopped: the search was to end before the answer was ready.
    """
    chosen, parts, empty = best.built.chosen, best.parts, best.values
    kept = dict(enumerate(found))
    touched: dict[int, set[int]] = {}
    for _ in range(MOST_TRIES):
        engine.check()
        values = _placed(chosen, kept.values(), empty)
        stuck = [parts.variables_of(row) for row in parts.broken(values)]
        stuck += [{variable} for variable in parts.beyond(values)]
        if not stuck:
            return values, list(kept.values())
        if not touched:
            finder = _Touched(chosen)
            touched = {number: finder.by(convoy) for number, convoy in kept.items()}
        culprits = _culprits(stuck, kept, touched)
        if not culprits:
            break
        for number in culprits:
            del kept[number]
    return None


def _culprits(
    stuck: Iterable[set[int]], kept: Mapping[int, Convoy], touched: Mapping[int, set[int]]
) -> set[int]:
    """Return, for the variables of each broken limit, the convoy with a part in them that enters last."""
    of: dict[int, list[int]] = defaultdict(list)
    for number in kept:
        for variable in touched[number]:
            of[variable].append(number)
    found = set()
    for variables in stuck:
        inside = {number for variable in variables for number in of.get(variable, ())}
        if inside:
            found.add(max(inside, key=lambda number: (kept[number].day, number)))
    return found


class _Touched:
    """Finds the variables a convoy has a part in, those that follow from it included."""

    def __init__(self, chosen: Decisions) -> None:
        """Note which trays and boards are counted for each batch in the nursery."""
        self._chosen = chosen
        self._counts: dict[TrayOut | BoardOut, list[int]] = defaultdict(list)
        for (group, day), count in chosen.trays.items():
            for out in chosen.tray_groups[group]:
                if out.day >= day:
                    self._counts[out].append(count.index)
        for (group, day), count in chosen.boards.items():
            for board in chosen.board_groups[group]:
                if board.day >= day:
                    self._counts[board].append(count.index)

    def by(self, convoy: Convoy) -> set[int]:
        """Return the variables of one convoy."""
        found = set(convoy.amounts)
        for out in convoy.trays:
            found.update(self._counts[out], [self._chosen.tray_rows[out].index])
        for batch in convoy.plants:
            found.add(self._chosen.raft_plants[batch].index)
            for source in _sources(batch):
                found.update(self._counts[source])
                if isinstance(source, BoardOut):
                    found.add(self._chosen.board_plants[source].index)
                else:
                    found.add(self._chosen.tray_rows[source].index)
        return found


def _sources(batch: RaftSet) -> list[TrayOut | BoardOut]:
    found: list[TrayOut | BoardOut] = []
    source: TrayOut | BoardOut | None = batch.source
    while source is not None:
        found.append(source)
        source = source.source if isinstance(source, BoardOut) else None
    return found


def _placed(chosen: Decisions, kept: Iterable[Convoy], empty: Sequence[int]) -> list[int]:
    """Return the answer with some convoys in it, before anything is cut for a delivery."""
    values = list(empty)
    plants: Counter[RaftSet] = Counter()
    for convoy in kept:
        plants.update(convoy.plants)
        for out, rows in convoy.trays.items():
            values[chosen.tray_rows[out].index] += rows
            values[chosen.lots[out.crop, out.sown].index] = 1
        for index, amount in convoy.amounts.items():
            values[index] += amount
    for batch, amount in plants.items():
        values[chosen.raft_plants[batch].index] = amount
    _nursery(chosen, plants, values)
    set_cleared(chosen, values)
    return values


def _nursery(chosen: Decisions, plants: Counter[RaftSet], values: list[int]) -> None:
    """Sow and plant on boards as much as the rafts need, losses included."""
    farm = chosen.farm
    onward: Counter[TrayOut | BoardOut] = Counter()
    for batch, amount in plants.items():
        if batch.source is not None:
            onward[batch.source] += amount
    for board in [source for source in onward if isinstance(source, BoardOut)]:
        stage = farm.crops[board.crop].board
        amount = ceil_div(onward[board] * WHOLE_SHARE, stage.survival if stage else WHOLE_SHARE)
        values[chosen.board_plants[board].index] = amount
        if board.source is not None:
            onward[board.source] += amount
    for out in [source for source in onward if isinstance(source, TrayOut)]:
        tray = farm.crops[out.crop].tray
        per_row = farm.equipment[tray.unit].cells_per_row * tray.survival
        values[chosen.tray_rows[out].index] = ceil_div(onward[out] * WHOLE_SHARE, per_row)
        values[chosen.lots[out.crop, out.sown].index] = 1
    for (group, day), count in chosen.trays.items():
        rows = sum(values[chosen.tray_rows[o].index] for o in chosen.tray_groups[group] if o.day >= day)
        values[count.index] = max(values[count.index], ceil_div(rows, group.per_unit))
    for (group, day), count in chosen.boards.items():
        set_on = sum(values[chosen.board_plants[o].index] for o in chosen.board_groups[group] if o.day >= day)
        values[count.index] = max(values[count.index], ceil_div(set_on, group.per_unit))


def set_cleared(chosen: Decisions, values: list[int]) -> None:
    """Say for each row and entry the days by which all that entered up to it has left, and what comes in."""
    last: dict[str, dict[int, int]] = defaultdict(dict)
    came: set[tuple[str, str, int]] = set()
    for queue, days in chosen.queues.items():
        left = [day for day, rafts in days.items() if values[rafts.index]]
        if left:
            came.add((queue.bundle, queue.raft_class.crop, queue.enters))
            entries = last[queue.bundle]
            entries[queue.entry] = max(entries.get(queue.entry, left[0]), *left)
    for key, yes in chosen.entering.items():
        values[yes.index] = int(key in came)
    asked: dict[str, list[tuple[int, int, IntVar]]] = defaultdict(list)
    for (bundle, entry, day), yes in chosen.cleared.items():
        asked[bundle].append((entry, day, yes))
    of_bundle = {name: _cycled(last[name], chosen.frame.period) for name in asked}
    for bundle, entries in of_bundle.items():
        order = sorted(entries)
        latest, position = -MANY_DAYS, 0
        for entry, day, yes in sorted(asked[bundle], key=lambda item: item[:2]):
            while position < len(order) and order[position] <= entry:
                latest = max(latest, entries[order[position]])
                position += 1
            values[yes.index] = int(latest <= day)
    _set_lifts(chosen, values, of_bundle)


def _set_lifts(chosen: Decisions, values: list[int], of_bundle: Mapping[str, Mapping[int, int]]) -> None:
    """Count as lifted what leaves a bundle while something that entered before stays."""
    order = {bundle: sorted(entries) for bundle, entries in of_bundle.items()}
    latest = {
        bundle: list(accumulate((entries[entry] for entry in order[bundle]), max))
        for bundle, entries in of_bundle.items()
    }
    for (queue, day), lifted in chosen.lifts.items():
        if queue.bundle in order:
            ahead = bisect_left(order[queue.bundle], queue.entry)
            leave = chosen.queues[queue][day]
            if queue.raft_class.growing >= 0 and day == chosen.frame.start:
                leave = leaving_first(chosen, queue, leave)
            held_up = ahead and latest[queue.bundle][ahead - 1] > day
            values[lifted.index] = values[leave.index] if held_up else 0


def _cycled(entries: dict[int, int], period: int) -> dict[int, int]:
    """Return when the last raft of each entry leaves, in a cycle those of the cycle before too."""
    before = {entry - period: leaves - period for entry, leaves in entries.items()} if period else {}
    return before | entries


def served(engine: Engine, best: Incumbent, values: list[int], kept: Iterable[Convoy]) -> list[int]:
    """Share out what convoys give among the deliveries, from an answer of ``best``'s model that has them."""
    chosen = best.built.chosen
    batches = {batch for convoy in kept for batch in convoy.plants}
    lots = {TrayLot(*lot_of(out)) for convoy in kept for out in convoy.trays}
    cut = {*lots, *(chosen.raft_lots[batch] for batch in batches)}
    free = {heads.index for (lot, _, _), heads in chosen.heads.items() if lot in cut}
    cut_on = {(batch.crop, chosen.frame.fold(step.day)) for batch in batches for step in batch.cuttings}
    cut_on |= {(lot.crop, chosen.frame.fold(day)) for lot in lots for _, day in chosen.tray_cuts[lot]}
    asked = {index for index, wish in enumerate(chosen.frame.wishes) if wish.level != OUTLET}
    parcels = {number for number, parcel in enumerate(chosen.parcels) if parcel.wish in asked}
    free |= {
        fill.index
        for (crop, day, number), fill in chosen.fills.items()
        if (crop, day) in cut_on and number in parcels
    }
    free |= {units.index for (number, _), units in chosen.units.items() if number in parcels}
    free |= {short.index for index, short in chosen.short.items() if index in asked}
    free |= {crates.index for crates in chosen.crates.values()}
    free |= {whole.index for whole in chosen.whole.values()}
    free |= {var.index for var in (*chosen.picks.values(), *chosen.box_marks.values())}
    part = best.parts.cut(values, free)
    answer = engine.run(part.model, SERVING, part.hint, gap=FLEXIBLE_TAIL * 0.9)
    return values if answer.values is None else part.whole(values, answer.values)

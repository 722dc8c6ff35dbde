"""The lots of an earlier plan as one whole answer of a model: those that break a limit fall out."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

from scheduler.farm.crops import StageKind
from scheduler.farm.shared import mates, standing
from scheduler.farm.units import ceil_div
from scheduler.model.again.change import Change
from scheduler.model.again.elsewhere import elsewhere
from scheduler.model.again.parties import Party
from scheduler.model.build import Built
from scheduler.model.first.laying import SERVING, set_cleared
from scheduler.model.goals import FLEXIBLE_TAIL
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.options import BoardOut, Cutting, RaftSet, TrayOut
from scheduler.model.search.part import Parts
from scheduler.model.solver.engine import Engine
from scheduler.model.variables.box_picks import set_marks
from scheduler.model.variables.decide import emptied_days, entry_day, units_standing
from scheduler.model.variables.decisions import Decisions, Queue, UnitGroup

MOST_TRIES = 200
"""Times that lots are taken out again because something else stood in their way."""

MOST_MOVES = 100
"""Of these, the times that they may be led into other rows instead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A first answer, and the lots at large that fell out of it."""

    values: list[int]
    fallen: tuple[str, ...]


def placed(engine: Engine, of: tuple[Built, Parts, Change], parties: Sequence[Party]) -> Placed | None:
    """Return an answer with as many lots of an earlier plan in it as keep every rule; None if none does.

    A lot that breaks one is led into other rows where it can be, and falls out where none of them will do.

    Raises:
        Stopped: the search was to end before the answer was ready.
    """
    built, parts, change = of
    kept, fallen = list(parties), list[str]()
    others: dict[str, Iterator[Party]] = {}
    for turn in range(MOST_TRIES):
        engine.check()
        answer = _Answer(built.chosen, kept)
        change.settle(answer.values)
        stuck = [set(answer.of[at]) for at in answer.stuck]
        stuck += [parts.variables_of(row) for row in parts.broken(answer.values)]
        stuck += [{variable} for variable in parts.beyond(answer.values)]
        if not stuck:
            return Placed(values=_served(engine, built, parts, answer.values), fallen=tuple(fallen))
        culprits = answer.culprits(stuck)
        if not culprits:
            return None
        for at in sorted(culprits, reverse=True):
            party = kept.pop(at)
            ways = others.setdefault(party.lot, elsewhere(built.chosen, party))
            moved = next(ways, None) if turn < MOST_MOVES else None
            if moved is None:
                fallen.append(party.lot)
            else:
                kept.insert(at, moved)
    return None


@dataclass(slots=True)
class _Rafts:
    """The rafts of one group: days they are emptied, and the rows the earlier plan has for each."""

    emptied: list[int] = field(default_factory=list)
    places: list[str] = field(default_factory=list)


class _Answer:
    """The values of one choice of lots.

    Attributes:
        values: a value for every variable.
        of: position of a lot -> variables it has a part in.
        stuck: positions of lots with rafts for which there is no row.
    """

    def __init__(self, chosen: Decisions, parties: Sequence[Party]) -> None:
        self._chosen, self._parties = chosen, parties
        self.values = [0] * len(chosen.tags)
        self.of: dict[int, set[int]] = defaultdict(set)
        self.stuck: set[int] = set()
        self._lots_of: dict[UnitGroup, set[int]] = defaultdict(set)
        self._group_of = {
            option: group for group, options in chosen.raft_groups.items() for option in options
        }
        for index, wish in enumerate(chosen.frame.wishes):
            self.values[chosen.short[index].index] = wish.amount
        for option, stays in chosen.bed_kept.items():
            self.values[stays.index] = int(bool(option.picks))
        for at, party in enumerate(parties):
            self._plants(at, party)
        self._thrown()
        self._nursery()
        self._queues(self._rafts())
        set_cleared(chosen, self.values)
        set_marks(chosen, self.values)

    def culprits(self, stuck: Iterable[set[int]]) -> set[int]:
        """Return, for the variables of each broken limit, the lot with a part in them that is sown last."""
        holders: dict[int, list[int]] = defaultdict(list)
        for at in range(len(self._parties)):
            for variable in self.of[at]:
                holders[variable].append(at)
        found = set(self.stuck)
        for variables in stuck:
            inside = {at for variable in variables for at in holders.get(variable, ())}
            if inside and not inside & found:
                found.add(max(inside, key=lambda at: (self._parties[at].day, at)))
        return found

    def _add(self, at: int, variable: int, amount: int) -> None:
        self.values[variable] += amount
        self.of[at].add(variable)

    def _plants(self, at: int, party: Party) -> None:
        chosen = self._chosen
        for out, rows in party.trays.items():
            self._add(at, chosen.tray_rows[out].index, rows)
            if out.growing < 0 and rows:
                lot = chosen.lots[out.crop, out.sown].index
                self.values[lot] = 1
                self.of[at].add(lot)
        for board, plants in party.boards.items():
            self._add(at, chosen.board_plants[board].index, plants)
        for planting, plants in party.planted.items():
            self._add(at, chosen.bed_plants[planting].index, plants)
        for part in party.afloat:
            option = part.option
            if option.source is not None:
                self._add(at, chosen.raft_plants[option].index, part.plants)
            after: int | None = None
            for number, day in part.chain:
                step = Cutting(number=number, day=day, after=after)
                self._add(at, chosen.cut_plants[option, step].index, part.plants)
                after = day
            if chosen.farm.crops[option.crop].cuts > 1:
                self._add(at, chosen.leaving[option][part.chain[-1][1]][0].index, part.plants)
            self._lots_of[self._group_of[option]].add(at)

    def _thrown(self) -> None:
        """Throw away what floats on the first day and is not cut."""
        chosen = self._chosen
        kept: dict[RaftSet, int] = defaultdict(int)
        for party in self._parties:
            for part in party.afloat:
                kept[part.option] += part.plants
        for option, thrown in chosen.thrown.items():
            plants = chosen.farm.growing[option.growing].plants
            self.values[chosen.raft_plants[option].index] = plants
            self.values[thrown.index] = plants - kept[option]

    def _nursery(self) -> None:
        chosen = self._chosen
        for (group, day), count in chosen.trays.items():
            outs = chosen.tray_groups[group]
            amount = sum(self.values[chosen.tray_rows[out].index] for out in outs if out.day >= day)
            self._count(group, count.index, (amount, outs[0].growing))
        for (group, day), count in chosen.boards.items():
            boards = chosen.board_groups[group]
            amount = sum(self.values[chosen.board_plants[out].index] for out in boards if out.day >= day)
            self._count(group, count.index, (amount, boards[0].growing))
        for at, party in enumerate(self._parties):
            self.of[at] |= self._nursery_counts(party)
        for index, emptied in chosen.emptied.items():
            self.values[emptied.index] = chosen.farm.growing[index].units - self._standing_of(index)

    def _count(self, group: UnitGroup, count: int, what: tuple[int, int]) -> None:
        amount, growing = what
        fewest = ceil_div(amount, group.per_unit)
        units = units_standing(self._chosen, group)
        if units:
            fewest = max(fewest, units - standing(self._chosen.farm, growing)[1] + amount)
        self.values[count] = fewest

    def _nursery_counts(self, party: Party) -> set[int]:
        options: list[TrayOut | BoardOut] = [*party.trays, *party.boards]
        return {variable for option in options for variable in self._counts_of.get(option, ())}

    @cached_property
    def _counts_of(self) -> dict[TrayOut | BoardOut, list[int]]:
        """Option -> the counts of the units its plants stand in."""
        chosen = self._chosen
        of_group: dict[UnitGroup, list[int]] = defaultdict(list)
        for (group, _), count in (*chosen.trays.items(), *chosen.boards.items()):
            of_group[group].append(count.index)
        found: dict[TrayOut | BoardOut, list[int]] = {}
        for group, outs in chosen.tray_groups.items():
            found.update(dict.fromkeys(outs, of_group[group]))
        for group, boards in chosen.board_groups.items():
            found.update(dict.fromkeys(boards, of_group[group]))
        return found

    def _standing_of(self, index: int) -> int:
        """Return the units of a growing row of trays or boards that are not emptied on the first day."""
        chosen = self._chosen
        counts: list[tuple[int, int]] = []
        if chosen.farm.growing[index].stage is StageKind.TRAY:
            for (group, day), count in chosen.trays.items():
                if chosen.tray_groups[group][0].growing in mates(chosen.farm, index):
                    counts.append((day, count.index))
        else:
            for (group, day), count in chosen.boards.items():
                first = chosen.board_groups[group][0]
                if first.source is None and first.growing in mates(chosen.farm, index):
                    counts.append((day, count.index))
        return self.values[min(counts)[1]] if counts else 0

    def _rafts(self) -> dict[UnitGroup, _Rafts]:
        """Count the rafts of each group by the day they are emptied: as few as hold what stays."""
        chosen = self._chosen
        found: dict[UnitGroup, _Rafts] = {}
        places: dict[UnitGroup, dict[str, tuple[int, str]]] = defaultdict(dict)
        for party in self._parties:
            for part in party.afloat:
                those = places[self._group_of[part.option]]
                those[part.unit] = max(those.get(part.unit, (0, "")), (part.emptied, part.place))
        for group, options in chosen.raft_groups.items():
            rafts = self._emptied(group, options)
            for day, number in rafts:
                variable = chosen.rafts[group, day].index
                self.values[variable] = number
                for at in self._lots_of[group]:
                    self.of[at].add(variable)
            if rafts:
                emptied = [day for day, number in rafts for _ in range(number)]
                wanted = [place for _, place in sorted(places[group].values())]
                found[group] = _Rafts(emptied=emptied, places=_spread(wanted, len(emptied)))
        self._kept()
        return found

    def _emptied(self, group: UnitGroup, options: Sequence[RaftSet]) -> list[tuple[int, int]]:
        """Return (day, rafts emptied on it), in order."""
        chosen = self._chosen
        leaving: dict[int, int] = defaultdict(int)
        for option in options:
            for day, gone in chosen.leaving[option].items():
                leaving[day] += sum(self.values[variable.index] for variable in gone)
        grown = standing(chosen.farm, options[0].growing) if options[0].source is None else None
        staying = sum(leaving.values())
        stands: list[int] = []
        for day in sorted(leaving):
            now = ceil_div(staying, group.per_unit)
            if grown is not None and staying:
                now = max(now, grown[0] - grown[1] + staying)
            stands.append(now)
            staying -= leaving[day]
        pairs = zip(sorted(leaving), pairwise([*stands, 0]), strict=True)
        return [(day, now - after) for day, (now, after) in pairs if now > after]

    def _kept(self) -> None:
        chosen = self._chosen
        for group, kept in chosen.kept.items():
            growing = chosen.class_of[group].growing
            thrown = sum(self.values[chosen.thrown[option].index] for option in chosen.raft_groups[group])
            stays = thrown < standing(chosen.farm, growing)[1]
            self.values[kept.index] = int(stays)
            first = chosen.rafts[group, chosen.frame.start]
            self.values[chosen.lifted[group].index] = self.values[first.index] if stays else 0

    def _queues(self, rafts: Mapping[UnitGroup, _Rafts]) -> None:
        """Let each raft leave once all that entered its bundle before it have left, and never before."""
        chosen = self._chosen
        bundle_of = {place.name: bundle.name for bundle in chosen.bundles for place in bundle.places}
        by_key = {(queue.raft_class, queue.bundle, queue.enters): queue for queue in chosen.queues}
        waiting: dict[str, dict[int, list[tuple[Queue, int, UnitGroup]]]] = defaultdict(
            lambda: defaultdict(list)
        )
        for group, those in rafts.items():
            kind, shifts = chosen.class_of[group], emptied_days(chosen, group)
            for emptied, place in zip(those.emptied, those.places, strict=True):
                bundle = bundle_of.get(place, "")
                if bundle not in kind.bundles:
                    bundle = kind.bundles[0] if kind.bundles else ""
                queue = by_key.get((kind, bundle, entry_day(chosen, group)))
                if queue is None:
                    self.stuck |= self._lots_of[group]
                else:
                    waiting[bundle][queue.entry].append((queue, shifts[emptied], group))
        for entries in waiting.values():
            latest = -(10**9)
            for _, those_rafts in sorted(entries.items()):
                latest = self._leave(sorted(those_rafts, key=lambda each: each[1]), latest)

    def _leave(self, rafts: Sequence[tuple[Queue, int, UnitGroup]], latest: int) -> int:
        """Let the rafts of one entry leave; return the last day on which any of all so far does."""
        chosen, after = self._chosen, latest
        for queue, emptied, group in rafts:
            wanted = emptied if chosen.farm.rules.lift_out else max(emptied, latest)
            day = min((day for day in chosen.queues[queue] if day >= wanted), default=None)
            if day is None:
                self.stuck |= self._lots_of[group]
                continue
            variable = chosen.queues[queue][day].index
            self.values[variable] += 1
            for at in self._lots_of[group]:
                self.of[at].add(variable)
            after = max(after, day)
        return after


def _spread(wanted: Sequence[str], number: int) -> list[str]:
    """Return as many rows as there are rafts: those of the earlier plan, each as often as it has it."""
    if not wanted:
        return [""] * number
    return [wanted[at * len(wanted) // number] for at in range(number)]


def _served(engine: Engine, built: Built, parts: Parts, values: list[int]) -> list[int]:
    """Share out the heads of all that is cut among the deliveries."""
    chosen = built.chosen
    cut = {
        (chosen.raft_lots[option], step.number, step.day)
        for (option, step), plants in chosen.cut_plants.items()
        if values[plants.index]
    }
    planted = {option for option, plants in chosen.bed_plants.items() if values[plants.index]}
    planted |= {option for option, stays in chosen.bed_kept.items() if values[stays.index]}
    picked = [key for key in chosen.heads if isinstance(key[0], BedSet) and key[0] in planted]
    free = {chosen.heads[key].index for key in (*cut, *picked)}
    days = {(key[0].crop, chosen.frame.fold(key[2])) for key in (*cut, *picked)}
    for lot, cuts in chosen.tray_cuts.items():
        for (number, day), outs in cuts.items():
            if any(values[chosen.tray_rows[out].index] for out in outs):
                free.add(chosen.heads[lot, number, day].index)
                days.add((lot.crop, chosen.frame.fold(day)))
    free |= {fill.index for (crop, day, _), fill in chosen.fills.items() if (crop, day) in days}
    free |= {units.index for units in chosen.units.values()}
    free |= {short.index for short in chosen.short.values()}
    free |= {crates.index for crates in chosen.crates.values()}
    free |= {whole.index for whole in chosen.whole.values()}
    free |= {var.index for var in (*chosen.picks.values(), *chosen.box_marks.values())}
    part = parts.cut(values, free)
    answer = engine.run(part.model, SERVING, part.hint, gap=FLEXIBLE_TAIL * 0.9)
    return values if answer.values is None else part.whole(values, answer.values)

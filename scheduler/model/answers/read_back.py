"""A plan taken back as an answer of a model: the inverse of reading an answer and laying it out.

The rows of a plan say less than the answer they came from (which raft of several a head was counted on) and
sometimes more (a row's own order). What they leave open is chosen so that every rule is kept.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from operator import itemgetter

from scheduler.farm.crops import StageKind
from scheduler.farm.orders.mixes import heads_taken, units_made
from scheduler.farm.orders.outlets import stalls_of
from scheduler.farm.shared import is_carrier, mates, standing
from scheduler.farm.units import ceil_div
from scheduler.model.answers.read_beds import set_beds
from scheduler.model.answers.read_cuts import set_cuts, set_heads
from scheduler.model.answers.read_rows import NotReadBack, PlanRows
from scheduler.model.answers.read_ways import Ways, find_ways
from scheduler.model.build import Built
from scheduler.model.first.laying import set_cleared
from scheduler.model.options.options import BoardOut, RaftSet, TrayOut
from scheduler.model.variables.box_picks import set_marks
from scheduler.model.variables.crates import set_crates
from scheduler.model.variables.decide import emptied_days, entry_day
from scheduler.model.variables.decisions import MIXED, Decisions, Queue, UnitGroup
from scheduler.plan.rows import FillRow, Plan
from scheduler.plan.sale_rows import SaleRow

__all__ = ["NotReadBack", "values_of"]

Lots = tuple[int, str, int, str]
"""Number of a parcel, crop, cut day and lot of heads that go into it."""


def values_of(built: Built, plan: Plan) -> list[int]:
    """Return a value for every variable of a season's model, so that its answer is the plan.

    Whether the values keep every rule of the model is for the caller to ask (``Parts.holds``).

    Args:
        built: a season's model of the plan's farm, or of one that allows all that farm allows.
        plan: a plan that keeps every rule.

    Raises:
        NotReadBack: the plan holds something that is not among the model's options.
    """
    chosen = built.chosen
    values = [0] * len(built.model.proto.variables)
    rows = PlanRows(chosen.farm, plan)
    ways = find_ways(chosen, rows)
    for option, amount in ways.trays.items():
        values[chosen.tray_rows[option].index] = amount
        if option.growing < 0 and amount:
            values[chosen.lots[option.crop, option.sown].index] = 1
    for board, amount in ways.boards.items():
        values[chosen.board_plants[board].index] = amount
    _throw_strangers(chosen, rows, ways, values)
    for raft, amount in ways.rafts.items():
        values[chosen.raft_plants[raft].index] = amount
    set_cuts(chosen, rows, ways, values)
    set_beds(chosen, ways.beds, values)
    _set_deliveries(chosen, plan, ways, values)
    set_crates(chosen, values)
    _Counts(chosen, rows, ways, values).set_all()
    return values


def _throw_strangers(chosen: Decisions, rows: PlanRows, ways: Ways, values: list[int]) -> None:
    """Throw away rafts that grow on the farm and that the plan knows nothing of, on the first day."""
    known = {index for found in rows.growing.values() if found >= 0 for index in mates(chosen.farm, found)}
    for option, thrown in chosen.thrown.items():
        if option.growing not in known:
            ways.rafts[option] = values[thrown.index] = chosen.farm.growing[option.growing].plants
            ways.strangers.append(option)


def _set_deliveries(chosen: Decisions, plan: Plan, ways: Ways, values: list[int]) -> None:
    found: dict[Lots, int] = {}
    heads: dict[tuple[int, str], int] = defaultdict(int)
    for number, each in _given(chosen, plan):
        fill = chosen.fills.get((each.crop, each.cut_day, number))
        if fill is not None:
            # Else the wish was moved or asks for something else by now: these heads go nowhere.
            key = number, each.crop, each.cut_day, each.lot
            found[key] = found.get(key, 0) + each.heads
            heads[number, each.crop] += each.heads
    left = _set_units(chosen, heads, values)
    by_lot: Counter[tuple[str, int]] = Counter()
    for (number, crop, day, lot), taken in _kept(chosen, found, values).items():
        values[chosen.fills[crop, day, number].index] += taken
        by_lot[lot, day] += taken
    for index, missing in enumerate(left):
        values[chosen.short[index].index] = missing
        if index in chosen.whole:
            values[chosen.whole[index].index] = int(missing == 0)
    set_marks(chosen, values)
    _set_sold(chosen, left, values)
    set_heads(chosen, by_lot, ways, values)


def _kept(chosen: Decisions, found: Mapping[Lots, int], values: Sequence[int]) -> dict[Lots, int]:
    """Return the heads that the units take: those beyond that an older plan gives away are not counted on."""
    apart: dict[tuple[int, str], dict[Lots, int]] = defaultdict(dict)
    for key, heads in found.items():
        mixed = chosen.farm.products[chosen.parcels[key[0]].product].parts
        apart[key[0], MIXED if mixed else key[1]][key] = heads
    kept: dict[Lots, int] = {}
    for (number, crop), some in apart.items():
        product = chosen.farm.products[chosen.parcels[number].product]
        kept |= heads_taken(product, values[chosen.units[number, crop].index], some, itemgetter(1))
    return kept


def _given(chosen: Decisions, plan: Plan) -> Iterator[tuple[int, FillRow | SaleRow]]:
    """Yield each fill and sale of a plan with the number of the parcel it goes into, -1 for none."""
    wishes = chosen.frame.wishes
    number_of = {
        (wishes[parcel.wish].name, parcel.product): number for number, parcel in enumerate(chosen.parcels)
    }
    wanted = {wish.name: wish.product for wish in wishes}
    for row in plan.fills:
        yield number_of.get((row.demand, row.substitute or wanted.get(row.demand, "")), -1), row
    stalls = {key: stall.name for key, (_, stall) in stalls_of(chosen.frame.outlets).items()}
    for sale in plan.sales:
        stall = stalls.get((sale.outlet, sale.product, sale.day), "")
        yield number_of.get((stall, sale.product), -1), sale


def _set_units(chosen: Decisions, heads: Mapping[tuple[int, str], int], values: list[int]) -> list[int]:
    """Set the units that heads of each crop make in each parcel; return what each wish then lacks."""
    left = [wish.amount for wish in chosen.frame.wishes]
    for number, parcel in enumerate(chosen.parcels):
        product = chosen.farm.products[parcel.product]
        of_crop = {crop: heads.get((number, crop), 0) for crop in product.sources}
        apart = [of_crop] if product.parts else [{crop: number_of} for crop, number_of in of_crop.items()]
        made = [units_made(product, some) for some in apart]
        for at, some in enumerate(apart):
            # Whatever lies in a place of a box counts there, also beside more of another than is asked for.
            waiting = sum(more > 0 for more in made[at + 1 :])
            units = min(max(left[parcel.wish] - waiting, min(left[parcel.wish], 1)), made[at])
            crop = MIXED if product.parts else next(iter(some))
            values[chosen.units[number, crop].index] = units
            left[parcel.wish] -= units
    return left


def _set_sold(chosen: Decisions, left: Sequence[int], values: list[int]) -> None:
    """Sell the units of each outlet's week at its best prices; ``left`` is what no wish has."""
    wishes = chosen.frame.wishes
    filled = {wish.name: wish.amount - missing for wish, missing in zip(wishes, left, strict=True)}
    for index, week in enumerate(chosen.frame.outlets):
        units = sum(filled[stall.name] for stall in week.stalls)
        for number, step in enumerate(week.steps):
            values[chosen.sold[index, number].index] = min(units, step.amount)
            units -= min(units, step.amount)


class _Counts:
    """Sets the counts of units, and the days on which rafts leave their slots."""

    def __init__(self, chosen: Decisions, rows: PlanRows, ways: Ways, values: list[int]) -> None:
        self._chosen, self._rows, self._ways, self._values = chosen, rows, ways, values
        self._group_of: dict[TrayOut | BoardOut | RaftSet, UnitGroup] = {}
        tables: Iterable[dict[UnitGroup, list[TrayOut]] | dict[UnitGroup, list[BoardOut]]
                         | dict[UnitGroup, list[RaftSet]]]  # fmt: skip
        tables = (chosen.tray_groups, chosen.board_groups, chosen.raft_groups)
        for groups in tables:
            for group, options in groups.items():
                self._group_of.update(dict.fromkeys(options, group))

    def set_all(self) -> None:
        """Set every count."""
        self._nursery()
        self._rafts()
        self._queues()
        set_cleared(self._chosen, self._values)

    def _nursery(self) -> None:
        chosen, values = self._chosen, self._values
        leaving: dict[UnitGroup, list[int]] = defaultdict(list)
        for unit, options in self._ways.inside.items():
            row = self._rows.units[unit]
            if row.item != "raft" and row.leaves > chosen.frame.start:
                leaving[self._group_of[options[0]]].append(row.leaves)
        for (group, day), count in chosen.trays.items():
            amount = sum(values[chosen.tray_rows[o].index] for o in chosen.tray_groups[group] if o.day >= day)
            here = sum(leaves >= day for leaves in leaving[group])
            values[count.index] = max(here, self._standing(chosen.tray_groups[group][0], group, amount))
        for (group, day), count in chosen.boards.items():
            boards = chosen.board_groups[group]
            amount = sum(values[chosen.board_plants[o].index] for o in boards if o.day >= day)
            here = sum(leaves >= day for leaves in leaving[group])
            values[count.index] = max(here, self._standing(boards[0], group, amount))
        for index, emptied in chosen.emptied.items():
            values[emptied.index] = chosen.farm.growing[index].units - self._kept(index)

    def _standing(self, option: TrayOut | BoardOut, group: UnitGroup, amount: int) -> int:
        """Return the fewest units that hold what stays; thinly filled growing ones empty one by one."""
        fewest = ceil_div(amount, group.per_unit)
        grows = option.growing >= 0 and (isinstance(option, TrayOut) or option.source is None)
        if grows:
            units, plants = standing(self._chosen.farm, option.growing)
            fewest = max(fewest, units - plants + amount)
        return fewest

    def _kept(self, index: int) -> int:
        """Return the units of a growing row that are not emptied on the first day."""
        chosen = self._chosen
        if chosen.farm.growing[index].stage is StageKind.TRAY:
            found = [
                (day, count)
                for (group, day), count in chosen.trays.items()
                if chosen.tray_groups[group][0].growing in mates(chosen.farm, index)
            ]
        else:
            found = [
                (day, count)
                for (group, day), count in chosen.boards.items()
                if chosen.board_groups[group][0].source is None
                and chosen.board_groups[group][0].growing in mates(chosen.farm, index)
            ]
        return self._values[min(found, key=lambda each: each[0])[1].index] if found else 0

    def _rafts(self) -> None:
        chosen, values = self._chosen, self._values
        for unit, options in self._ways.inside.items():
            row = self._rows.units[unit]
            if row.item == "raft":
                count = chosen.rafts.get((self._group_of[options[0]], row.emptied))
                if count is None:
                    when = chosen.farm.date_of(row.emptied)
                    raise NotReadBack(f"{unit} is emptied on {when}, which is not planned")
                values[count.index] += 1
        for option in self._strangers():
            units = chosen.farm.growing[option.growing].units
            values[chosen.rafts[self._group_of[option], chosen.frame.start].index] = units
        for group, kept in chosen.kept.items():
            _, plants = standing(chosen.farm, chosen.class_of[group].growing)
            thrown = sum(values[chosen.thrown[option].index] for option in chosen.raft_groups[group])
            values[kept.index] = int(thrown < plants)
            first = chosen.rafts[group, chosen.frame.start]
            values[chosen.lifted[group].index] = values[first.index] if thrown < plants else 0

    def _strangers(self) -> list[RaftSet]:
        """Return the growing rafts the plan does not have, each once whoever shares it."""
        farm = self._chosen.farm
        return [option for option in self._ways.strangers if is_carrier(farm, option.growing)]

    def _queues(self) -> None:
        """Let each raft leave once all that entered its bundle before it have left, and never before.

        In its own row a raft may leave sooner; the model keeps a whole bundle in order.
        """
        chosen = self._chosen
        bundle_of = {place.name: bundle.name for bundle in chosen.bundles for place in bundle.places}
        by_key = {(queue.raft_class, queue.bundle, queue.enters): queue for queue in chosen.queues}
        waiting: dict[str, dict[int, list[tuple[Queue, int]]]] = defaultdict(lambda: defaultdict(list))
        for unit, options in self._ways.inside.items():
            row = self._rows.units[unit]
            if row.item != "raft":
                continue
            group = self._group_of[options[0]]
            key = (chosen.class_of[group], bundle_of[self._rows.place[unit]], entry_day(chosen, group))
            queue = by_key.get(key)
            if queue is None:
                raise NotReadBack(f"{unit} stands in a row the planner keeps its crop out of")
            shifted = emptied_days(chosen, group)[row.emptied]
            waiting[queue.bundle][queue.entry].append((queue, shifted))
        for option in self._strangers():
            kind = chosen.class_of[self._group_of[option]]
            queue = next(queue for queue in chosen.queues if queue.raft_class == kind)
            rafts = [(queue, chosen.frame.start)] * chosen.farm.growing[option.growing].units
            waiting[queue.bundle][queue.entry] += rafts
        for entries in waiting.values():
            latest = -(10**9)
            for _, rafts in sorted(entries.items()):
                latest = self._leave(rafts, latest)

    def _leave(self, rafts: list[tuple[Queue, int]], latest: int) -> int:
        """Let the rafts of one entry leave; return the last day on which any of all so far does."""
        chosen, after = self._chosen, latest
        for queue, emptied in rafts:
            wanted = emptied if chosen.farm.rules.lift_out else max(emptied, latest)
            day = min((day for day in chosen.queues[queue] if day >= wanted), default=None)
            if day is None:
                when = chosen.farm.date_of(wanted)
                raise NotReadBack(f"a raft in {queue.bundle} waits until {when}, longer than is planned")
            self._values[chosen.queues[queue][day].index] += 1
            after = max(after, day)
        return after

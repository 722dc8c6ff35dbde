"""What follows from the rows of a plan written down by hand: what deliveries get, and where it comes from.

Worked out by code of its own, slow and plain, unlike the audit.
"""

from collections.abc import Iterable, Sequence

from scheduler.farm.farm import Farm, MixPart
from scheduler.farm.orders.reach import earliest_reach
from scheduler.plan.rows import ChainRow, ContentRow, DemandRow, FillRow, Plan


def demand_rows(farm: Farm, plan: Plan) -> tuple[DemandRow, ...]:
    earliest = earliest_reach(farm)
    rows = []
    for demand in farm.demands:
        own = [fill for fill in plan.fills if fill.demand == demand.name]
        as_ordered = min(_units(farm, demand.product, own, ""), demand.amount)
        instead = sum(_units(farm, each.product, own, each.product) for each in demand.substitutes)
        filled = min(as_ordered + instead, demand.amount)
        if farm.rules.all_or_nothing and not demand.is_target and filled < demand.amount:
            filled = 0
        days = [earliest[name] for name in demand.products]
        first = min((day for day in days if day is not None), default=None)
        state = "too early" if first is None or demand.first < first else "short"
        rows.append(
            DemandRow(
                demand=demand.name,
                order=demand.order,
                customer=demand.customer,
                product=demand.product,
                day=demand.first,
                last=demand.last,
                amount=demand.amount,
                filled=filled,
                state="filled" if filled == demand.amount else state,
                firm=demand.firm,
                target=demand.is_target,
                priority=demand.priority,
                price=demand.price,
                earliest=first,
                reason="",
                reported=demand.reported,
                substituted=filled - min(as_ordered, filled),
            )
        )
    return tuple(rows)


def _units(farm: Farm, product: str, fills: Iterable[FillRow], substitute: str) -> int:
    sources = farm.products[product].sources
    own = [fill for fill in fills if fill.substitute == substitute]
    if mix := farm.products[product].parts:
        return _bags(farm.products[product].weight, mix, own)
    heads = {crop: sum(fill.heads for fill in own if fill.crop == crop) for crop in sources}
    return sum(number * 1000 // sources[crop] for crop, number in heads.items())


def _bags(weight: int, parts: Iterable[MixPart], fills: Sequence[FillRow]) -> int:
    """Count bags up one by one, as long as every part has its share and all come to the weight."""
    bags = 0
    while True:
        whole, held = (bags + 1) * weight * 10_000, 0
        for part in parts:
            there = sum(fill.heads for fill in fills if fill.crop == part.crop) * part.grams * 10_000
            if there < part.least * whole // 10_000:
                return bags
            held += min(there, part.most * whole // 10_000)
        if held < whole:
            return bags
        bags += 1


def chain_rows(plan: Plan) -> tuple[ChainRow, ...]:
    """Follow each fill back, raft by raft in order of their names."""
    rows = []
    units = {unit.unit: unit for unit in plan.units}
    left = {id(cut): cut.heads for cut in plan.cuts}
    lots = {lot.lot: lot for lot in plan.lots}
    sold = [
        FillRow(
            demand=f"{sale.outlet} | {sale.product} | {sale.day}",
            crop=sale.crop,
            lot=sale.lot,
            cut_day=sale.cut_day,
            heads=sale.heads,
        )
        for sale in plan.sales
    ]
    for fill in [*plan.fills, *sold]:
        if fill.lot not in lots:
            continue
        wanted = fill.heads
        for cut in plan.cuts:
            taken = min(left[id(cut)], wanted)
            if cut.lot != fill.lot or cut.day != fill.cut_day or taken <= 0:
                continue
            left[id(cut)] -= taken
            wanted -= taken
            raft = units[cut.unit]
            place = next((row.place for row in plan.positions if row.unit == raft.unit), "")
            boards = _held(plan, "board", cut.lot, raft.enters)
            out = boards[0].enters if boards else raft.enters
            trays = [row.unit for row in _held(plan, "tray", cut.lot, out)]
            if raft.item == "tray":  # cut where it was sown
                trays = [raft.unit]
            rows.append(
                ChainRow(
                    demand=fill.demand,
                    crop=fill.crop,
                    lot=fill.lot,
                    heads=taken,
                    cut_day=fill.cut_day,
                    rafts=raft.unit,
                    lane=place,
                    raft_day=raft.enters,
                    boards="; ".join(row.unit for row in boards),
                    board_day=boards[0].enters if boards else None,
                    trays="; ".join(trays),
                    sow_day=lots[fill.lot].sown,
                )
            )
    return tuple(rows)


def _held(plan: Plan, item: str, lot: str, leaves: int) -> list[ContentRow]:
    units = {unit.unit for unit in plan.units if unit.item == item}
    return [row for row in plan.contents if row.unit in units and row.lot == lot and row.leaves == leaves]

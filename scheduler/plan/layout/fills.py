"""Heads of a crop and cut day that go into deliveries, split over lots: the oldest lot is used up first."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from scheduler.farm.farm import Farm
from scheduler.plan.decided import Fill, Sale
from scheduler.plan.harvest import Harvest
from scheduler.plan.layout.lots import lot_age
from scheduler.plan.rows import FillRow, LotRow
from scheduler.plan.sale_rows import SaleRow
from scheduler.plan.tally import units_of

Heads = dict[tuple[str, int], dict[str, int]]
"""(crop, cut day) -> lot -> heads not given away yet, the oldest lot first."""


def heads_wanted(goods: Iterable[Fill | Sale]) -> dict[tuple[str, int], int]:
    """Return (crop, cut day) -> heads that deliveries and outlets count on."""
    wanted: dict[tuple[str, int], int] = defaultdict(int)
    for each in goods:
        wanted[each.crop, each.cut_day] += each.heads
    return wanted


def heads_cut(lots: Mapping[str, LotRow], cuts: Iterable[Harvest]) -> Heads:
    """Return the heads of all cuts and pickings."""
    heads: dict[tuple[str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for cut in cuts:
        heads[lots[cut.lot].crop, cut.day][cut.lot] += cut.heads
    for by_lot in heads.values():
        for lot in sorted(by_lot, key=lambda code: lot_age(lots[code])):
            by_lot[lot] = by_lot.pop(lot)
    return heads


def fill_rows(farm: Farm, fills: Iterable[Fill], heads: Heads) -> list[FillRow]:
    """Return what every delivery gets of each lot, and take it off ``heads``; never more than was cut."""
    order = {demand.name: at for at, demand in enumerate(farm.demands)}
    rows = []
    for fill in sorted(fills, key=lambda fill: (order[fill.demand], fill.cut_day, fill.crop)):
        rows += [
            FillRow(
                demand=fill.demand,
                crop=fill.crop,
                lot=lot,
                cut_day=fill.cut_day,
                heads=taken,
                substitute=fill.substitute,
            )
            for lot, taken in _taken(fill.heads, heads[fill.crop, fill.cut_day])
        ]
    return _whole_deliveries(farm, rows)


def sale_rows(sales: Iterable[Sale], heads: Heads) -> list[SaleRow]:
    """Return what every outlet gets of each lot, and take it off ``heads``; never more than is left."""
    rows = []
    for sale in sorted(
        sales, key=lambda sale: (sale.day, sale.outlet, sale.product, sale.cut_day, sale.crop)
    ):
        rows += [
            SaleRow(
                outlet=sale.outlet,
                product=sale.product,
                day=sale.day,
                crop=sale.crop,
                lot=lot,
                cut_day=sale.cut_day,
                heads=taken,
            )
            for lot, taken in _taken(sale.heads, heads.get((sale.crop, sale.cut_day), {}))
        ]
    return rows


def _taken(wanted: int, heads: dict[str, int]) -> Iterator[tuple[str, int]]:
    """Take heads off the lots of one cut, the first lot first; yield what each gives."""
    for lot in heads:
        taken = min(heads[lot], wanted)
        if taken > 0:
            heads[lot] -= taken
            wanted -= taken
            yield lot, taken


def _whole_deliveries(farm: Farm, rows: list[FillRow]) -> list[FillRow]:
    if not farm.rules.all_or_nothing:
        return rows
    given = units_of(farm, rows)
    complete = {
        demand.name
        for demand in farm.demands
        if demand.is_target or sum(given[demand.name].values()) >= demand.amount
    }
    return [row for row in rows if row.demand in complete]

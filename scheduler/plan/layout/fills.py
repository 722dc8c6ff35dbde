"""Heads of a crop and cut day that go into deliveries, split over lots: the oldest lot is used up first."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from scheduler.farm.farm import Farm
from scheduler.plan.decided import Fill
from scheduler.plan.layout.lots import lot_age
from scheduler.plan.rows import CutRow, FillRow, LotRow
from scheduler.plan.tally import units_of


def heads_wanted(fills: Iterable[Fill]) -> dict[tuple[str, int], int]:
    """Return (crop, cut day) -> heads that deliveries count on."""
    wanted: dict[tuple[str, int], int] = defaultdict(int)
    for fill in fills:
        wanted[fill.crop, fill.cut_day] += fill.heads
    return wanted


def fill_rows(
    farm: Farm, fills: Iterable[Fill], lots: Mapping[str, LotRow], cuts: Iterable[CutRow]
) -> list[FillRow]:
    """Return what every delivery gets of each lot; never more than was cut."""
    heads: dict[tuple[str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for cut in cuts:
        heads[lots[cut.lot].crop, cut.day][cut.lot] += cut.heads
    for by_lot in heads.values():
        for lot in sorted(by_lot, key=lambda code: lot_age(lots[code])):
            by_lot[lot] = by_lot.pop(lot)
    order = {demand.name: at for at, demand in enumerate(farm.demands)}
    rows = []
    for fill in sorted(fills, key=lambda fill: (order[fill.demand], fill.cut_day, fill.crop)):
        rows += _split(fill, heads[fill.crop, fill.cut_day])
    return _whole_deliveries(farm, rows)


def _split(fill: Fill, heads: dict[str, int]) -> list[FillRow]:
    wanted = fill.heads
    rows = []
    for lot in heads:
        taken = min(heads[lot], wanted)
        if taken > 0:
            rows.append(
                FillRow(
                    demand=fill.demand,
                    crop=fill.crop,
                    lot=lot,
                    cut_day=fill.cut_day,
                    heads=taken,
                    substitute=fill.substitute,
                )
            )
            heads[lot] -= taken
            wanted -= taken
    return rows


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

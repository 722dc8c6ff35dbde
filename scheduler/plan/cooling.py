"""Which crates stand in which cooler after each day, from what is cut and when it is delivered."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.coolers import coolers_for
from scheduler.farm.farm import Farm
from scheduler.farm.units import ceil_div
from scheduler.plan.rows import CoolerRow, Plan


def cooler_rows(farm: Farm, plan: Plan) -> list[CoolerRow]:
    """Return the crates in every cooler, by cooler in the order of the book, day and crop.

    Coolers of one temperature are filled in the order of the book, crops in that of theirs; what finds no
    room stands in the last of them. A plan without ``fills`` has none.
    """
    rows: list[CoolerRow] = []
    for day, heads_of in sorted(_waiting(farm, plan).items()):
        rows += _one_day(farm, day, heads_of)
    order = {cooler.name: at for at, cooler in enumerate(farm.coolers)}
    return sorted(rows, key=lambda row: (order[row.cooler], row.day))


def _waiting(farm: Farm, plan: Plan) -> dict[int, dict[str, int]]:
    """Return day -> crop -> heads that are cut by then and delivered or sold later."""
    first = {demand.name: demand.first for demand in farm.demands if not demand.is_target}
    found: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in plan.fills if farm.coolers else ():
        for day in range(row.cut_day, min(first.get(row.demand, 0), farm.calendar.span)):
            found[day][row.crop] += row.heads
    for sale in plan.sales if farm.coolers else ():
        for day in range(sale.cut_day, min(sale.day, farm.calendar.span)):
            found[day][sale.crop] += sale.heads
    return found


def _one_day(farm: Farm, day: int, heads_of: dict[str, int]) -> Iterator[CoolerRow]:
    room = {cooler.name: cooler.crates for cooler in farm.coolers}
    for name, crop in farm.crops.items():
        suited = coolers_for(crop.crating, farm.coolers) if crop.crating else ()
        if not heads_of.get(name) or not suited or crop.crating is None:
            continue
        heads = heads_of[name]
        for cooler in suited:
            left = ceil_div(heads, crop.crating.heads)
            crates = left if cooler is suited[-1] else min(left, max(0, room[cooler.name]))
            if crates:
                inside = min(heads, crates * crop.crating.heads)
                room[cooler.name] -= crates
                heads -= inside
                yield CoolerRow(
                    cooler=cooler.name,
                    day=day,
                    crop=name,
                    heads=inside,
                    crates=crates,
                    room=cooler.crates,
                )

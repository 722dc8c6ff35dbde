"""One judge for all plans: shortage in heads and by weight, cost worked out from rows, and the audit."""

from collections import Counter
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT, MILLI, WHOLE_SHARE
from scheduler.plan.audit import audit
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.worth import thrown_plants

HUNDREDTH_MINUTES_PER_HOUR = 60 * CENT
SLOT_DAY = {"tray": "tray_slot_day", "board": "board_slot_day", "raft": "raft_slot_day"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """What a plan reaches.

    Attributes:
        faults: what the audit finds.
        ordered: heads of all reported demand; flexible demand and targets included.
        short_firm, short_flexible: heads short of reported demand.
        short_tail: heads short past the last reported day.
        early: heads of reported firm demand that no sowing could reach; part of ``short_firm``.
        level_1, level_2: shortage of reported demand weighted by price and priority, as the first two goals.
        cost: money for seed, units, space, work, waste and lots, what grows past the last day included.
    """

    faults: int
    ordered: int
    short_firm: int
    short_flexible: int
    short_tail: int
    early: int
    level_1: int
    level_2: int
    cost: float


def judged(farm: Farm, plan: Plan) -> Score:
    """Judge a plan."""
    reported = [row for row in plan.demands if row.reported]
    firm = [row for row in reported if row.firm and not row.target]
    flexible = [row for row in reported if not row.firm or row.target]
    return Score(
        faults=len(audit(farm, plan)),
        ordered=sum(heads_of(farm, row.product, row.amount) for row in reported),
        short_firm=_short(farm, firm),
        short_flexible=_short(farm, flexible),
        short_tail=_short(farm, [row for row in plan.demands if not row.reported]),
        early=_short(farm, [row for row in firm if row.state in ("too early", "out of reach")]),
        level_1=sum(_weight(row) * (row.amount - row.filled) for row in firm),
        level_2=sum(_weight(row) * (row.amount - row.filled) for row in flexible),
        cost=round(cost_of(farm, plan) / CENT, 2),
    )


def heads_of(farm: Farm, product: str, units: int) -> int:
    """Return the fewest heads that make some units of a product."""
    return -(-units * min(farm.products[product].sources.values()) // MILLI)


def _short(farm: Farm, rows: list[DemandRow]) -> int:
    return sum(heads_of(farm, row.product, row.amount - row.filled) for row in rows)


def firm_weight(plan: Plan) -> int:
    """Return the weighted shortage of firm demand that leads the search, a tenth past the last day."""
    return sum(
        (row.amount - row.filled) * (_weight(row) if row.reported else max(1, _weight(row) // 10))
        for row in plan.demands
        if row.firm and not row.target
    )


def _weight(row: DemandRow) -> int:
    return int(max(row.price, 1) * 10 ** (5 - row.priority))


def cost_of(farm: Farm, plan: Plan) -> float:
    """Return the cost of a plan in hundredths of money, from its rows."""
    units = Counter(unit.item for unit in plan.units if unit.enters >= farm.today)
    item_of = {unit.unit: unit.item for unit in plan.units}
    cost = float(sum(row.cost for row in plan.seed))
    cost += sum(farm.cost(item) * count for item, count in units.items())
    for row in plan.positions:
        days = row.until - max(row.enters, farm.today)
        cost += farm.cost(SLOT_DAY[item_of[row.unit]]) * max(0, days)
    cost += sum(row.minutes for row in plan.hours) * farm.cost("hour") / HUNDREDTH_MINUTES_PER_HOUR
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    grown = sum(row.plants * farm.crops[crop_of[row.lot]].heads_share for row in plan.cuts) / WHOLE_SHARE
    cost += farm.cost("wasted_plant") * (grown - sum(row.heads for row in plan.fills))
    cost += farm.cost("lot") * sum(lot.cells > 0 for lot in plan.lots)
    return cost + farm.cost("discarded_plant") * float(thrown_plants(farm, plan))

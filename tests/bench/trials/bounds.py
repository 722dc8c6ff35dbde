"""Limits that no plan of a farm can pass, from its plants as fractional flows over all days."""

from dataclasses import dataclass

from scheduler.farm import work
from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.units import CENT, MILLI, WHOLE_SHARE

from .flows import Flows, Terms, Wanted
from .judge import HUNDREDTH_MINUTES_PER_HOUR, SLOT_DAY, Score

SLACK = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Least shortage and cost; None where the time was too short.

    Attributes:
        firm: least heads short of reported firm demand that any plan has.
        flexible: the same for flexible demand and targets, with firm demand as short as in the plan at hand.
        cost: the least cost of any plan that leaves no more short than the plan at hand, kind by kind.
    """

    firm: float | None
    flexible: float | None
    cost: float | None


def bounds_for(farm: Farm, score: Score, seconds: float) -> Bounds:
    """Return limits to hold a plan's score against; ``seconds`` is for each of three programs."""
    wanted = [Wanted(d.product, d.first, d.last, d.max_age, d.amount, d.products[1:]) for d in farm.demands]
    flows = Flows(farm, wanted)
    short = [_short(farm, flows, index) for index in range(len(wanted))]
    kinds = {name: [] for name in ("firm", "flexible", "tail")}
    for demand, terms in zip(farm.demands, short, strict=True):
        kinds[_kind(demand)] += terms
    firm = _least(flows, kinds["firm"], seconds)
    flows.lines.keep(kinds["firm"], 0.0, score.short_firm + SLACK)
    flexible = _least(flows, kinds["flexible"], seconds) if firm is not None else None
    flows.lines.keep(kinds["flexible"], 0.0, score.short_flexible + SLACK)
    flows.lines.keep(kinds["tail"], 0.0, score.short_tail + SLACK)
    cost = _least(flows, _cost(farm, flows), seconds) if flexible is not None else None
    return Bounds(firm=firm, flexible=flexible, cost=None if cost is None else round(cost / CENT, 2))


def _kind(demand: Demand) -> str:
    if not demand.reported:
        return "tail"
    return "firm" if demand.firm and not demand.is_target else "flexible"


def _short(farm: Farm, flows: Flows, index: int) -> Terms:
    """Make the shortage of one demand, in heads: a variable that closes what flows into it."""
    want = flows.wanted[index]
    units = flows.lines.new(high=want.amount)
    flows.lines.keep([*flows.filled[index], (units, 1.0)], want.amount, want.amount)
    return [(units, min(farm.products[want.product].sources.values()) / MILLI)]


def _least(flows: Flows, terms: Terms, seconds: float) -> float | None:
    """Return the least sum of some terms, never above the true one."""
    costs = [0.0] * len(flows.lines.costs)
    for variable, weight in terms:
        costs[variable] += weight
    flows.lines.costs = costs
    answer = flows.lines.solve(seconds)
    return None if answer is None else answer[0]


def _cost(farm: Farm, flows: Flows) -> Terms:
    """Return cost in hundredths of money, as the judge counts it, but for lots."""
    terms: Terms = [(units, -farm.cost("wasted_plant") * heads) for units, heads in flows.given]
    hour = farm.cost("hour") / HUNDREDTH_MINUTES_PER_HOUR
    for crop, _, cells in flows.sown:
        kind = farm.equipment[crop.tray.unit]
        minutes = work.sow_per_cell(crop, kind) + work.wash_tray_per_cell(crop, kind)
        seed = crop.handling.seeds_per_cell * crop.handling.seed_cost / MILLI
        terms.append((cells, seed + minutes * hour))
    for crop, stage, _, plants in flows.moved:
        unit = crop.stage(stage)
        if unit is None:
            continue
        kind = farm.equipment[unit.unit]
        if stage is StageKind.BOARD:
            minutes = work.set_on_board_per_plant(crop) + work.wash_board_per_plant(crop, kind)
        else:
            minutes = work.set_on_raft_per_plant(crop) + work.wash_raft_per_plant(crop, kind)
        terms.append((plants, minutes * hour + farm.cost(stage.value) / unit.plants_per_unit))
    for crop, _, plants in flows.cut:
        wasted = farm.cost("wasted_plant") * crop.heads_share / WHOLE_SHARE
        terms.append((plants, work.cut_per_plant(crop) * hour + wasted))
    for stand in flows.stands:
        price = farm.cost(SLOT_DAY[stand.item]) * (stand.leaves - stand.enters)
        fill = farm.cost("tray") if stand.item == "tray" else 0
        terms.append((stand.plants, stand.share * (price + fill)))
    return terms

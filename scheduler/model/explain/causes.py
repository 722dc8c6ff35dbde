"""Explains the short deliveries of a plan: for each what stood in the way, and what fills it, proven."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm
from scheduler.model.answers.read_back import NotReadBack
from scheduler.model.explain.capacity import Case, capacity_reliefs, most_units
from scheduler.model.explain.early import early_relief
from scheduler.model.explain.fill import Filler, Watch
from scheduler.model.explain.others import (
    day_relief,
    harvest_relief,
    order_relief,
    sowing_relief,
    substitute_relief,
)
from scheduler.model.explain.rests import rest_relief
from scheduler.model.explain.season import Asked, Season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.every_way import cut_again_in
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.plan.exact import by_older_rules
from scheduler.plan.relief import CAPACITY, Cause, Explained, Limit, Relief, less_than
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.views.used_up import used_up

EASIEST = (
    Limit.SEARCH,
    *CAPACITY,
    Limit.REST,
    Limit.DAY,
    Limit.HARVEST,
    Limit.SUBSTITUTE,
    Limit.SOWING,
    Limit.SEVERAL,
    Limit.EARLIER,
)
"""What is easier to give comes first: what the farm has or can do, what a customer must agree to, what is
bought or not allowed now, and last what cannot be done any more."""

OWN = (Limit.SEARCH, *CAPACITY, Limit.REST, Limit.SOWING)
"""What of the farm's own may have stood in the way, that told first which is easiest to give."""

STATES = ("short", "too early", "out of reach")


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """What was found out about a plan.

    Attributes:
        explained: deliveries, the most valuable first.
        left: number of unfilled ones that were not looked at.
    """

    explained: tuple[Explained, ...]
    left: int


def explain(
    farm: Farm,
    plan: Plan,
    settings: SolveSettings,
    most: int = 5,
    watch: Watch = (lambda _: None, None),
) -> Explanation:
    """Explain the most valuable deliveries of a plan that are not filled.

    Args:
        farm: the farm of the plan.
        plan: a plan that keeps every rule.
        settings: time and way of the search.
        most: number of deliveries.
        watch: what is told the delivery looked at, and what ends the search soon.

    Raises:
        NotReadBack: the plan is none the planner could have made.
    """
    tell, stop = watch
    engine = Engine(settings, stop)
    rows = unfilled(farm, plan)
    looked_at = rows[:most]
    found = list(_explained(_Search(farm, plan, engine, tell), looked_at))
    return Explanation(explained=tuple(found), left=len(rows) - len(looked_at))


def unfilled(farm: Farm, plan: Plan) -> list[DemandRow]:
    """Return the reported deliveries that are not filled: short ones first, then by what they weigh."""
    weights = {demand.name: demand.weight for demand in farm.demands}
    rows = [row for row in plan.demands if row.reported and row.state in STATES]
    return sorted(
        rows,
        key=lambda row: (
            STATES.index(row.state),
            not row.firm,
            -weights.get(row.demand, 0) * (row.amount - row.filled),
            row.day,
            row.demand,
        ),
    )


def fitting_season(farm: Farm, plan: Plan, names: Sequence[str], engine: Engine) -> Season:
    """Return the model of a plan's season, as narrow as holds the plan.

    Where that has not all its days, every day of crops cut more than once is looked at; where no bundles of
    rows fit it, rows stand each for itself.

    Raises:
        NotReadBack: the plan is none the planner could have made.
    """
    demands = {demand.name: demand for demand in farm.demands}
    most = [most_units(farm, demands[name].product, demands[name].amount) for name in names]
    narrow = Asked(
        farm=farm,
        plan=plan,
        bundles=bundles_of(farm),
        names=tuple(names),
        rafts=max((units.get(StageKind.RAFT, 0) for units in most), default=0),
        positions=max((units.get(StageKind.BED, 0) for units in most), default=0),
    )
    *others, widest = _wider_and_wider(narrow)
    for asked in others:
        try:
            return Season(asked, engine.check)
        except NotReadBack:
            continue
    try:
        return Season(widest, engine.check)
    except NotReadBack as why:
        if not by_older_rules(plan):
            raise
        raise NotReadBack(f"{why}, and it was made by an older edition of the rules") from None


def _wider_and_wider(narrow: Asked) -> list[Asked]:
    """Return what a model may be made for, from what is asked to what holds every plan the planner makes."""
    found = [narrow]
    if again := cut_again_in(narrow.farm, narrow.plan):
        found.append(replace(narrow, in_every_way=again))
    rows = sum(len(bundle.places) for bundle in narrow.bundles)
    if rows > len(narrow.bundles):
        alone = bundles_of(narrow.farm, rows)
        found += [replace(each, bundles=alone) for each in found]
    return found


class _Search:
    """What the search for all deliveries shares."""

    def __init__(self, farm: Farm, plan: Plan, engine: Engine, tell: Callable[[str], None]) -> None:
        self.farm, self.plan, self.engine, self.tell = farm, plan, engine, tell
        self.flexible = frozenset(row.demand for row in plan.demands if not row.firm)
        self.demands = {demand.name: demand for demand in farm.demands}


def _explained(search: _Search, rows: Sequence[DemandRow]) -> Iterator[Explained]:
    if not rows:
        return
    engine = search.engine
    try:
        season = fitting_season(search.farm, search.plan, [row.demand for row in rows], engine)
    except Stopped:
        yield from (_untried(search, row) for row in rows)
        return
    cost = season.cost(season.values)
    for number, row in enumerate(rows):
        search.tell(f"{number + 1} of {len(rows)}: {row.demand}")
        filler = Filler(engine, search.plan)
        left = max(0.0, engine.settings.seconds - engine.spent)
        filler.until = engine.spent + left / (len(rows) - number)
        case = Case(
            filler=filler,
            season=season,
            demand=search.demands[row.demand],
            missing=row.amount - row.filled,
            cost=cost,
        )
        yield _one(search, case, row)


def _untried(search: _Search, row: DemandRow) -> Explained:
    cause = _cause(search, row, [], servable=True)
    return Explained(row=row, value=_value(row), cause=cause, reliefs=(), ended=False)


def _value(row: DemandRow) -> int:
    return (row.amount - row.filled) * row.price


def _one(search: _Search, case: Case, row: DemandRow) -> Explained:
    reliefs: list[Relief] = []
    try:
        for found in _reliefs(search, case, row):
            reliefs += found
            if case.filler.over:
                break
    except Stopped:
        pass
    reliefs.sort(key=lambda relief: EASIEST.index(relief.limit))
    return Explained(
        row=row,
        value=_value(row),
        cause=_cause(search, row, reliefs, servable=case.season.servable(row.demand)),
        reliefs=tuple(reliefs),
        ended=not case.filler.over,
    )


def _reliefs(search: _Search, case: Case, row: DemandRow) -> Iterator[list[Relief]]:
    """Yield what fills a delivery, as it is found."""
    if row.state == "short" and case.season.servable(row.demand):
        found = _search_relief(search, case, row)
        if found is not None:
            yield [found]
            return
        capacity = capacity_reliefs(case)
        yield capacity
        if any(grant.limit in (Limit.ROW, Limit.RAFTS) for relief in capacity for grant in relief.grants):
            yield _listed(order_relief(case))
        yield _listed(rest_relief(case))
    if row.state == "short":
        yield _listed(sowing_relief(case))
    if row.state == "out of reach" or not case.season.servable(row.demand):
        yield _listed(harvest_relief(case))
    yield _listed(day_relief(case, row.earliest if row.state == "too early" else None))
    yield _listed(substitute_relief(case))
    if row.state == "too early" or (row.state == "short" and row.before_sowing):
        yield _listed(early_relief(case))


def _listed(relief: Relief | None) -> list[Relief]:
    return [] if relief is None else [relief]


def _search_relief(search: _Search, case: Case, row: DemandRow) -> Relief | None:
    """Return how a longer search fills a delivery: with nothing else less, or flexible ones at most."""
    filler, season = case.filler, case.season
    filled = filler.fill(season, [row.demand])
    if filled is None and row.firm:
        filled = filler.fill(season, [row.demand], less=search.flexible, steps=(2,))
    if filled is None:
        return None
    less = less_than(search.plan, filled.plan)
    return replace(case.relief((), filled.cost, filled.plan), less=less)


def _cause(search: _Search, row: DemandRow, reliefs: Sequence[Relief], *, servable: bool) -> Cause:
    """Return what stood in the way: what is enough by itself when there is more of it."""
    if row.state == "too early":
        return Cause(limits=(Limit.EARLIER,))
    if row.state == "out of reach":
        return Cause(limits=(Limit.HARVEST,))
    limits = [relief.limit for relief in reliefs]
    for first in OWN:
        if first in limits:
            relief = reliefs[limits.index(first)]
            those = tuple(limit for limit in OWN if limit in limits)
            return _with_days(search, relief, Cause(limits=those))
    if Limit.SEVERAL in limits:
        relief = reliefs[limits.index(Limit.SEVERAL)]
        those = tuple(dict.fromkeys(grant.limit for grant in relief.grants))
        return _with_days(search, relief, Cause(limits=those, together=True))
    return Cause(limits=(Limit.UNKNOWN if servable else Limit.TIMING,))


def _with_days(search: _Search, relief: Relief, cause: Cause) -> Cause:
    if not relief.grants:
        return cause
    grant = relief.grants[0]
    days = used_up(search.farm, search.plan, grant)
    if not days:
        return replace(cause, what=grant.what)
    return replace(cause, what=grant.what, first=days[0], last=days[-1], days=len(days))

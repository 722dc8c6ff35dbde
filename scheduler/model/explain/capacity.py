"""Reliefs of the farm itself: more places, crates, units, hours; the least of each that is enough."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from scheduler.farm.coolers import coolers_for
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Demand, Farm
from scheduler.farm.units import CENT, MILLI, WHOLE_SHARE, ceil_div
from scheduler.model.explain.fill import Filled, Filler, Promise, proven
from scheduler.model.explain.measure import needed
from scheduler.model.explain.relax import ITEMS, PLACES, More, granted
from scheduler.model.explain.season import RULE_OF, Season
from scheduler.plan.relief import CAPACITY, Grant, Limit, Relief
from scheduler.plan.rows import Plan

QUARTER = 15 * CENT
"""Hours are looked for in quarters of an hour."""

MANY_MINUTES = 24 * 60 * CENT
"""A day and a night: more than anyone can lack."""

UNIT_OF = {
    Limit.SHELF: StageKind.TRAY,
    Limit.TRAYS: StageKind.TRAY,
    Limit.DOMES: StageKind.TRAY,
    Limit.ZONE: StageKind.BOARD,
    Limit.BOARDS: StageKind.BOARD,
    Limit.ROW: StageKind.RAFT,
    Limit.RAFTS: StageKind.RAFT,
    Limit.BED: StageKind.BED,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One short delivery and what its reliefs are looked for with.

    Attributes:
        filler: asks whether the delivery can be filled.
        season: the season of the given plan.
        demand: the delivery.
        missing: units it is short.
        cost: what the given plan costs, hundredths of money.
        steps: how far around the delivery is looked, 0 for the nearest.
    """

    filler: Filler
    season: Season
    demand: Demand
    missing: int
    cost: int
    steps: tuple[int, ...] = (0, 1, 2)

    @property
    def farm(self) -> Farm:
        """The farm as it is."""
        return self.season.asked.farm

    def relief(self, grants: Sequence[Grant], cost: int, plan: Plan) -> Relief:
        """Return a relief whose plan costs so much in all."""
        more = cost - self.cost if self.season.priced else None
        return Relief(grants=tuple(grants), cost=more, less=(), plan=plan)

    def proven(self, farm: Farm, filled: Filled) -> Plan | None:
        """Return an answer's plan on a farm, if it keeps every rule and fills the delivery, no other less."""
        return proven(farm, filled.amounts, self.filler.before, Promise(names=(self.demand.name,)))

    def proven_relief(self, farm: Farm, filled: Filled, grants: Sequence[Grant]) -> Relief | None:
        """Return a relief of exactly some grants, if the answer's plan is sound on the farm they make."""
        plan = self.proven(farm, filled)
        return None if plan is None or not grants else self.relief(grants, filled.cost, plan)


def most_units(farm: Farm, product: str, units: int) -> dict[StageKind, int]:
    """Return for each stage the most trays, boards, rafts or positions that some units sold can need.

    One is added to each. Of what is picked all may have to come from the leanest picking there is.
    """
    found: Counter[StageKind] = Counter()
    for name, per_unit in farm.products[product].sources.items():
        crop = farm.crops[name]
        plants = plants_for(crop, ceil_div(units * per_unit, MILLI))
        for stage in reversed(crop.route):
            if stage.kind is StageKind.BOARD:
                plants = ceil_div(plants * WHOLE_SHARE, max(1, stage.survival))
            if stage.kind is StageKind.TRAY and not crop.is_cut_in_trays:
                plants = crop.cells_for(plants)
            found[stage.kind] = max(found[stage.kind], ceil_div(plants, stage.plants_per_unit) + 1)
    return dict(found)


def plants_for(crop: Crop, heads: int) -> int:
    """Return the plants of the last stage (cells of what is cut in its trays) that surely give some heads."""
    plants = ceil_div(heads * WHOLE_SHARE, max(1, crop.heads_share))
    if crop.picking is None:
        return plants
    leanest = min((gives for gives in crop.picking.curve if gives), default=MILLI)
    return ceil_div(plants * MILLI * crop.picking.a_week, leanest)


def capacity_reliefs(case: Case) -> list[Relief]:
    """Return what is enough of the farm's own limits, each by itself; several together where none is.

    Nothing where even more of everything does not fill the delivery.
    """
    limits = [limit for limit in CAPACITY if limit in RULE_OF and _counts(case, limit)]
    mores = {limit: _most(case, limit) for limit in limits}
    all_more = _fill(case, mores.values()) if mores else None
    if all_more is None:
        return []
    case = replace(case, steps=(all_more.step,))
    found: list[Relief] = []
    for limit in limits:
        if case.filler.over:
            return found
        filled = _fill(case, [mores[limit]])
        if filled is not None:
            found.append(_least(case, mores[limit], filled))
    return found or _together(case, mores)


def _counts(case: Case, limit: Limit) -> bool:
    """Say whether a limit can stand in the way of the delivery at all."""
    if limit is Limit.HOURS:
        return case.farm.crew is not None
    if limit is Limit.COOLER:
        return _crates(case) > 0
    if limit is Limit.DOMES:
        return any(kind.item == "dome" for kind in case.farm.equipment.values())
    return UNIT_OF[limit] in most_units(case.farm, case.demand.product, case.missing)


def _most(case: Case, limit: Limit) -> More:
    """Return so much of a limit that it cannot be what is lacking."""
    amount = MANY_MINUTES
    if limit is Limit.COOLER:
        amount = _crates(case)
    elif limit is not Limit.HOURS:
        amount = most_units(case.farm, case.demand.product, case.missing)[UNIT_OF[limit]]
    return More(limit=limit, amount=amount, first=case.farm.today, last=case.farm.calendar.span)


def _crates(case: Case) -> int:
    """Return the most crates that the missing units can fill, and one more; 0 where no cooler suits them."""
    product = case.farm.products[case.demand.product]
    found = [
        ceil_div(ceil_div(case.missing * per_unit, MILLI), crating.heads) + 1
        for name, per_unit in product.sources.items()
        if (crating := case.farm.crops[name].crating) and coolers_for(crating, case.farm.coolers)
    ]
    return sum(found)


def _fill(case: Case, mores: Iterable[More]) -> Filled | None:
    eased = case.season.eased(mores)
    return case.filler.fill(case.season, [case.demand.name], eased, steps=case.steps)


def _least(case: Case, more: More, filled: Filled) -> Relief:
    """Return the relief with the fewest things that have more, and the least of it."""
    grants = _grants_of(case, filled, more.limit)
    if len(grants) == 1:
        more = _only(more, grants[0])
    else:
        for grant in sorted(grants, key=lambda grant: grant.amount):
            alone = _only(more, grant)
            found = None if case.filler.over else _fill(case, [alone])
            if found is not None:
                more, filled = alone, found
                break
    more, filled = _less(case, more, filled)
    return _granted(case, [more], filled)


def _only(more: More, grant: Grant) -> More:
    """Return more of what a grant is of alone; all domes of a farm are one."""
    return more if more.limit is Limit.DOMES else replace(more, only=frozenset({grant.what}))


def _less(case: Case, more: More, filled: Filled) -> tuple[More, Filled]:
    """Return the least amount that is enough, by halving."""
    step = _step(more.limit)
    enough, too_little = _used(case, more.limit, filled, step), 0
    more = replace(more, amount=enough * step)
    while enough - too_little > 1 and not case.filler.over:
        middle = (enough + too_little) // 2
        tried = replace(more, amount=middle * step)
        found = _fill(case, [tried])
        if found is None:
            too_little = middle
        else:
            more, filled = tried, found
            enough = min(middle, _used(case, more.limit, filled, step))
    return more, filled


def _used(case: Case, limit: Limit, filled: Filled, step: int) -> int:
    """Return how much of a limit an answer takes on one thing and day, in steps."""
    amounts = [grant.most or grant.amount for grant in _grants_of(case, filled, limit)]
    return ceil_div(max(amounts, default=0), step)


def _grants_of(case: Case, filled: Filled, limit: Limit) -> list[Grant]:
    """Return what an answer takes of one limit beyond what the farm has."""
    return [grant for grant in needed(case.farm, filled.plan) if grant.limit is limit]


def _granted(case: Case, mores: Sequence[More], filled: Filled) -> Relief:
    """Narrow what is given to the days and amounts that the answer takes, and prove that as well."""
    grants = needed(case.farm, filled.plan)
    plan = case.proven(granted(case.farm, grants), filled)
    if plan is None:
        # Laid out in fewer slots the units come to stand elsewhere: then what was tried is what is needed.
        grants, plan = _as_tried(case, mores), filled.plan
    return case.relief(grants, filled.cost, plan)


def _as_tried(case: Case, mores: Sequence[More]) -> tuple[Grant, ...]:
    """Return all that was given, on every thing that had it."""
    grants = []
    for more in mores:
        names = _things(case.farm, more)
        grants += [
            Grant(
                limit=more.limit,
                what=name,
                amount=more.amount,
                first=more.first if more.limit in PLACES else None,
                most=more.amount if more.limit is Limit.HOURS else 0,
            )
            for name in names
        ]
    return tuple(grants)


def _things(farm: Farm, more: More) -> list[str]:
    """Return the places, coolers or kinds of equipment that have more; one empty name for the crew."""
    if more.limit in PLACES:
        names = [place.name for place in farm.places_of(PLACES[more.limit])]
    elif more.limit is Limit.COOLER:
        names = [cooler.name for cooler in farm.coolers]
    elif more.limit in ITEMS:
        names = [kind.name for kind in farm.equipment.values() if kind.item == ITEMS[more.limit]]
    else:
        return [""]
    return [name for name in names if more.only is None or name in more.only]


def _together(case: Case, mores: dict[Limit, More]) -> list[Relief]:
    """Return a relief of several limits, none of which can be left out."""
    kept = dict(mores)
    filled = None
    for limit in reversed(list(mores)):
        if len(kept) == 1 or case.filler.over:
            break
        without = [more for each, more in kept.items() if each is not limit]
        found = _fill(case, without)
        if found is not None:
            filled = found
            del kept[limit]
    if filled is None:
        filled = _fill(case, kept.values())
    if filled is None:
        return []
    least, filled = _less_of_each(case, list(kept.values()), filled)
    return [_granted(case, least, filled)]


def _less_of_each(case: Case, mores: list[More], filled: Filled) -> tuple[list[More], Filled]:
    """Return the least of several limits that is enough, as many slots and units of each, by halving."""
    enough = max(_used(case, more.limit, filled, _step(more.limit)) for more in mores)
    too_little = 0
    while enough - too_little > 1 and not case.filler.over:
        middle = (enough + too_little) // 2
        tried = [replace(m, amount=min(m.amount, middle * _step(m.limit))) for m in mores]
        found = _fill(case, tried)
        if found is None:
            too_little = middle
        else:
            mores, filled, enough = tried, found, middle
    return mores, filled


def _step(limit: Limit) -> int:
    return QUARTER if limit is Limit.HOURS else 1

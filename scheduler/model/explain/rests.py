"""The relief of a shorter rest: a row that rests between two crops is taken up again a day or more sooner.

A rest is a rule of the grower's, for cleaning. So a day of it always stays, and no more rests are named than
the answer takes.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind, Steps
from scheduler.model.explain.capacity import Case
from scheduler.model.explain.fill import Filled
from scheduler.model.explain.others import ask
from scheduler.plan.relief import Grant, Limit, Relief
from scheduler.plan.rests import cleanings
from scheduler.plan.rows import Plan

LEAST = 1
"""Days of a rest that always stay: a row is never taken up again without its cleaning."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A rest that is shorter: ``days`` less for what comes into a row from ``first`` through ``last``."""

    first: int
    last: int
    days: int


def rest_relief(case: Case) -> Relief | None:
    """A row may rest for fewer days between two crops, once if that is enough."""
    farm = case.farm
    longer = [lane for lane in farm.places_of(PlaceKind.LANE) if lane.rest > LEAST]
    if not longer:
        return None
    span = (farm.today, farm.calendar.span)
    every = {lane.name: (Cut(first=span[0], last=span[1], days=lane.rest - LEAST),) for lane in longer}
    found = ask(case, with_rests_cut(farm, every))
    if found is None:
        return None
    filled = found[1]
    cuts = _cuts(farm, filled.plan)
    for lane, cut in sorted(cuts, key=lambda each: (each[1].days, each[1].first)):
        if len(cuts) == 1 and cut.days == 1:
            break
        for days in range(1, cut.days + (len(cuts) > 1)):
            if case.filler.over:
                break
            alone = ask(case, with_rests_cut(farm, {lane: (replace(cut, days=days),)}))
            if alone is not None:
                return _proven(case, alone[1])
    return _proven(case, filled)


def _proven(case: Case, filled: Filled) -> Relief | None:
    """Return the relief of exactly the rests that an answer's plan cuts short."""
    cuts: dict[str, tuple[Cut, ...]] = {}
    for lane, cut in _cuts(case.farm, filled.plan):
        cuts[lane] = (*cuts.get(lane, ()), cut)
    grants = list(_grants(case.farm, filled.plan))
    return case.proven_relief(with_rests_cut(case.farm, cuts), filled, grants)


def _cuts(farm: Farm, plan: Plan) -> list[tuple[str, Cut]]:
    """Return row and rest of each that a plan cuts short: of what comes in until the rest would be over."""
    return [
        (
            grant.what,
            Cut(
                first=(grant.last or 0) + 1,
                last=(grant.first or 0) + farm.place(grant.what).rest - 1,
                days=grant.amount,
            ),
        )
        for grant in _grants(farm, plan)
    ]


def _grants(farm: Farm, plan: Plan) -> Iterator[Grant]:
    """Yield each rest of a plan that is shorter than the row's, with the days on which the row is empty."""
    for each in cleanings(farm, plan):
        less = each.lane.rest - (each.until - each.day)
        if less > 0:
            yield Grant(
                limit=Limit.REST, what=each.lane.name, amount=less, first=each.day, last=each.until - 1
            )


def with_rests_cut(farm: Farm, cuts: Mapping[str, Iterable[Cut]]) -> Farm:
    """Return the farm with some rests of some rows cut short."""
    places = tuple(
        replace(place, rest_cut=_steps(cuts[place.name])) if place.name in cuts else place
        for place in farm.places
    )
    return replace(farm, places=places)


def _steps(cuts: Iterable[Cut]) -> Steps:
    several = tuple(cuts)
    days = sorted({day for cut in several for day in (cut.first, cut.last + 1)})
    return Steps(
        tuple(
            (day, max((cut.days for cut in several if cut.first <= day <= cut.last), default=0))
            for day in days
        )
    )

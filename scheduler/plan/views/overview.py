"""A plan in a few numbers, and the names of all that can be looked at more closely."""

from collections import Counter
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.views.customer_page import customer_names


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """What a plan holds.

    Attributes:
        deliveries: (kind, state) -> how many; kinds are firm, flexible and target.
        next_work_day: first day from the one asked for on that has a task, None when none has.
        crops, customers, places, lots: all names; lots by sowing day, growing ones first.
        shares: names of box shares.
        tiers, zones, rows, beds: the places by kind.
    """

    deliveries: dict[tuple[str, str], int]
    next_work_day: int | None
    crops: tuple[str, ...]
    customers: tuple[str, ...]
    places: tuple[str, ...]
    lots: tuple[str, ...]
    shares: tuple[str, ...] = ()
    tiers: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    rows: tuple[str, ...] = ()
    beds: tuple[str, ...] = ()


def overview(farm: Farm, plan: Plan, day: int) -> Overview:
    """Return what a plan holds, seen from a day."""
    ahead = [task.day for task in plan.tasks if day <= task.day < farm.calendar.days]
    lots = sorted(plan.lots, key=lambda row: (row.origin == "sown", row.sown or 0, row.lot))
    return Overview(
        deliveries=dict(Counter((row.kind, row.state) for row in plan.demands if row.reported)),
        next_work_day=min(ahead, default=None),
        crops=tuple(farm.crops),
        customers=tuple(customer_names(plan)),
        places=tuple(place.name for place in farm.places),
        lots=tuple(row.lot for row in lots if row.crop in farm.crops),
        shares=tuple(farm.boxes.shares),
        tiers=_names(farm, PlaceKind.TIER),
        zones=_names(farm, PlaceKind.ZONE),
        rows=_names(farm, PlaceKind.LANE),
        beds=_names(farm, PlaceKind.BED),
    )


def _names(farm: Farm, kind: PlaceKind) -> tuple[str, ...]:
    return tuple(place.name for place in farm.places_of(kind))


def unfilled(plan: Plan) -> dict[str, list[DemandRow]]:
    """Return the reported deliveries that are not filled, by state: firm ones first, then by day."""
    found: dict[str, list[DemandRow]] = {"short": [], "too early": [], "out of reach": []}
    rows = [row for row in plan.demands if row.reported and row.state != "filled"]
    for row in sorted(rows, key=firm_first):
        found.setdefault(row.state, []).append(row)
    return found


def firm_first(row: DemandRow) -> tuple[bool, bool, int, str]:
    """Return what deliveries that are not filled are sorted by: firm first, targets last, then by day."""
    return not row.firm, row.target, row.day, row.demand

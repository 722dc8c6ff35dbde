"""What a plan of a relaxed farm needs beyond the farm as it is: by place, kind of equipment, and day."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.model.explain.relax import ITEMS, PLACES
from scheduler.plan.positions import positions_in
from scheduler.plan.relief import Grant, Limit
from scheduler.plan.rows import Plan
from scheduler.plan.tally import CHORE, dome_pool


def needed(farm: Farm, plan: Plan, lifts_before: Counter[int] | None = None) -> tuple[Grant, ...]:
    """Return everything that a plan uses beyond what a farm has.

    Args:
        farm: the farm as it is.
        plan: a plan of that farm with more of some limits.
        lifts_before: day -> rafts that the plan given would lift out if it could, which need no lifting.
    """
    return (
        *_slots(farm, plan),
        *_crates(farm, plan),
        *_units(farm, plan),
        *_hours(farm, plan),
        *_lifts(farm, plan, lifts_before or Counter()),
    )


def _slots(farm: Farm, plan: Plan) -> Iterator[Grant]:
    over: dict[str, dict[int, int]] = defaultdict(dict)
    places = {place.name: place for place in farm.places}
    for name, day, slots in (*_used(farm, plan), *_positions(plan)):
        more = slots - places[name].slots.on(day)
        if more > 0:
            over[name][day] = max(more, over[name].get(day, 0))
    of_kind = {kind: limit for limit, kind in PLACES.items()}
    for name, days in over.items():
        kind: PlaceKind = places[name].kind
        yield Grant(
            limit=of_kind[kind], what=name, amount=max(days.values()), first=min(days), last=max(days)
        )


def _used(farm: Farm, plan: Plan) -> Iterator[tuple[str, int, int]]:
    """Yield place, day and slots used: of the table, and of what stands on where the table ends."""
    for row in plan.use:
        yield row.place, row.day, row.used
    after: Counter[tuple[str, int]] = Counter()
    for position in plan.positions:
        after.update((position.place, day) for day in range(farm.calendar.span, position.until))
    for (place, day), used in after.items():
        yield place, day, used


def _positions(plan: Plan) -> Iterator[tuple[str, int, int]]:
    """Yield bed, day and the highest position taken: plants stay where they were set in."""
    for planting in plan.plantings:
        highest = max(positions_in(planting.positions) or (0,))
        for day in range(max(planting.enters, 0), planting.free):
            yield planting.bed, day, highest


def _crates(farm: Farm, plan: Plan) -> Iterator[Grant]:
    room = {cooler.name: cooler.crates for cooler in farm.coolers}
    standing: dict[str, Counter[int]] = defaultdict(Counter)
    for row in plan.coolers:
        standing[row.cooler][row.day] += row.crates
    for name, by_day in standing.items():
        over = {day: crates - room[name] for day, crates in by_day.items() if crates > room[name]}
        if over:
            yield Grant(
                limit=Limit.COOLER,
                what=name,
                amount=max(over.values()),
                first=min(over),
                last=max(over),
            )


def _units(farm: Farm, plan: Plan) -> Iterator[Grant]:
    pool = dome_pool(farm)
    owned = {kind.name: (kind.item, kind.owned) for kind in farm.equipment.values()}
    if pool is not None:
        owned[pool.name] = ("dome", pool.owned)
    over: dict[str, dict[int, int]] = defaultdict(dict)
    for row in plan.equipment:
        more = row.in_use + row.washing - owned[row.kind][1]
        if more > 0:
            over[row.kind][row.day] = more
    of_item = {item: limit for limit, item in ITEMS.items()}
    for name, days in over.items():
        yield Grant(
            limit=of_item[owned[name][0]],
            what=name,
            amount=max(days.values()),
            first=min(days),
            last=max(days),
        )


def _hours(farm: Farm, plan: Plan) -> Iterator[Grant]:
    hands = farm.hands
    if hands is None:
        return
    minutes: Counter[int] = Counter()
    for row in plan.hours:
        minutes[row.day] += row.minutes if row.work != CHORE else 0
    over = {day: number - hands.on(day) for day, number in minutes.items()}
    over = {day: more for day, more in over.items() if more > 0 and day >= farm.today}
    if over:
        yield Grant(
            limit=Limit.HOURS,
            what="",
            amount=sum(over.values()),
            first=min(over),
            last=max(over),
            most=max(over.values()),
        )


def lifts(plan: Plan) -> Counter[int]:
    """Return day -> rafts lifted out past others that stay."""
    found: Counter[int] = Counter()
    for task in plan.tasks:
        if task.work == "lift":
            found[task.day] += task.units
    return found


def _lifts(farm: Farm, plan: Plan, before: Counter[int]) -> Iterator[Grant]:
    if farm.rules.lift_out:
        return
    more = lifts(plan) - before
    if more:
        yield Grant(limit=Limit.ORDER, what="", amount=sum(more.values()), first=min(more), last=max(more))

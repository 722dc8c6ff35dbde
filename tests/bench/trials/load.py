"""How much of what a steady week could serve an order book asks for."""

from collections import Counter, defaultdict

from scheduler.farm.farm import Farm

from .flows import WEEK, Flows, Wanted

PERCENT = 100


def load_of(farm: Farm) -> float:
    """Return the mean week of a farm's orders as percent of the most a steady week can serve in full.

    Trays, boards and rafts are fractional there, and rows have no order, so no plan serves more than 100 %
    for long. The weeks counted are those in which every order has begun.
    """
    wanted = mean_week(farm)
    flows = Flows(farm, wanted, WEEK)
    times = flows.lines.new(cost=-1.0)
    for want, filled in zip(wanted, flows.filled, strict=True):
        flows.lines.keep([*filled, (times, -want.amount)], 0.0, 0.0)
    answer = flows.lines.solve()
    if answer is None:
        raise ValueError("no time limit was given")
    return PERCENT / -answer[0]


def mean_week(farm: Farm) -> list[Wanted]:
    """Return what is wanted in a mean week, once all orders have begun, up to the last reported day."""
    reported = [demand for demand in farm.demands if demand.reported]
    first: dict[str, int] = {}
    times = Counter(demand.order for demand in reported)
    for demand in reported:
        first.setdefault(demand.order, demand.first)
    # A single delivery has no beginning: it may come late in the season.
    begun = max(day for order, day in first.items() if times[order] > 1)
    start = -(-begun // WEEK) * WEEK
    weeks = (farm.calendar.days - start) // WEEK
    if weeks < 1:
        raise ValueError("no whole week in which all orders have begun")
    amounts: dict[tuple[tuple[str, ...], int, int, int], int] = defaultdict(int)
    for demand in reported:
        if start <= demand.first < start + weeks * WEEK:
            key = (demand.products, demand.first % WEEK, demand.last - demand.first, demand.max_age)
            amounts[key] += demand.amount
    return [
        Wanted(products[0], day, day + length, age, amount / weeks, products[1:])
        for (products, day, length, age), amount in sorted(amounts.items())
    ]

"""Coolers: heads that wait for their delivery stand in crates where it is as cold as they bear."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.units import ceil_div
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.audit.runs import runs_over

Waiting = dict[str, dict[int, int]]
"""Crop -> day -> heads that stand somewhere after that day."""


def coolers(ledger: Ledger) -> Iterator[AuditFault]:
    """Report days after which more crates stand in coolers than those have places for."""
    farm = ledger.farm
    if not farm.coolers:
        return
    used: dict[int, list[int]] = defaultdict(lambda: [0] * farm.calendar.span)
    for name, by_day in _waiting(ledger).items():
        crating = farm.crops[name].crating
        if crating is None:
            continue
        temperature = next(
            (c.temperature for c in farm.coolers if crating.coldest <= c.temperature <= crating.warmest), None
        )
        for day, heads in sorted(by_day.items()):
            if temperature is None:
                message = f"{heads} heads of {name} wait for their delivery, and no cooler suits it"
                yield ledger.fault("coolers", name, day, message)
            elif day < farm.calendar.span:
                used[temperature][day] += ceil_div(heads, crating.heads)
    for temperature, crates in used.items():
        suited = [cooler for cooler in farm.coolers if cooler.temperature == temperature]
        room = sum(cooler.crates for cooler in suited)
        where = "; ".join(cooler.name for cooler in suited)
        for day, length, most, _ in runs_over(crates, [room] * len(crates)):
            lasting = f" for {length} days" if length > 1 else ""
            yield ledger.fault("coolers", where, day, f"{most} crates, room for {room}{lasting}")


def _waiting(ledger: Ledger) -> Waiting:
    deliveries = {demand.name: demand for demand in ledger.farm.demands if not demand.is_target}
    found: Waiting = defaultdict(lambda: defaultdict(int))
    for row in ledger.plan.fills:
        demand = deliveries.get(row.demand)
        if demand is not None and row.crop in ledger.farm.crops:
            for day in range(row.cut_day, demand.first):
                found[row.crop][day] += row.heads
    for sale in ledger.plan.sales:
        if sale.crop in ledger.farm.crops:
            for day in range(sale.cut_day, sale.day):
                found[sale.crop][day] += sale.heads
    return found

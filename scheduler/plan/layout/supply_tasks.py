"""Tasks of ordering seed and packaging."""

from collections import Counter
from collections.abc import Iterator

from scheduler.farm.dates import short_day
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.plan.rows import Plan, SupplyRow, TaskRow


def order_tasks(farm: Farm, plan: Plan) -> Iterator[TaskRow]:
    """Yield one task for each order, on its day or, when that has passed, today.

    Orders of one item are numbered in time, so a key stays when the day moves.
    """
    numbers: Counter[str] = Counter()
    lead_days = {supply.item: supply.lead_days for supply in farm.supplies}
    for row in plan.supplies:
        numbers[row.item] += 1
        yield TaskRow(
            key=f"order {row.item} {numbers[row.item]}",
            day=max(row.order_by, farm.today),
            work="order",
            lot="",
            crop=row.item,
            units=row.packs,
            unit_kind="",
            plants=row.amount,
            where="",
            to="",
            note=_note(farm, row, farm.today + lead_days[row.item]),
        )


def _note(farm: Farm, row: SupplyRow, comes: int) -> str:
    needed, last = (short_day(farm.date_of(day)) for day in (row.arrive_by, row.covers_until))
    cost = f"; {row.cost // CENT}.{row.cost % CENT:02d} {farm.currency}".rstrip() if row.cost else ""
    said = f"for {row.crop_or_product}, needed from {needed}, for use through {last}{cost}"
    if not row.late:
        return said
    return (
        f"late, {short_day(farm.date_of(row.order_by))} was the last day: ordered today it comes on "
        f"{short_day(farm.date_of(comes))}, stock runs out on {needed}; {said}"
    )

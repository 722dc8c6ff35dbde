"""What each customer gets on each day, fit to be shown to that customer: products and amounts alone."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.tally import units_given

UNIT = "unit"
"""What one unit is called when the farm does not know the product."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One product of one delivery day: ``amount`` sale units that come, ``pack`` what one of them is.

    ``instead`` is the product it comes in place of; empty where it is the one ordered. ``boxed`` is what a
    full and a half box of a share hold of it, in units, 0 where none of these go out; None for what comes in
    no box.
    """

    product: str
    pack: str
    amount: int
    instead: str = ""
    boxed: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerDay:
    """All that one customer gets on one day.

    Attributes:
        customer: the customer's name.
        day: day number.
        items: one for each product, in the order of the plan.
        demands: (demand, order) behind it: names of the farm's own, not for the customer.
    """

    customer: str
    day: int
    items: tuple[Item, ...]
    demands: tuple[tuple[str, str], ...]


def customer_days(farm: Farm, plan: Plan) -> list[CustomerDay]:
    """Return every reported day on which a customer gets something, by customer and day.

    Amounts of one product on one day are added up; what stays short is left out.
    """
    given = units_given(farm, plan)
    boxed = _boxed(farm, plan)
    rows: dict[tuple[str, int], list[DemandRow]] = defaultdict(list)
    for row in plan.demands:
        if row.reported and not row.target and row.filled > 0:
            rows[row.customer, row.day].append(row)
    return [
        CustomerDay(
            customer=customer,
            day=day,
            items=(
                *_items(farm, [row for row in rows[customer, day] if row.demand not in boxed], given),
                *(item for row in rows[customer, day] for item in boxed.get(row.demand, ())),
            ),
            demands=tuple((row.demand, row.order) for row in rows[customer, day]),
        )
        for customer, day in sorted(rows)
    ]


def _items(farm: Farm, rows: list[DemandRow], given: Mapping[str, Mapping[str, int]]) -> tuple[Item, ...]:
    amounts: dict[tuple[str, str], int] = defaultdict(int)
    for row in rows:
        for name, amount in given.get(row.demand, {row.product: row.filled}).items():
            amounts[name, "" if name == row.product else row.product] += amount
    return tuple(
        Item(
            product=name,
            pack=farm.products[name].pack if name in farm.products else UNIT,
            amount=amount,
            instead=instead,
        )
        for (name, instead), amount in amounts.items()
    )


def _boxed(farm: Farm, plan: Plan) -> dict[str, list[Item]]:
    """Return place of a box, as a delivery -> what is in it; as far as the farm knows it."""
    found: dict[str, list[Item]] = defaultdict(list)
    sizes = {(row.share, row.day): (bool(row.boxes), bool(row.half_boxes)) for row in plan.boxes}
    for row in plan.box_items:
        if row.product and row.filled and row.product in farm.products:
            full, half = sizes.get((row.share, row.day), (True, True))
            found[row.demand].append(
                Item(
                    product=row.product,
                    pack=farm.products[row.product].pack,
                    amount=row.filled,
                    boxed=(row.full_box * full, row.half_box * half),
                )
            )
    return found

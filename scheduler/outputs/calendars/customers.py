"""What a customer's own events tell: products and amounts of one day, and nothing of the farm's own."""

from collections.abc import Iterable

from scheduler.farm.farm import Farm
from scheduler.outputs.boxes.amounts import amount
from scheduler.outputs.calendars.entries import Entry, part, titled
from scheduler.outputs.words import counted, plain, some
from scheduler.plan.views.customer_days import CustomerDay, Item

DELIVERY = "delivery"
"""Kind of the events a customer gets."""

NAMED = 3
"""Products named in a title before the rest is only counted."""


def delivery_entries(farm: Farm, days: Iterable[CustomerDay]) -> list[Entry]:
    """Return an event for each day of one customer."""
    return [_entry(farm, day) for day in days]


def _entry(farm: Farm, day: CustomerDay) -> Entry:
    products = [plain(item.product) for item in day.items]
    return Entry(
        kind=DELIVERY,
        day=farm.date_of(day.day),
        title=titled(f"{plain(farm.name)} delivers {some(products, NAMED)}"),
        text="\n".join(_line(item) for item in day.items),
        parts=frozenset(part(demand, order) for demand, order in day.demands),
        names=tuple(sorted(f"{DELIVERY} {day.customer}|{demand}" for demand, _ in day.demands)),
    )


def _line(item: Item) -> str:
    if item.boxed is not None:
        return _in_a_box(item, *item.boxed)
    instead = f", in place of {plain(item.instead)}" if item.instead else ""
    return f"{plain(item.product)}: {counted(item.amount, item.pack)}{instead}"


def _in_a_box(item: Item, full: float, half: float) -> str:
    """Say what a full and a half box hold; how many boxes there are is nobody else's business."""
    parts = [amount(full, item.pack)] if full else []
    parts += [f"half box {amount(half, item.pack)}"] if half else []
    return f"{plain(item.product)}: {', '.join(parts)}"

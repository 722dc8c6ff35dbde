"""What a customer's own events tell: products and amounts of one day, and nothing of the farm's own."""

import hashlib
import re
import unicodedata
from collections.abc import Collection, Iterable

from scheduler.farm.farm import Farm
from scheduler.outputs.boxes.amounts import amount
from scheduler.outputs.calendars.entries import Entry, part, titled
from scheduler.outputs.words import counted, plain
from scheduler.plan.views.customer_days import CustomerDay, Item
from scheduler.plan.words import worth_listing

DELIVERY = "delivery"
"""Kind of the events a customer gets."""

NAMED = 3
"""Products named in a title before the rest is only counted."""

LONGEST_NAME = 40
"""Letters of a customer's name that go into the name of a file."""


def delivery_entries(farm: Farm, days: Iterable[CustomerDay]) -> list[Entry]:
    """Return an event for each day of one customer."""
    return [_entry(farm, day) for day in days]


def _entry(farm: Farm, day: CustomerDay) -> Entry:
    products = [plain(item.product) for item in day.items]
    named = worth_listing(len(products), NAMED)
    more = f" and {len(products) - named} more" if len(products) > named else ""
    return Entry(
        kind=DELIVERY,
        day=farm.date_of(day.day),
        title=titled(f"{plain(farm.name)} delivers {', '.join(products[:named])}{more}"),
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


def file_name(customer: str, taken: Collection[str]) -> str:
    """Return a name for a customer's file that is safe on every disk, such as ``deliveries-cafe-zoe.ics``.

    Letters outside a to z lose their marks or become hyphens. A name with nothing left, too long, or taken
    gets a few digits of the customer's name's digest at the end.
    """
    bare = unicodedata.normalize("NFKD", customer.casefold()).encode("ascii", "ignore").decode()
    slug = re.sub(r"[^a-z0-9]+", "-", bare).strip("-")
    name = f"deliveries-{slug}.ics"
    if slug and len(slug) <= LONGEST_NAME and name not in taken:
        return name
    digest = hashlib.sha256(customer.encode("utf-8", "surrogatepass")).hexdigest()
    for length in range(8, len(digest) + 1):
        name = f"deliveries-{slug[:LONGEST_NAME]}-{digest[:length]}.ics".replace("--", "-")
        if name not in taken:
            return name
    raise ValueError(f"no file name is left for {customer!r}")

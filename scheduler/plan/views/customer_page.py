"""One customer or target: every delivery with its state and the lots it comes from."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.tally import units_given
from scheduler.plan.words import most_first


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A delivery, (lot, heads) of what goes into it, by lot, and (product, units) of its substitutes."""

    row: DemandRow
    lots: tuple[tuple[str, int], ...]
    instead: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerPage:
    """All that is shown of a customer.

    Attributes:
        name: the customer, or the target.
        day: day number from which on ``due`` is listed.
        states: (kind, state) -> deliveries of the whole plan; kinds are firm, flexible and target.
        due: deliveries from ``day`` on, by day.
        products: (product, units delivered) from ``day`` on, most first.
    """

    name: str
    day: int
    states: dict[tuple[str, str], int]
    due: tuple[Due, ...]
    products: tuple[tuple[str, int], ...]


def customer_names(plan: Plan) -> list[str]:
    """Return all customers, then all targets, then outlets at which anything is sold, by name."""
    reported = [row for row in plan.demands if row.reported]
    customers = sorted({row.customer for row in reported if row.customer})
    targets = sorted({row.order for row in reported if not row.customer} - set(customers))
    outlets = {row.outlet for row in plan.outlets if row.reported} - {*customers, *targets}
    return customers + targets + sorted(outlets)


def customer_page(farm: Farm, plan: Plan, name: str, day: int) -> CustomerPage:
    """Return what is shown of a customer from a day on; nothing is due where the name is unknown."""
    own = [row for row in plan.demands if row.reported and (row.customer or row.order) == name]
    lots: dict[str, Counter[str]] = defaultdict(Counter)
    for fill in plan.fills:
        lots[fill.demand][fill.lot] += fill.heads
    states = Counter((row.kind, row.state) for row in own)
    coming = sorted((row for row in own if row.last >= day), key=lambda row: (row.day, row.demand))
    given = units_given(farm, plan)
    products: Counter[str] = Counter()
    instead: dict[str, tuple[tuple[str, int], ...]] = {}
    for row in coming:
        of_row = given.get(row.demand, {row.product: row.filled})
        products.update(of_row)
        instead[row.demand] = tuple(each for each in of_row.items() if each[0] != row.product)
    return CustomerPage(
        name=name,
        day=day,
        states=dict(states),
        due=tuple(
            Due(row=row, lots=tuple(sorted(lots[row.demand].items())), instead=instead[row.demand])
            for row in coming
        ),
        products=most_first(products),
    )

"""Lines of a work sheet around the growing: deliveries, washing, orders of seed and packaging, and chores."""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from scheduler.farm.dates import short_day
from scheduler.plan.rests import cleanings
from scheduler.plan.rows import DemandRow
from scheduler.plan.tally import units_given
from scheduler.plan.views.ledger import Ledger
from scheduler.plan.views.lines import Chore, Delivery, Ordering, Taken, Washing
from scheduler.plan.views.nursery_lines import Dated


def supply_lines(ledger: Ledger) -> Iterator[Dated]:
    """Yield washing, deliveries that hold anything, orders, and chores."""
    yield from _washing(ledger)
    for delivery in deliveries(ledger):
        if delivery.customer and delivery.filled:
            yield delivery.day, "deliver", delivery
    for row in ledger.plan.supplies:
        line = Ordering(
            item=row.item,
            kind=row.kind,
            used_for=row.crop_or_product,
            packs=row.packs,
            amount=row.amount,
            needed_from=row.arrive_by,
            covers_until=row.covers_until,
            cost=row.cost,
            late=row.late,
        )
        yield max(row.order_by, ledger.farm.today), "order", line
    for each in ledger.farm.chores:
        chore = Chore(
            name=each.chore,
            place=each.place,
            who=each.who,
            note=each.note,
            minutes=each.minutes,
            due=each.due,
            day=each.day,
        )
        yield each.day, "chore", chore
    yield from _resting(ledger)


def _resting(ledger: Ledger) -> Iterator[Dated]:
    """Yield one line for each row that is cleaned between two crops."""
    for each in cleanings(ledger.farm, ledger.plan):
        free = short_day(ledger.farm.date_of(each.day + each.lane.rest_before(each.until)))
        line = Chore(
            name=f"After {each.before}",
            place=each.lane.name,
            who="",
            note=f"empty until {free}, then {each.after}",
            minutes=each.lane.rest_minutes,
            due=each.day,
            day=each.day,
        )
        yield each.day, "clean", line


def _washing(ledger: Ledger) -> Iterator[Dated]:
    """Yield one line for each kind and day; kinds that are not washed have none."""
    left: dict[tuple[int, str], list[str]] = defaultdict(list)
    for unit in ledger.units.values():
        if ledger.farm.equipment[unit.kind].wash_days:
            left[unit.leaves, unit.kind].append(unit.unit)
    for (day, name), units in left.items():
        kind = ledger.farm.equipment[name]
        line = Washing(
            kind=name,
            item=kind.item,
            units=len(units),
            sources=ledger.spots(ledger.before(unit, day) for unit in units if ledger.stands[unit]),
            free=day + kind.wash_days,
        )
        yield day, "wash", line


def deliveries(ledger: Ledger) -> list[Delivery]:
    """Return every delivery and every week of a target that is reported, in the plan's order."""
    lots = ledger.lots
    given = units_given(ledger.farm, ledger.plan)
    taken: dict[str, dict[tuple[str, int], int]] = defaultdict(lambda: defaultdict(int))
    for fill in ledger.plan.fills:
        taken[fill.demand][fill.lot, fill.cut_day] += fill.heads
    return [
        _delivery(
            ledger,
            row,
            given.get(row.demand, {}),
            tuple(
                Taken(lot=lot, crop=lots[lot].crop, cut_day=day, heads=heads)
                for (lot, day), heads in sorted(taken[row.demand].items(), key=lambda each: each[0][::-1])
            ),
        )
        for row in ledger.plan.demands
        if row.reported
    ] + _outlets(ledger)


def _outlets(ledger: Ledger) -> list[Delivery]:
    """Return what goes to outlets as deliveries to them: all of it comes, and nothing is ordered."""
    taken: dict[tuple[str, str, int], dict[tuple[str, int], int]] = defaultdict(lambda: defaultdict(int))
    for sale in ledger.plan.sales:
        taken[sale.outlet, sale.product, sale.day][sale.lot, sale.cut_day] += sale.heads
    return [
        Delivery(
            demand=f"{row.outlet} {row.day}",
            order="to sell",
            customer=row.outlet,
            product=row.product,
            pack=ledger.farm.products[row.product].pack,
            day=row.day,
            last=row.day,
            amount=row.units,
            filled=row.units,
            firm=False,
            state="filled",
            reason="",
            taken=tuple(
                Taken(lot=lot, crop=ledger.lots[lot].crop, cut_day=day, heads=heads)
                for (lot, day), heads in sorted(
                    taken[row.outlet, row.product, row.day].items(), key=lambda each: each[0][::-1]
                )
            ),
        )
        for row in ledger.plan.outlets
        if row.reported
    ]


def _delivery(ledger: Ledger, row: DemandRow, given: Mapping[str, int], taken: tuple[Taken, ...]) -> Delivery:
    products = ledger.farm.products
    product = products.get(row.product)
    return Delivery(
        demand=row.demand,
        order=row.order,
        customer=row.customer,
        product=row.product,
        pack=product.pack if product else "unit",
        day=row.day,
        last=row.last,
        amount=row.amount,
        filled=row.filled,
        firm=row.firm,
        state=row.state,
        reason=row.reason,
        taken=taken,
        instead=tuple((name, products[name].pack, n) for name, n in given.items() if name != row.product),
    )

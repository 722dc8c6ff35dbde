"""Outlets: what is sold there, on their days, fresh, and no more than they take in a week."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.orders.outlets import OutletWeek
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.sale_rows import OutletRow, SaleRow

Key = tuple[str, str, int]


def outlets(ledger: Ledger) -> Iterator[AuditFault]:
    """Report sales on wrong days, too old, of the wrong crop or too many, and days summed up wrongly."""
    farm = ledger.farm
    weeks = {(week.outlet, week.product, stall.day): week for week in farm.outlets for stall in week.stalls}
    heads: dict[Key, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in ledger.plan.sales:
        key = row.outlet, row.product, row.day
        if key not in weeks:
            message = f"sells no {row.product} that day, but {row.heads} heads of {row.lot} are sold"
            yield ledger.fault("outlets", row.outlet, row.day, message)
            continue
        yield from _one_sale(ledger, row, weeks[key])
        if row.crop in farm.products[row.product].sources:
            heads[key][row.crop] += row.heads
    units = {key: _units(ledger, key[1], of_crops) for key, of_crops in heads.items()}
    for week in farm.outlets:
        sold = sum(units.get((week.outlet, week.product, stall.day), 0) for stall in week.stalls)
        most = sum(step.amount for step in week.steps)
        if sold > most:
            message = f"{sold} of {week.product} are sold in the week, it takes {most}"
            yield ledger.fault("outlets", week.outlet, week.stalls[0].day, message)
    yield from _sums(ledger, _takings(ledger, units))


def _one_sale(ledger: Ledger, row: SaleRow, week: OutletWeek) -> Iterator[AuditFault]:
    lot = ledger.lots.get(row.lot)
    if lot is None:
        yield ledger.fault("bookkeeping", "sales", row.cut_day, f"there is no lot {row.lot}")
        return
    what = f"{row.heads} heads of {row.lot}"
    if row.heads < 1:
        yield ledger.fault("bookkeeping", row.outlet, row.day, what)
    if row.crop != lot.crop:
        message = f"{row.lot} is {lot.crop}, not {row.crop}"
        yield ledger.fault("bookkeeping", row.outlet, row.day, message)
    elif row.crop not in ledger.farm.products[row.product].sources:
        message = f"{row.heads} heads of {row.crop}, which {row.product} is not made of"
        yield ledger.fault("products", row.outlet, row.day, message)
    cut, age = ledger.farm.date_of(row.cut_day), row.day - row.cut_day
    if age < 0:
        yield ledger.fault("fresh", row.outlet, row.day, f"{what} are cut only on {cut}")
    elif age > week.max_age:
        message = f"{what}, cut {cut}, are {age} days old; {week.max_age} may be"
        yield ledger.fault("fresh", row.outlet, row.day, message)


def _units(ledger: Ledger, name: str, heads: dict[str, int]) -> int:
    """Count units: of any one crop, or of a mix one by one as long as every part has its share."""
    product = ledger.farm.products[name]
    if not product.parts:
        return sum(number * 1000 // product.sources[crop] for crop, number in heads.items())
    units = 0
    while True:
        whole, held = (units + 1) * product.weight, 0
        for part in product.parts:
            there = heads.get(part.crop, 0) * part.grams * 10_000
            if there < part.least * whole:
                return units
            held += min(there, part.most * whole)
        if held < whole * 10_000:
            return units
        units += 1


def _takings(ledger: Ledger, units: dict[Key, int]) -> dict[Key, tuple[int, int]]:
    """Return outlet, product and day -> units, and what they bring unit by unit, the best price first."""
    found: dict[Key, tuple[int, int]] = {}
    for week in ledger.farm.outlets:
        prices = [step.price for step in week.steps for _ in range(step.amount)]
        at = 0
        for stall in week.stalls:
            key = week.outlet, week.product, stall.day
            number = units.get(key, 0)
            if number:
                found[key] = number, sum(prices[at : at + number])
            at += number
    return found


def _sums(ledger: Ledger, wanted: dict[Key, tuple[int, int]]) -> Iterator[AuditFault]:
    given: dict[Key, OutletRow] = {}
    for row in ledger.plan.outlets:
        key = row.outlet, row.product, row.day
        if key in given:
            yield _wrong(ledger, row.outlet, row.day, f"{row.product} has two rows that day")
        elif key not in wanted:
            yield _wrong(ledger, row.outlet, row.day, f"no {row.product} is sold that day")
        else:
            units, takings = wanted[key]
            if (row.units, row.takings) != wanted[key]:
                said = f"{row.units} of {row.product} said to be sold for {row.takings / 100:.2f}"
                message = f"{said}, the rows give {units} for {takings / 100:.2f}"
                yield _wrong(ledger, row.outlet, row.day, message)
            if row.reported != (row.day < ledger.farm.calendar.days):
                yield _wrong(ledger, row.outlet, row.day, f"reported is {row.reported}")
        given[key] = row
    for outlet, product, day in wanted.keys() - given.keys():
        yield _wrong(ledger, outlet, day, f"the row of {product} is missing")


def _wrong(ledger: Ledger, where: str, day: int, message: str) -> AuditFault:
    return ledger.fault("bookkeeping", where, day, message)

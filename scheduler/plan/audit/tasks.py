"""Tasks: what a day's sheet says to do is what the rows call for, on that day and as much of it."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.exact import tells_all
from scheduler.plan.instead import delivery_key, outlet_key
from scheduler.plan.left_behind import LeftBehind, left_behind, told_behind
from scheduler.plan.lifts import as_they_leave
from scheduler.plan.tally import CHORE, units_given
from scheduler.plan.thrown import thrown_away

JUDGED_ELSEWHERE = (CHORE, "clean")
"""Work that is judged by checks of its own."""

SET_OUT = {"board": "transplant", "raft": "raft"}
"""What is filled by setting plants out, and the work that does it."""


class Told(NamedTuple):
    """What tasks are counted by: day, work, and the lot it is done to; where there is none, the key."""

    day: int
    work: str
    what: str


Amounts = dict[Told, int]
Wanted = Iterator[tuple[Told, int]]
Users = dict[tuple[int, str], set[str]]
"""Day and work -> the units it is done with."""


def tasks(ledger: Ledger) -> Iterator[AuditFault]:
    """Report work of the rows that no task tells, tasks that nothing calls for, and wrong amounts.

    An older plan that lists no such work at all is one whose tasks were not made yet.
    """
    if not tells_all(ledger.plan) and all(task.work in JUDGED_ELSEWHERE for task in ledger.plan.tasks):
        return
    left = told_behind(ledger.farm, ledger.plan, left_behind(ledger.farm, ledger.plan))
    wanted = _wanted(ledger, left)
    found: Amounts = defaultdict(int)
    for task in ledger.plan.tasks:
        if task.work not in JUDGED_ELSEWHERE:
            found[Told(task.day, task.work, task.lot or task.key)] += task.plants
    for told in sorted({**wanted, **found}):
        message = ""
        if told not in found:
            message = f"the task to {told.work} {wanted[told]} is missing"
        elif told not in wanted:
            message = f"a task says to {told.work} {found[told]}, which nothing calls for"
        elif found[told] != wanted[told]:
            message = f"tasks say to {told.work} {found[told]}, the rows give {wanted[told]}"
        if message:
            yield ledger.fault("bookkeeping", told.what, told.day, message)
    yield from _units(ledger, left)


def _wanted(ledger: Ledger, left: LeftBehind) -> Amounts:
    """Return what the rows call for."""
    wanted: Amounts = defaultdict(int)
    for (lot, day), units in left.items():
        wanted[Told(day, "discard", lot)] += sum(units.values())
    for told, number in (*_of_lots(ledger), *_of_deliveries(ledger), *_of_supplies(ledger)):
        wanted[told] += number
    return wanted


def _of_lots(ledger: Ledger) -> Wanted:
    """Yield what is to be done to plants, from the seed to what is thrown away."""
    for lot in ledger.lots.values():
        if lot.origin != "growing" and lot.sown is not None:
            yield Told(lot.sown, "sow", lot.lot), lot.cells
            if ledger.crop_of(lot.lot).handling.soak_hours:
                yield Told(_soaked(ledger, lot.lot, lot.sown), "soak", lot.lot), lot.cells
        if lot.sown is not None:
            yield from _care(ledger, lot.lot, lot.sown)
        if lot.discarded:
            yield Told(ledger.farm.today, "discard", lot.lot), lot.discarded
    for row in ledger.plan.contents:
        if ledger.item(row) in SET_OUT and not ledger.is_growing(row.unit):
            yield Told(row.enters, SET_OUT[ledger.item(row)], row.lot), row.plants
    for cut in ledger.plan.cuts:
        yield Told(cut.day, "cut", cut.lot), cut.heads
    yield from _of_beds(ledger)
    for raft, first in _lifted(ledger):
        yield Told(ledger.units[raft].leaves, "lift", first), 0


def _soaked(ledger: Ledger, lot: str, sown: int) -> int:
    early = ledger.crop_of(lot).handling.soaks_overnight
    return max(sown - early, ledger.farm.today)


def _care(ledger: Ledger, lot: str, sown: int) -> Wanted:
    """Uncovering and thinning of what stands in trays after that day's moves."""
    handling = ledger.crop_of(lot).handling
    uncovered = sorted({handling.dark_days, handling.dome_days})
    for work, after in (*(("uncover", days) for days in uncovered), ("thin", handling.thin_day)):
        day = sown + after
        if after and day >= ledger.farm.today:
            cells = sum(row.plants for row in ledger.trays.get(lot, ()) if row.leaves > day)
            if cells:
                yield Told(day, work, lot), cells


def _of_beds(ledger: Ledger) -> Wanted:
    picked = {row.planting for row in ledger.plan.pickings}
    for picking in ledger.plan.pickings:
        yield Told(picking.day, "pick", ledger.plantings[picking.planting].lot), picking.heads
    for name, row in ledger.plantings.items():
        if name not in ledger.planted:
            yield Told(row.enters, "plant", row.lot), row.plants
        elif row.leaves == ledger.farm.today and name not in picked:
            continue  # it is thrown away
        if row.leaves < ledger.farm.calendar.span:
            yield Told(row.leaves, "clear", row.lot), row.plants


def _lifted(ledger: Ledger) -> Iterator[tuple[str, str]]:
    """Yield the rafts that are lifted out past others, each with the first lot in it."""
    for rafts in ledger.queues.values() if ledger.farm.rules.lift_out else ():
        for raft, lifted in as_they_leave(rafts):
            if lifted and ledger.contents.get(raft.unit):
                yield raft.unit, ledger.contents[raft.unit][0].lot


def _of_deliveries(ledger: Ledger) -> Wanted:
    given = units_given(ledger.farm, ledger.plan)
    for demand in ledger.farm.demands:
        for product, units in given[demand.name].items() if not demand.is_target else ():
            key = delivery_key(demand.name, "" if product == demand.product else product)
            yield Told(demand.first, "deliver", key), units
    for row in ledger.plan.outlets:
        key = outlet_key(row.outlet, row.product, ledger.farm.date_of(row.day))
        yield Told(row.day, "deliver", key), row.units


def _of_supplies(ledger: Ledger) -> Wanted:
    numbers: Counter[str] = Counter()
    for row in ledger.plan.supplies:
        numbers[row.item] += 1
        key = f"order {row.item} {numbers[row.item]}"
        yield Told(max(row.order_by, ledger.farm.today), "order", key), row.amount


def _units(ledger: Ledger, left: LeftBehind) -> Iterator[AuditFault]:
    """Each unit counts once a day for a kind of work; packs are no units."""
    users = _users(ledger)
    for (_, day), held in left.items():
        users[day, "discard"] |= set(held)
    found: Counter[tuple[int, str]] = Counter()
    for task in ledger.plan.tasks:
        found[task.day, task.work] += task.units
    if tells_all(ledger.plan):
        _add_care(ledger, users)
        for key in found:
            if key[1] not in (*JUDGED_ELSEWHERE, "order"):
                users[key] |= set()
    for (day, work), units in sorted(users.items()):
        if found[day, work] != len(units):
            message = f"tasks say to {work} {found[day, work]} units, the rows give {len(units)}"
            yield ledger.fault("bookkeeping", "tasks", day, message)


def _add_care(ledger: Ledger, users: Users) -> None:
    """Add the trays that are uncovered and thinned, and the units that plants are thrown away from."""
    today = ledger.farm.today
    for lot in ledger.lots.values():
        handling = ledger.crop_of(lot.lot).handling
        care = (("uncover", handling.dark_days), ("uncover", handling.dome_days), ("thin", handling.thin_day))
        for work, after in care if lot.sown is not None else ():
            day = (lot.sown or 0) + after
            if after and day >= today:
                users[day, work] |= {row.unit for row in ledger.trays.get(lot.lot, ()) if row.leaves > day}
    for thrown in thrown_away(ledger.farm, ledger.plan).values():
        users[today, "discard"] |= set(thrown)


def _users(ledger: Ledger) -> Users:
    """Return the units that are filled, cut or lifted out on each day."""
    users: Users = defaultdict(set)
    for row in ledger.plan.contents:
        item, lot = ledger.item(row), ledger.lots[row.lot]
        if ledger.is_growing(row.unit):
            continue
        if item in SET_OUT:
            users[row.enters, SET_OUT[item]].add(row.unit)
        elif lot.sown is not None:
            users[row.enters, "sow"].add(row.unit)
            if ledger.crop_of(row.lot).handling.soak_hours:
                users[_soaked(ledger, row.lot, lot.sown), "soak"].add(row.unit)
    for cut in ledger.plan.cuts:
        users[cut.day, "cut"].add(cut.unit)
    for raft, _ in _lifted(ledger):
        users[ledger.units[raft].leaves, "lift"].add(raft)
    return users

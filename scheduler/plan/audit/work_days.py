"""Work days: nothing is sown, set out or cut on a closed day, before today, or out of the sowing windows."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.growth.stages import next_work
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.rows import ContentRow

DONE = {Work.SOW: "sown", Work.TRANSPLANT: "set on boards", Work.RAFT: "set on rafts", Work.HARVEST: "cut"}
DONE_IN_BEDS = DONE | {Work.RAFT: "set into beds", Work.HARVEST: "picked"}
WORK_FOR = {"tray": Work.SOW, "board": Work.TRANSPLANT, "raft": Work.RAFT}


def work_days(ledger: Ledger) -> Iterator[AuditFault]:
    """Report each lot's work that is done on a day on which it may not be."""
    jobs: dict[tuple[str, int, Work], int] = defaultdict(int)
    for row in ledger.plan.contents:
        if not ledger.is_growing(row.unit):
            jobs[row.lot, row.enters, WORK_FOR[ledger.item(row)]] += row.plants
    for cut in ledger.plan.cuts:
        jobs[cut.lot, cut.day, Work.HARVEST] += cut.plants
    for planting in ledger.plan.plantings:
        if planting.planting not in ledger.planted:
            jobs[planting.lot, planting.enters, Work.RAFT] += planting.plants
        yield from _pulled_out(ledger, planting)
    plants_of = {row.planting: row for row in ledger.plan.plantings}
    for picking in ledger.plan.pickings:
        planting = plants_of[picking.planting]
        jobs[planting.lot, picking.day, Work.HARVEST] += planting.plants
    for (lot, day, work), plants in jobs.items():
        yield from _job(ledger, lot, day, work, plants)
    yield from _leaving(ledger, jobs)
    for lot_row in ledger.lots.values():
        sown = lot_row.sown
        if lot_row.lot in ledger.entries or sown is None or ledger.crop_of(lot_row.lot).in_window(sown):
            continue
        message = f"{lot_row.crop} is sown outside its sowing windows"
        yield ledger.fault("work days", lot_row.lot, sown, message)


def _job(ledger: Ledger, lot: str, day: int, work: Work, plants: int) -> Iterator[AuditFault]:
    done = DONE_IN_BEDS if ledger.crop_of(lot).picking else DONE
    what = f"{plants} {'cells' if work is Work.SOW else 'plants'} {done[work]}"
    if day < ledger.farm.today:
        yield ledger.fault("work days", lot, day, f"{what} before {ledger.farm.date_of(ledger.farm.today)}")
    elif not ledger.farm.calendar.is_open(work, day):
        yield ledger.fault("work days", lot, day, f"{what}, but no day for that work")


def _pulled_out(ledger: Ledger, row: PlantingRow) -> Iterator[AuditFault]:
    """Plants are pulled out of a bed on a harvest day from today on; what is thrown away today may be."""
    today = ledger.farm.today
    if row.leaves < today:
        message = f"{row.plants} plants are pulled out before {ledger.farm.date_of(today)}"
        yield ledger.fault("work days", row.lot, row.leaves, message)
    elif row.planting in ledger.planted and row.leaves == today:
        return
    elif not ledger.farm.calendar.is_open(Work.HARVEST, row.leaves):
        message = f"{row.plants} plants pulled out, but no day for that work"
        yield ledger.fault("work days", row.lot, row.leaves, message)


def _leaving(ledger: Ledger, jobs: dict[tuple[str, int, Work], int]) -> Iterator[AuditFault]:
    """Plants that leave and are neither set nor cut leave on a work day too, discards set aside.

    What it is cut from (rafts, or trays) may be emptied of what nobody cuts on any day from today on.
    """
    today = ledger.farm.today
    for row in ledger.plan.contents:
        work = next_work(ledger.crop_of(row.lot), StageKind(ledger.item(row)))
        if (row.lot, row.leaves, work) in jobs or _may_be_discarded(ledger, row):
            continue
        message = f"{row.plants} plants leave {row.unit}"
        if row.leaves < today:
            yield ledger.fault(
                "work days", row.lot, row.leaves, f"{message} before {ledger.farm.date_of(today)}"
            )
        elif ledger.item(row) != ledger.crop_of(row.lot).finish.kind and not ledger.farm.calendar.is_open(
            work, row.leaves
        ):
            yield ledger.fault("work days", row.lot, row.leaves, f"{message}, but no day for that work")


def _may_be_discarded(ledger: Ledger, row: ContentRow) -> bool:
    return (
        ledger.is_growing(row.unit)
        and row.leaves == ledger.farm.today
        and ledger.lots[row.lot].discarded >= row.plants
    )

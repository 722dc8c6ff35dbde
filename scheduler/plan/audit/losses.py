"""Losses: plants that move on are never more than the stage before leaves of those that came out of it."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.crops import StageKind
from scheduler.farm.units import share_down
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger


def losses(ledger: Ledger) -> Iterator[AuditFault]:
    """Report plants set on boards or rafts beyond what losses leave, lot by lot and day by day."""
    yield from _out_of_trays(ledger)
    yield from _out_of_boards(ledger)
    yield from _lot_plants(ledger)


def _out_of_trays(ledger: Ledger) -> Iterator[AuditFault]:
    leaving, grown = _leaving_trays(ledger)
    placed: dict[tuple[str, int], int] = defaultdict(int)
    for row in ledger.plan.contents:
        target = ledger.crop_of(row.lot).route[1:2]
        if ledger.item(row) in [stage.kind for stage in target] and not ledger.is_growing(row.unit):
            placed[row.lot, row.enters] += row.plants
    for planting in ledger.plan.plantings:
        if planting.planting not in ledger.planted:
            placed[planting.lot, planting.enters] += planting.plants
    for (lot, day), plants in placed.items():
        share = ledger.crop_of(lot).tray.survival
        cells, seedlings = leaving[lot, day], grown[lot, day]
        limit = share_down(cells, share) + max(seedlings - _discarded(ledger, lot, StageKind.TRAY, day), 0)
        if plants > limit:
            source = f"{cells + seedlings} {'seedlings' if seedlings else 'cells'}"
            message = f"{plants} plants set out, but {source} leave trays that day and give {limit}"
            yield ledger.fault("whole units", lot, day, message)


def _leaving_trays(ledger: Ledger) -> tuple[dict[tuple[str, int], int], dict[tuple[str, int], int]]:
    """Return (lot, day) -> cells sown by the plan that leave trays, and the same for growing seedlings."""
    cells: dict[tuple[str, int], int] = defaultdict(int)
    seedlings: dict[tuple[str, int], int] = defaultdict(int)
    for row in ledger.plan.contents:
        if ledger.item(row) == "tray":
            (seedlings if ledger.is_growing(row.unit) else cells)[row.lot, row.leaves] += row.plants
    return cells, seedlings


def _out_of_boards(ledger: Ledger) -> Iterator[AuditFault]:
    """A group is a lot's plants that were set on boards on one day and on rafts on another."""
    leaving: dict[tuple[str, int | None, int], int] = defaultdict(int)
    placed: dict[tuple[str, int | None, int], int] = defaultdict(int)
    for row in ledger.plan.contents:
        if ledger.item(row) == "board":
            leaving[row.lot, row.enters, row.leaves] += row.plants
        elif ledger.crop_of(row.lot).board is None or ledger.is_growing(row.unit):
            continue
        elif ledger.item(row) == "raft":
            placed[row.lot, row.from_day, row.enters] += row.plants
    for (lot, since, day), plants in placed.items():
        stage = ledger.crop_of(lot).board
        there = max(leaving[lot, since, day] - _discarded(ledger, lot, StageKind.BOARD, day), 0)
        limit = 0 if stage is None else share_down(there, stage.survival)
        if plants > limit:
            set_on = "a day not named" if since is None else ledger.farm.date_of(since).isoformat()
            message = f"{plants} plants set on rafts, but {there} leave boards of {set_on} and give {limit}"
            yield ledger.fault("whole units", lot, day, message)


def _discarded(ledger: Ledger, lot: str, stage: StageKind, day: int) -> int:
    """Plants thrown away out of a stage on a day, where all of the lot came into that stage on one day.

    Elsewhere the lot's number does not say which of its plants went; the growing rule then holds the sums.
    """
    came = {(entry.stage, entry.since) for entry in ledger.entries.get(lot, ())}
    if day != ledger.farm.today or len(came) != 1 or stage not in {kind for kind, _ in came}:
        return 0
    return ledger.lots[lot].discarded


def _lot_plants(ledger: Ledger) -> Iterator[AuditFault]:
    """Plants a lot is said to have are those its cells give, and no fewer than stand on its rafts."""
    on_rafts: dict[str, int] = defaultdict(int)
    for row in ledger.plan.contents:
        if ledger.item(row) == "raft":
            on_rafts[row.lot] += row.plants
    for planting in ledger.plan.plantings:
        on_rafts[planting.lot] += planting.plants
    for lot in ledger.lots.values():
        if lot.lot in ledger.entries:
            continue
        limit = share_down(lot.cells, ledger.crop_of(lot.lot).tray.survival)
        message = ""
        if lot.plants < on_rafts[lot.lot]:
            where = "on rafts" if ledger.crop_of(lot.lot).picking is None else "into beds"
            message = f"{lot.plants} plants, but {on_rafts[lot.lot]} are set {where}"
        elif lot.plants != limit:
            message = f"{lot.plants} plants, but {lot.cells} cells give {limit}"
        if message:
            yield ledger.fault("whole units", lot.lot, lot.sown, message)

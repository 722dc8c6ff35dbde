"""Lots: their codes, what is sown of them, and what becomes of those that grow on the first day."""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.orders.reach import is_overdue
from scheduler.farm.units import share_down
from scheduler.plan.decided import Decided
from scheduler.plan.rows import LotRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A growing row and how many of its plants are thrown away on the first day."""

    index: int
    row: Growing
    thrown: int


def lot_code(farm: Farm, crop: str, sown: int | None, growing: int) -> str:
    """Return a lot's code: the grower's own for what grows, else the crop's letters and the sowing date.

    Raises:
        ValueError: a lot that is neither sown on a day nor growing.
    """
    if growing >= 0:
        return farm.growing[growing].lot
    if sown is None:
        raise ValueError(f"{crop}: a new lot needs its sowing day")
    return farm.crops[crop].lot_on(farm.date_of(sown))


def lot_age(lot: LotRow) -> tuple[int, str]:
    """Return a key that puts the oldest lot first; those whose sowing day is not known come before all."""
    return (lot.sown if lot.sown is not None else -(10**9), lot.lot)


def found_lots(farm: Farm, decided: Decided) -> list[Found]:
    """Return every growing row with the plants that neither move on nor are cut."""
    kept: dict[int, int] = defaultdict(int)
    for tray in decided.tray_moves:
        if tray.growing >= 0:
            kept[tray.growing] += tray.plants
    for board in decided.board_moves:
        if board.growing >= 0 and farm.growing[board.growing].stage is StageKind.BOARD:
            kept[board.growing] += board.plants
    for raft in decided.raft_batches:
        if raft.growing >= 0 and farm.growing[raft.growing].stage is StageKind.RAFT:
            kept[raft.growing] += raft.plants - raft.thrown
    for bed in decided.bed_batches:
        if bed.growing >= 0 and farm.growing[bed.growing].stage is StageKind.BED:
            kept[bed.growing] += bed.plants
    return [
        Found(index=index, row=row, thrown=max(0, row.plants - kept[index]))
        for index, row in enumerate(farm.growing)
    ]


def lot_rows(farm: Farm, decided: Decided, found: list[Found]) -> list[LotRow]:
    """Return the lots, oldest first."""
    return sorted([*_growing_rows(farm, found), *_sown_rows(farm, decided)], key=lot_age)


def _growing_rows(farm: Farm, found: list[Found]) -> list[LotRow]:
    by_lot: dict[str, list[Found]] = defaultdict(list)
    for each in found:
        by_lot[each.row.lot].append(each)
    return [
        LotRow(
            lot=lot,
            crop=rows[0].row.crop,
            origin="growing",
            sown=min((each.row.since for each in rows if each.row.stage is StageKind.TRAY), default=None),
            cells=0,
            seeds=0,
            plants=sum(each.row.plants for each in rows),
            discarded=sum(each.thrown for each in rows),
            overdue=any(_overdue(farm, each.row) for each in rows),
        )
        for lot, rows in by_lot.items()
    ]


def _overdue(farm: Farm, row: Growing) -> bool:
    """Say whether a growing row is past its last good day; rafts that had all their cuts wait for nothing."""
    if row.stage is farm.crops[row.crop].finish.kind and row.cuts_done >= farm.crops[row.crop].cuts:
        return False
    return is_overdue(farm, row)


def _sown_rows(farm: Farm, decided: Decided) -> list[LotRow]:
    rows_sown: dict[tuple[str, int], int] = defaultdict(int)
    for move in decided.tray_moves:
        if move.growing < 0:
            rows_sown[move.crop, move.sown] += move.rows
    found = []
    for (name, sown), rows in rows_sown.items():
        crop = farm.crops[name]
        cells = rows * farm.equipment[crop.tray.unit].cells_per_row
        found.append(
            LotRow(
                lot=lot_code(farm, name, sown, -1),
                crop=name,
                origin="sown",
                sown=sown,
                cells=cells,
                seeds=cells * crop.handling.seeds_per_cell,
                plants=share_down(cells, crop.tray.survival),
                discarded=0,
                overdue=False,
            )
        )
    return found

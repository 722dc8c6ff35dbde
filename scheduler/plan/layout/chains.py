"""Every delivered head followed back: delivery, cut, raft, board, tray and sowing.

What is cut in its trays has those trays for its rafts as well: they are what it was cut from.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.plan.layout.units import Unit
from scheduler.plan.rows import ChainRow, CutRow, FillRow, LotRow, Plan

JOIN = "; "


@dataclass(frozen=True, slots=True)
class _Path:
    """The way some heads took: row, raft day, day they came onto boards (None without)."""

    lane: str
    raft_day: int
    board_day: int | None


class _Tracer:
    """Finds the trays and boards of a lot by the days it entered and left them."""

    def __init__(self, units: Iterable[Unit], lots: Mapping[str, LotRow]) -> None:
        self.lots = lots
        self.cut_from: dict[str, Unit] = {}
        self._held: dict[tuple[str, str, int, int], list[str]] = defaultdict(list)
        for unit in units:
            if any(part.cuts for part in unit.parts):
                self.cut_from[unit.name] = unit
            if unit.item == "raft":
                continue
            for lot, leaves in dict.fromkeys((part.lot, part.leaves) for part in unit.parts):
                self._held[unit.item, lot, unit.enters, leaves].append(unit.name)

    def path(self, cut: CutRow, has_boards: bool) -> _Path:
        """Return the way the plants of a cut took."""
        raft = self.cut_from[cut.unit]
        since = next(
            part.from_day for part in raft.parts if part.lot == cut.lot and (cut.number, cut.day) in part.cuts
        )
        return _Path(raft.stands[0].place, raft.enters, since if has_boards else None)

    def held(self, item: str, lot: str, enters: int | None, leaves: int) -> str:
        """Name the units that held a lot from one day to another."""
        return "" if enters is None else JOIN.join(self._held.get((item, lot, enters, leaves), ()))


def chain_rows(
    plan: Plan, fills: Iterable[FillRow], units: Iterable[Unit], with_boards: Mapping[str, bool]
) -> list[ChainRow]:
    """Return the chains of fills; ``with_boards`` says of each crop whether it goes over boards."""
    lots = {lot.lot: lot for lot in plan.lots}
    tracer = _Tracer(units, lots)
    stock: dict[tuple[str, int], deque[tuple[_Path, str, int]]] = defaultdict(deque)
    for cut in plan.cuts:
        if cut.heads > 0:
            path = tracer.path(cut, with_boards[lots[cut.lot].crop])
            stock[cut.lot, cut.day].append((path, cut.unit, cut.heads))
    beds = {row.planting: row for row in plan.plantings}
    for picking in plan.pickings:
        if picking.heads > 0:
            planting = beds[picking.planting]
            path = _Path(planting.bed, planting.enters, None)
            stock[planting.lot, picking.day].append((path, picking.planting, picking.heads))
    rows = []
    for fill in fills:
        taken = _take(stock[fill.lot, fill.cut_day], fill.heads)
        rows += [_row(tracer, fill, path, rafts) for path, rafts in taken.items()]
    return rows


def _take(stock: deque[tuple[_Path, str, int]], wanted: int) -> dict[_Path, dict[str, int]]:
    """Take heads raft by raft; return path -> raft -> heads."""
    taken: dict[_Path, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    while wanted > 0 and stock:
        path, raft, heads = stock.popleft()
        now = min(heads, wanted)
        taken[path][raft] += now
        wanted -= now
        if now < heads:
            stock.appendleft((path, raft, heads - now))
    return taken


def _row(tracer: _Tracer, fill: FillRow, path: _Path, rafts: Mapping[str, int]) -> ChainRow:
    sown = tracer.lots[fill.lot].sown
    if all(name in tracer.cut_from and tracer.cut_from[name].item == "tray" for name in rafts):
        trays = JOIN.join(rafts)
    else:
        out_of_tray = path.raft_day if path.board_day is None else path.board_day
        trays = tracer.held("tray", fill.lot, sown, out_of_tray)
    return ChainRow(
        demand=fill.demand,
        crop=fill.crop,
        lot=fill.lot,
        heads=sum(rafts.values()),
        cut_day=fill.cut_day,
        rafts=JOIN.join(rafts),
        lane=path.lane,
        raft_day=path.raft_day,
        boards=tracer.held("board", fill.lot, path.board_day, path.raft_day),
        board_day=path.board_day,
        trays=trays,
        sow_day=sown,
    )

"""From a plan on paper to decided amounts, which the layout turns into a plan's rows."""

from collections import Counter, defaultdict

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.plan.decided import BoardMove, CutAmount, Decided, Fill, RaftBatch, RaftLeave, TrayMove

from .hand import Batch, Sheet
from .ways import Way

Days = tuple[str, int, int | None, int]
"""Crop, sowing day, board day, raft day."""


def days_of(way: Way) -> Days:
    """Return what tells a way from others."""
    return way.crop, way.sown, way.board_day, way.raft_day


def _nursery(farm: Farm, sheet: Sheet) -> tuple[Counter[tuple[str, int, int]], Counter[Days]]:
    """Return rows of cells by (crop, sowing day, day they leave), and plants set on boards by their days.

    Batches that go together are counted together, so that rounding adds no more than it must.
    """
    on_rafts: Counter[Days] = Counter()
    for batch in sheet.batches:
        on_rafts[days_of(batch.way)] += batch.plants
    boards: Counter[Days] = Counter()
    seedlings: Counter[tuple[str, int, int]] = Counter()
    for (name, sown, board_day, raft_day), plants in on_rafts.items():
        board = farm.crops[name].board
        if board is None or board_day is None:
            seedlings[name, sown, raft_day] += plants
        else:
            boards[name, sown, board_day, raft_day] = ceil_div(plants * WHOLE_SHARE, board.survival)
            seedlings[name, sown, board_day] += boards[name, sown, board_day, raft_day]
    rows: Counter[tuple[str, int, int]] = Counter()
    for (name, sown, day), plants in seedlings.items():
        tray = farm.crops[name].tray
        per_row = farm.equipment[tray.unit].cells_per_row * tray.survival
        rows[name, sown, day] = ceil_div(plants * WHOLE_SHARE, per_row)
    return rows, boards


def decided_on(farm: Farm, sheet: Sheet) -> Decided:
    """Return what a sheet decides."""
    tiers = tuple(place.name for place in farm.places_of(PlaceKind.TIER))
    zones = tuple(place.name for place in farm.places_of(PlaceKind.ZONE))
    rows, boards = _nursery(farm, sheet)
    leaves: Counter[tuple[str, tuple[str, ...], int, int]] = Counter()
    for batch in sheet.batches:
        for queue, stay in batch.rafts:
            names = tuple(place.name for place in queue.lanes)
            leaves[batch.way.crop, names, stay.enters, stay.leaves] += stay.rafts
    return Decided(
        tray_moves=tuple(
            TrayMove(crop=crop, sown=sown, growing=-1, tiers=tiers, day=day, rows=cells, plants=0)
            for (crop, sown, day), cells in rows.items()
        ),
        board_moves=tuple(
            BoardMove(
                crop=crop, sown=sown, growing=-1, zones=zones, board_day=board_day, day=day, plants=plants
            )
            for (crop, sown, board_day, day), plants in boards.items()
            if board_day is not None
        ),
        raft_batches=_raft_batches(sheet),
        raft_leaves=tuple(
            RaftLeave(crop=crop, growing=-1, lanes=lanes, enters=enters, leaves=until, rafts=count)
            for (crop, lanes, enters, until), count in leaves.items()
        ),
        fills=tuple(
            Fill(crop=crop, cut_day=day, demand=demand, heads=heads, substitute=substitute)
            for (crop, day, demand, substitute), heads in sheet.fills.items()
        ),
    )


def _raft_batches(sheet: Sheet) -> tuple[RaftBatch, ...]:
    alike: dict[Days, list[Batch]] = defaultdict(list)
    for batch in sheet.batches:
        alike[days_of(batch.way)].append(batch)
    return tuple(_raft_batch(batches) for batches in alike.values())


def _raft_batch(batches: list[Batch]) -> RaftBatch:
    """Put batches of the same days together."""
    way = batches[0].way
    cuts: Counter[tuple[int, int, int | None]] = Counter()
    heads: Counter[tuple[int, int]] = Counter()
    gone: Counter[int] = Counter()
    for batch in batches:
        cuts.update(batch.cuts)
        heads.update(batch.taken)
        gone.update(gone_of(batch))
    return RaftBatch(
        crop=way.crop,
        sown=way.sown,
        growing=-1,
        from_day=way.before_raft,
        board_day=way.board_day,
        day=way.raft_day,
        plants=sum(batch.plants for batch in batches),
        cuts=tuple(
            CutAmount(number=number, day=day, after=after, plants=plants)
            for (number, day, after), plants in sorted(cuts.items(), key=lambda item: item[0][:2])
        ),
        gone=tuple(sorted(gone.items())),
        thrown=0,
        heads=tuple((number, day, count) for (number, day), count in sorted(heads.items()) if count),
    )


def gone_of(batch: Batch) -> dict[int, int]:
    """Return the plants that leave for good after each day: of a crop cut again all after the last cut."""
    last = max(number for number, _, _ in batch.cuts)
    if last > 1:
        return {max(day for _, day, _ in batch.cuts): batch.plants}
    found: Counter[int] = Counter()
    for (_, day, _), plants in batch.cuts.items():
        found[day] += plants
    return dict(found)

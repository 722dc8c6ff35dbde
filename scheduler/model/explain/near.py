"""What is near some deliveries: the batches that could serve them, and others that could make room."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.orders.goods import crops_for
from scheduler.model.answers.read_rows import PlanRows
from scheduler.model.answers.read_ways import code_of, sources_of
from scheduler.model.options.frame import Frame, Wish
from scheduler.model.options.options import BoardOut, Options, RaftSet, TrayOut
from scheduler.model.variables.decisions import entered_before

NEAR, FAR = 7, 14
"""Days before and after those that could serve a delivery: other batches of its crops, and of others."""

NEIGHBOURS = 4
"""Other crops of the same places that may be moved about too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """What is near one delivery.

    Attributes:
        crops: those that fill it.
        around: those and their neighbours.
        first, last: first and last day on which what serves it may go onto rafts or into beds, or be sown
            where it is cut in its trays; first is after last where nothing could serve it.
    """

    crops: frozenset[str]
    around: frozenset[str]
    first: int
    last: int

    def holds(self, option: RaftSet) -> bool:
        """Say whether a batch lies near."""
        return option.crop in self.around and self.first - FAR <= option.day <= self.last + FAR


def area_of(frame: Frame, options: Options, wish: Wish) -> Area:
    """Return what is near a wish."""
    crops = set(crops_for(frame.farm, wish))
    days = [
        day
        for crop, day, cuts in _batches(options)
        if crop in crops and any(frame.serves(cut, wish) for cut in cuts)
    ]
    first, last = (min(days), max(days)) if days else (frame.end, frame.start)
    around = frozenset(crops | _neighbours(frame.farm, crops))
    return Area(crops=frozenset(crops), around=around, first=first, last=last)


def _batches(options: Options) -> Iterator[tuple[str, int, Iterable[int]]]:
    """Yield crop, day as in :class:`Area`, and days of cutting or picking of every batch."""
    for option in options.raft_sets:
        yield option.crop, option.day, (step.day for step in option.cuttings)
    for out in options.tray_outs:
        yield out.crop, out.sown, out.cuts
    for planted in options.bed_sets:
        yield planted.crop, planted.day, (pick.day for pick in planted.picks)


def _neighbours(farm: Farm, crops: set[str]) -> set[str]:
    """Return crops that are finished in the same rows, beds or trays, those that stay as long first."""
    places = frozenset[str]().union(*(_places(farm.crops[name]) for name in crops))
    stay = max((farm.crops[name].finish.days for name in crops), default=0)
    others = [crop for name, crop in farm.crops.items() if name not in crops and _places(crop) & places]
    others.sort(key=lambda crop: (abs(crop.finish.days - stay), crop.name))
    return {crop.name for crop in others[:NEIGHBOURS]}


def _places(crop: Crop) -> frozenset[str]:
    """Return the rows or beds a crop is finished in; what is cut in its trays stands on any shelf."""
    if crop.is_cut_in_trays:
        return frozenset({""})
    return crop.picking.beds if crop.picking is not None else crop.lanes


def near_options(farm: Farm, rows: PlanRows, options: Options, areas: Iterable[Area]) -> Options:
    """Keep what is near, what grows, and the plan's own batches."""
    near = list(areas)
    used = {(p.lot, p.from_day or 0, p.enters, p.pool) for p in rows.rafts if p.growing < 0}
    kept = [
        option
        for option in options.raft_sets
        if option.source is None
        or any(area.holds(option) for area in near)
        or (code_of(farm, option), entered_before(option), option.day, option.pool) in used
    ]
    kept += _to_nowhere(farm, options, kept, rows)
    boards = {option.source for option in kept if isinstance(option.source, BoardOut)}
    trays = {option.source for option in kept if isinstance(option.source, TrayOut)}
    trays |= {out for out in options.tray_outs if out.cuts}
    trays |= {board.source for board in boards if board.source is not None}
    trays |= {option.source for option in options.bed_sets if option.source is not None}
    return Options(
        tray_outs=tuple(out for out in options.tray_outs if out in trays),
        board_outs=tuple(out for out in options.board_outs if out in boards),
        raft_sets=tuple(kept),
        bed_sets=options.bed_sets,
    )


def _to_nowhere(farm: Farm, options: Options, kept: Iterable[RaftSet], rows: PlanRows) -> list[RaftSet]:
    """Return a batch for each part of a lot that leaves its trays or boards and is set out no further."""
    missing = {(piece.lot, piece.enters, piece.leaves) for piece in (*rows.trays, *rows.boards)}
    for option in kept:
        missing -= set(_stays(farm, option))
    found = []
    for option in options.raft_sets:
        stays = set(_stays(farm, option))
        if missing & stays:
            missing -= stays
            found.append(option)
    return found


def _stays(farm: Farm, option: RaftSet) -> Iterator[tuple[str, int, int]]:
    """Yield lot and days of an option's stay in trays and on boards."""
    lot = code_of(farm, option)
    for source in sources_of(option):
        yield lot, source.sown if isinstance(source, TrayOut) else source.board_day, source.day

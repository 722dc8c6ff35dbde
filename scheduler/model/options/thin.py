"""Leaves out batches that differ from better ones only by days spent waiting in the nursery.

What could go onto rafts on one day could often have been sown on several days. On a large book all of them
together make the search slow and hardly any plan better, so only the quickest are looked at.
"""

from collections import defaultdict
from collections.abc import Mapping

from scheduler.farm.places import PlaceKind, Steps
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.frame import Frame
from scheduler.model.options.options import BoardOut, Options, RaftSet, TrayOut
from scheduler.model.options.pools import Pool, pools_of

Way = tuple[str, str, str, str, int]
"""Crop, pools of tiers, zones ("" without boards) and rows, and raft day."""


def thinned(options: Options, frame: Frame) -> Options:
    """Keep, for each crop, way through the pools and raft day, the ``frame.sources`` batches sown last.

    A batch for which there is surely no crew or no slot comes after all others. What grows already is kept
    whole, and so is everything when ``frame.sources`` is 0, every batch that ``frame.kept`` names, and every
    batch of a crop that ``frame.in_every_way`` does.
    """
    if not frame.sources or frame.in_every_way.issuperset(frame.farm.crops):
        return options
    hands = frame.farm.hands
    farm = frame.farm
    nursery = (pool for kind in (PlaceKind.TIER, PlaceKind.ZONE) for pool in pools_of(farm, kind))
    pools = {pool.name: pool for pool in nursery if _may_be_shut(pool)}
    groups: dict[Way, list[tuple[tuple[bool, int, int], RaftSet]]] = defaultdict(list)
    kept: set[RaftSet] = set()
    for option in options.raft_sets:
        board = option.source if isinstance(option.source, BoardOut) else None
        tray = board.source if board else option.source
        if not isinstance(tray, TrayOut) or tray.growing >= 0 or option.crop in frame.in_every_way:
            kept.add(option)
            continue
        way = (option.crop, tray.pool, board.pool if board else "", option.pool, frame.fold(option.day))
        # Of those sown on one day the one with fewer days on boards, which are the scarcer place.
        on_boards = option.day - board.board_day if board else 0
        order = (_barred(hands, pools, tray, board), option.day - tray.sown, on_boards)
        if (option.crop, tray.sown, board.board_day if board else None, option.day) in frame.kept:
            kept.add(option)
        groups[way].append((order, option))
    for group in groups.values():
        group.sort(key=lambda pair: pair[0])
        kept.update(option for _, option in group[: frame.sources])
    return _only(options, kept, _thinned_beds(options, frame, pools))


def _thinned_beds(options: Options, frame: Frame, pools: Mapping[str, Pool]) -> set[BedSet]:
    """Keep one planting day a week for each crop, pool of trays and pool of a bed, sown last for it.

    Plants that are picked for weeks give much the same whichever day of a week they are set in.
    """
    farm = frame.farm
    kept: set[BedSet] = set()
    groups: dict[tuple[str, str, str, int], list[tuple[tuple[bool, int, int], BedSet]]] = defaultdict(list)
    for option in options.bed_sets:
        tray = option.source
        if tray is None or tray.growing >= 0 or option.crop in frame.in_every_way:
            kept.add(option)
            continue
        week = farm.calendar.week_start(option.day)
        order = (_barred(farm.hands, pools, tray, None), option.day, option.day - tray.sown)
        groups[option.crop, tray.pool, option.pool, week].append((order, option))
    for group in groups.values():
        group.sort(key=lambda pair: pair[0])
        kept.update(option for _, option in group[: frame.sources])
    return kept


def _only(options: Options, kept: set[RaftSet], planted: set[BedSet]) -> Options:
    """Return the options of some raft sets and plantings, with the trays and boards they come from."""
    boards = {option.source for option in kept if isinstance(option.source, BoardOut)}
    trays = {option.source for option in kept if isinstance(option.source, TrayOut)}
    trays |= {out for out in options.tray_outs if out.cuts}
    trays |= {option.source for option in planted if option.source is not None}
    trays |= {board.source for board in boards if board.source is not None}
    return Options(
        tray_outs=tuple(out for out in options.tray_outs if out in trays),
        board_outs=tuple(out for out in options.board_outs if out in boards),
        raft_sets=tuple(option for option in options.raft_sets if option in kept),
        bed_sets=tuple(option for option in options.bed_sets if option in planted),
        whole=False,
    )


def _barred(hands: Steps | None, pools: Mapping[str, Pool], tray: TrayOut, board: BoardOut | None) -> bool:
    """Say whether nobody works on a day it is sown or moved, or its pools have no slot for all its days.

    ``pools`` are those that have no slot on some day.
    """
    if hands is not None and 0 in (hands.on(tray.sown), hands.on(tray.day)):
        return True
    shut = _shut(pools.get(tray.pool), tray.sown, tray.day)
    return shut or (board is not None and _shut(pools.get(board.pool), board.board_day, board.day))


def _may_be_shut(pool: Pool) -> bool:
    """Say whether a pool has no slot at all on some day."""
    changes = {day for place in pool.places for day in place.slots.changes()}
    return not changes or any(not pool.slots_on(day) for day in changes)


def _shut(pool: Pool | None, enters: int, leaves: int) -> bool:
    """Say whether a pool has no slot at all on some day from ``enters`` until ``leaves``."""
    if pool is None:
        return False
    changes = {day for place in pool.places for day in place.slots.changes() if enters < day < leaves}
    return any(not pool.slots_on(day) for day in (enters, *changes))

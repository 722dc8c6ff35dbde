"""Leaves out batches that differ from better ones only by days spent waiting in the nursery.

What could go onto rafts on one day could often have been sown on several days. On a large book all of them
together make the search slow and hardly any plan better, so only the quickest are looked at.
"""

from collections import defaultdict

from scheduler.model.frame import Frame
from scheduler.model.options import BoardOut, Options, RaftSet, TrayOut


def thinned(options: Options, frame: Frame) -> Options:
    """Keep, for each crop, pool of rows and raft day, the ``frame.sources`` batches sown last.

    What grows already is kept whole, and so is everything when ``frame.sources`` is 0.
    """
    if not frame.sources:
        return options
    groups: dict[tuple[str, str, int], list[RaftSet]] = defaultdict(list)
    kept: set[RaftSet] = set()
    for option in options.raft_sets:
        if _sown(option) is None:
            kept.add(option)
        else:
            groups[option.crop, option.pool, frame.fold(option.day)].append(option)
    for group in groups.values():
        group.sort(key=_waiting)
        kept.update(group[: frame.sources])
    boards = {option.source for option in kept if isinstance(option.source, BoardOut)}
    trays = {option.source for option in kept if isinstance(option.source, TrayOut)}
    trays |= {board.source for board in boards if board.source is not None}
    return Options(
        tray_outs=tuple(out for out in options.tray_outs if out in trays),
        board_outs=tuple(out for out in options.board_outs if out in boards),
        raft_sets=tuple(option for option in options.raft_sets if option in kept),
    )


def _first(option: RaftSet) -> TrayOut | None:
    source = option.source
    return source.source if isinstance(source, BoardOut) else source


def _sown(option: RaftSet) -> int | None:
    """Return the sowing day of a new batch; None for what grows already."""
    first = _first(option)
    return first.sown if first is not None and first.growing < 0 else None


def _waiting(option: RaftSet) -> tuple[int, int]:
    """Order by days from sowing to rafts, then by days on the boards, which are the scarcer place."""
    source = option.source
    on_boards = option.day - source.board_day if isinstance(source, BoardOut) else 0
    return option.day - (_sown(option) or 0), on_boards

"""Reads an answer of the solver into plain amounts."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from operator import itemgetter

from scheduler.farm.orders.mixes import heads_taken
from scheduler.farm.places import PlaceKind
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.frame import OUTLET, Parcel
from scheduler.model.options.options import BoardOut, RaftSet
from scheduler.model.options.pools import Pool, pools_of
from scheduler.model.variables.decisions import MIXED, Decisions, RaftLot, entered_before, lot_of
from scheduler.plan.decided import (
    BedBatch,
    BoardMove,
    CutAmount,
    Decided,
    Fill,
    RaftBatch,
    RaftLeave,
    Sale,
    TrayHeads,
    TrayMove,
)


def decided(chosen: Decisions, values: Sequence[int]) -> Decided:
    """Return everything an answer decides; amounts of 0 are left out."""
    return Decided(
        tray_moves=tuple(_tray_moves(chosen, values)),
        board_moves=tuple(_board_moves(chosen, values)),
        raft_batches=tuple(_raft_batches(chosen, values)),
        raft_leaves=tuple(_raft_leaves(chosen, values)),
        sales=tuple(_sales(chosen, values)),
        fills=tuple(
            _fill(chosen, crop, day, parcel, heads)
            for (crop, day), parcel, heads in _taken(chosen, values)
            if chosen.frame.wishes[parcel.wish].level != OUTLET
        ),
        tray_heads=tuple(_tray_heads(chosen, values)),
        bed_batches=tuple(_bed_batches(chosen, values)),
    )


def _sales(chosen: Decisions, values: Sequence[int]) -> Iterator[Sale]:
    if not chosen.frame.outlets:
        return
    of_stall = {stall.name: week.outlet for week in chosen.frame.outlets for stall in week.stalls}
    for (crop, day), parcel, heads in _taken(chosen, values):
        wish = chosen.frame.wishes[parcel.wish]
        if wish.level == OUTLET:
            yield Sale(
                outlet=of_stall[wish.name],
                product=wish.product,
                day=wish.first,
                crop=crop,
                cut_day=day,
                heads=heads,
            )


def _taken(chosen: Decisions, values: Sequence[int]) -> Iterator[tuple[tuple[str, int], Parcel, int]]:
    """Yield (crop, cut day), what they go into, and the heads; those that a mix does without are left out."""
    mixed: dict[int, dict[tuple[str, int], int]] = defaultdict(dict)
    for (crop, day, number), fill in chosen.fills.items():
        parcel = chosen.parcels[number]
        if values[fill.index] and chosen.farm.products[parcel.product].parts:
            mixed[number][crop, day] = values[fill.index]
        elif values[fill.index]:
            yield (crop, day), parcel, values[fill.index]
    for number, heads in mixed.items():
        parcel = chosen.parcels[number]
        units = values[chosen.units[number, MIXED].index]
        by_day = dict(sorted(heads.items(), key=lambda each: (each[0][1], each[0][0])))
        needed = heads_taken(chosen.farm.products[parcel.product], units, by_day, itemgetter(0))
        for key, amount in needed.items():
            if amount:
                yield key, parcel, amount


def _fill(chosen: Decisions, crop: str, day: int, parcel: Parcel, heads: int) -> Fill:
    name = chosen.frame.wishes[parcel.wish].name
    substitute = parcel.product if parcel.rank else ""
    return Fill(crop=crop, cut_day=day, demand=name, heads=heads, substitute=substitute)


def _tray_heads(chosen: Decisions, values: Sequence[int]) -> list[TrayHeads]:
    return [
        TrayHeads(
            crop=lot.crop,
            sown=lot.sown,
            growing=lot.growing,
            number=number,
            day=day,
            heads=values[chosen.heads[lot, number, day].index],
        )
        for lot, cuts in chosen.tray_cuts.items()
        for number, day in cuts
        if values[chosen.heads[lot, number, day].index]
    ]


def _tray_moves(chosen: Decisions, values: Sequence[int]) -> list[TrayMove]:
    tiers = {pool.name: pool for pool in pools_of(chosen.farm, PlaceKind.TIER)}
    return [
        TrayMove(
            crop=out.crop,
            sown=out.sown,
            growing=out.growing,
            tiers=tuple(place.name for place in tiers[out.pool].places),
            day=out.day,
            rows=values[rows.index] if out.growing < 0 else 0,
            plants=values[rows.index] if out.growing >= 0 else 0,
            cuts=out.numbered_cuts,
        )
        for out, rows in chosen.tray_rows.items()
        if values[rows.index]
    ]


def _board_moves(chosen: Decisions, values: Sequence[int]) -> list[BoardMove]:
    zones = {pool.name: pool for pool in pools_of(chosen.farm, PlaceKind.ZONE)}
    return [
        BoardMove(
            crop=out.crop,
            sown=out.source.sown if out.source else None,
            growing=out.growing,
            zones=tuple(place.name for place in zones[out.pool].places),
            board_day=out.board_day,
            day=out.day,
            plants=values[plants.index],
        )
        for out, plants in chosen.board_plants.items()
        if values[plants.index]
    ]


def _raft_batches(chosen: Decisions, values: Sequence[int]) -> list[RaftBatch]:
    pools = {pool.name: pool for pool in pools_of(chosen.farm, PlaceKind.LANE)}
    heads = _raft_heads(chosen, values)
    found = []
    for option, plants in chosen.raft_plants.items():
        if values[plants.index]:
            batch = _raft_batch(chosen, option, values, pools[option.pool])
            of_lot = heads.pop(chosen.raft_lots[option], [])
            found.append(replace(batch, heads=tuple(sorted(of_lot))))
    return found


def _raft_batch(chosen: Decisions, option: RaftSet, values: Sequence[int], rows: Pool) -> RaftBatch:
    source = option.source
    _, sown, growing = lot_of(option)
    board = source if isinstance(source, BoardOut) else None
    found = source is None or (board is not None and board.source is None)
    gone = {day: sum(values[v.index] for v in parts) for day, parts in chosen.leaving[option].items()}
    thrown = chosen.thrown.get(option)
    lanes = chosen.farm.crops[option.crop].lanes
    return RaftBatch(
        crop=option.crop,
        sown=None if found else sown,
        growing=growing,
        from_day=None if source is None else entered_before(option),
        board_day=None if board is None else board.board_day,
        day=option.day,
        plants=values[chosen.raft_plants[option].index],
        cuts=tuple(_cuts(chosen, option, values)),
        gone=tuple((day, plants) for day, plants in sorted(gone.items()) if plants),
        thrown=values[thrown.index] if thrown is not None else 0,
        lanes=tuple(place.name for place in rows.places if place.name in lanes),
    )


def _cuts(chosen: Decisions, option: RaftSet, values: Sequence[int]) -> Iterator[CutAmount]:
    for step in option.cuttings:
        if plants := values[chosen.cut_plants[option, step].index]:
            yield CutAmount(number=step.number, day=step.day, after=step.after, plants=plants)


def _raft_heads(chosen: Decisions, values: Sequence[int]) -> dict[RaftLot, list[tuple[int, int, int]]]:
    """Return lot on rafts -> cut number, day and heads of each cut that gives some."""
    found: dict[RaftLot, list[tuple[int, int, int]]] = defaultdict(list)
    for (lot, number, day), heads in chosen.heads.items():
        if isinstance(lot, RaftLot) and values[heads.index]:
            found[lot].append((number, day, values[heads.index]))
    return found


def _raft_leaves(chosen: Decisions, values: Sequence[int]) -> list[RaftLeave]:
    lanes = {bundle.name: tuple(place.name for place in bundle.places) for bundle in chosen.bundles}
    return [
        RaftLeave(
            crop=queue.raft_class.crop,
            growing=queue.raft_class.growing,
            lanes=lanes[queue.bundle],
            enters=queue.enters,
            leaves=day,
            rafts=values[rafts.index],
        )
        for queue, days in chosen.queues.items()
        for day, rafts in days.items()
        if values[rafts.index]
    ]


def _bed_batches(chosen: Decisions, values: Sequence[int]) -> list[BedBatch]:
    pools = {pool.name: pool for pool in chosen.bed_pools}
    spans = {
        name: tuple((part.bed.name, part.first, part.last) for part in pool.sections)
        for name, pool in pools.items()
    }
    found = []
    for option, plants in chosen.bed_plants.items():
        if values[plants.index]:
            _, sown, _ = lot_of(option)
            batch = _bed_batch(chosen, option, values, values[plants.index])
            found.append(replace(batch, sown=sown, from_day=sown, positions=spans[option.pool]))
    for option, kept in chosen.bed_kept.items():
        if values[kept.index]:
            row = chosen.farm.growing[option.growing]
            batch = _bed_batch(chosen, option, values, row.plants)
            found.append(replace(batch, positions=((row.place, row.order, row.order + row.units - 1),)))
    return found


def _bed_batch(chosen: Decisions, option: BedSet, values: Sequence[int], plants: int) -> BedBatch:
    taken = {pick.number: chosen.heads.get((option, pick.number, pick.day)) for pick in option.picks}
    return BedBatch(
        crop=option.crop,
        sown=None,
        growing=option.growing,
        from_day=None,
        day=option.day,
        leaves=option.leaves,
        plants=plants,
        heads=tuple(
            (pick.number, pick.day, 0 if heads is None else values[heads.index])
            for pick in option.picks
            if pick.day < chosen.farm.calendar.span
            for heads in (taken[pick.number],)
        ),
        positions=(),
    )

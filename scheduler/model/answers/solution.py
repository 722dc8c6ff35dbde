"""Reads an answer of the solver into plain amounts."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from scheduler.farm.orders.mixes import units_made
from scheduler.farm.places import PlaceKind
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.frame import OUTLET, Parcel
from scheduler.model.options.options import BoardOut, RaftSet
from scheduler.model.options.pools import Pool, pools_of
from scheduler.model.variables.decisions import Decisions, entered_before, lot_of
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
            _fill(chosen, crop, day, chosen.parcels[number], values[heads.index])
            for (crop, day, number), heads in chosen.fills.items()
            if values[heads.index] and chosen.frame.wishes[chosen.parcels[number].wish].level != OUTLET
        ),
        tray_heads=tuple(_tray_heads(chosen, values)),
        bed_batches=tuple(_bed_batches(chosen, values)),
    )


def _sales(chosen: Decisions, values: Sequence[int]) -> Iterator[Sale]:
    if not chosen.frame.outlets:
        return
    of_stall = {stall.name: week.outlet for week in chosen.frame.outlets for stall in week.stalls}
    heads: dict[int, dict[tuple[str, int], int]] = defaultdict(dict)
    for (crop, day, number), fill in chosen.fills.items():
        if chosen.frame.wishes[chosen.parcels[number].wish].level == OUTLET and values[fill.index]:
            heads[number][crop, day] = values[fill.index]
    units: dict[int, int] = defaultdict(int)
    for (number, _), some in chosen.units.items():
        units[number] += values[some.index]
    for number, of_stall_day in heads.items():
        wish = chosen.frame.wishes[chosen.parcels[number].wish]
        for (crop, day), amount in _needed(chosen, wish.product, units[number], of_stall_day).items():
            yield Sale(
                outlet=of_stall[wish.name],
                product=wish.product,
                day=wish.first,
                crop=crop,
                cut_day=day,
                heads=amount,
            )


def _needed(
    chosen: Decisions, product: str, units: int, heads: dict[tuple[str, int], int]
) -> dict[tuple[str, int], int]:
    """Return the heads without those that the units do without."""
    kept, made_of = dict(heads), chosen.farm.products[product]
    for key in sorted(heads, key=lambda each: (-each[1], each[0])):
        while kept[key]:
            total: dict[str, int] = defaultdict(int)
            for (crop, _), number in kept.items():
                total[crop] += number
            total[key[0]] -= 1
            if units_made(made_of, total) < units:
                break
            kept[key] -= 1
    return {key: number for key, number in kept.items() if number}


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
    return [
        _raft_batch(chosen, option, values, pools[option.pool])
        for option, plants in chosen.raft_plants.items()
        if values[plants.index]
    ]


def _raft_batch(chosen: Decisions, option: RaftSet, values: Sequence[int], rows: Pool) -> RaftBatch:
    source = option.source
    _, sown, growing = lot_of(option)
    boards_known = isinstance(source, BoardOut)
    grew_on_boards = boards_known and isinstance(source, BoardOut) and source.source is None
    cuts = tuple(
        CutAmount(
            number=step.number,
            day=step.day,
            after=step.after,
            plants=values[chosen.cut_plants[option, step].index],
        )
        for step in option.cuttings
        if values[chosen.cut_plants[option, step].index]
    )
    gone = {day: sum(values[v.index] for v in parts) for day, parts in chosen.leaving[option].items()}
    thrown = chosen.thrown.get(option)
    return RaftBatch(
        crop=option.crop,
        sown=None if source is None or grew_on_boards else sown,
        growing=growing,
        from_day=None if source is None else entered_before(option),
        board_day=source.board_day if isinstance(source, BoardOut) else None,
        day=option.day,
        plants=values[chosen.raft_plants[option].index],
        cuts=cuts,
        gone=tuple((day, plants) for day, plants in sorted(gone.items()) if plants),
        thrown=values[thrown.index] if thrown is not None else 0,
        heads=tuple(
            (number, day, values[chosen.heads[option, number, day].index])
            for number, day in sorted({(step.number, step.day) for step in option.cuttings})
            if values[chosen.heads[option, number, day].index]
        ),
        lanes=tuple(
            place.name for place in rows.places if place.name in chosen.farm.crops[option.crop].lanes
        ),
    )


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

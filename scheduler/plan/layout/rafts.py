"""Rafts: plants that leave last packed together, and each raft given the rows and the day decided for it."""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.shared import batch_of, is_carrier, mates
from scheduler.plan.decided import Decided, RaftBatch, RaftLeave
from scheduler.plan.layout.flows import portions
from scheduler.plan.layout.growth import can_be_cut
from scheduler.plan.layout.lots import Found, lot_code
from scheduler.plan.layout.units import Part, Unit, longest_first, pack, pack_found


@dataclass(frozen=True, slots=True)
class _Family:
    """Rafts that may take each other's leaves: those of a crop, or with sharing of crops spaced alike.

    ``pace`` is a shelf or trough that grows as all their rows do; empty where it does not matter.
    """

    what: tuple[object, ...]
    enters: int
    pace: str = ""


def raft_units(farm: Farm, decided: Decided, found: list[Found]) -> list[Unit]:
    """Return every raft with its rows and the day planned for it to leave; what grows comes first."""
    units = _found_units(farm, decided, found)
    leaves: dict[_Family, dict[str, list[RaftLeave]]] = defaultdict(lambda: defaultdict(list))
    for leave in decided.raft_leaves:
        if leave.growing < 0 and leave.rafts > 0:
            family = _family(farm, farm.crops[leave.crop], leave.enters)
            leaves[family][_pace_of(farm, leave.lanes[0])].append(leave)
    for family, batches in _batches(farm, decided, leaves).items():
        rafts = _pack_family(farm, batches)
        _match(rafts, leaves[_Family(family.what, family.enters)][family.pace])
        units += rafts
    for unit in units:
        _fill_in(farm, unit)
    return units


def _found_units(farm: Farm, decided: Decided, found: list[Found]) -> list[Unit]:
    batch_of = {batch.growing: batch for batch in decided.raft_batches if _afloat(farm, batch)}
    units = []
    for each in found:
        row = each.row
        if row.stage is not StageKind.RAFT or not is_carrier(farm, each.index):
            continue
        parts: list[Part] = []
        for index in mates(farm, each.index):
            other = farm.growing[index]
            thrown = [Part(lot=other.lot, crop=other.crop, amount=other.plants, leaves=farm.today)]
            parts += _parts(farm, batch_of[index]) if index in batch_of else thrown
        rafts = [
            Unit(
                item="raft",
                kind=farm.crops[row.crop].finish.unit,
                enters=row.since,
                parts=held,
                places=(row.place,),
                home=(row.place,),
                growing=each.index,
            )
            for held in pack_found(longest_first(parts), row.units)
        ]
        units += sorted(rafts, key=lambda raft: raft.emptied)
    return units


def _afloat(farm: Farm, batch: RaftBatch) -> bool:
    return batch.growing >= 0 and farm.growing[batch.growing].stage is StageKind.RAFT


def _parts(farm: Farm, batch: RaftBatch) -> list[Part]:
    lot = lot_code(farm, batch.crop, batch.sown, batch.growing)
    return [
        Part(
            lot=lot, crop=batch.crop, amount=plants, leaves=day, from_day=_before_raft(farm, batch), cuts=cuts
        )
        for plants, cuts, day in portions(batch)
    ]


def heads_promised(farm: Farm, decided: Decided) -> list[tuple[tuple[str, int | None, int, int], int, int]]:
    """Return (lot, day it entered the stage before, raft day, cut number), cut day and heads counted on.

    Of what is cut in its trays both days are the day it was sown.
    """
    in_trays = [
        (
            (lot_code(farm, each.crop, each.sown, each.growing), each.sown, each.sown, each.number),
            each.day,
            each.heads,
        )
        for each in decided.tray_heads
    ]
    return in_trays + [
        (
            (
                lot_code(farm, batch.crop, batch.sown, batch.growing),
                _before_raft(farm, batch),
                batch.day,
                number,
            ),
            day,
            heads,
        )
        for batch in decided.raft_batches
        for number, day, heads in batch.heads
    ]


def _before_raft(farm: Farm, batch: RaftBatch) -> int | None:
    if _afloat(farm, batch):
        return None
    if batch.from_day is not None:
        return batch.from_day
    return farm.growing[batch.growing].since if batch.growing >= 0 else batch.board_day


def _family(farm: Farm, crop: Crop, enters: int) -> _Family:
    if not farm.rules.share_rafts:
        return _Family((crop.name,), enters)
    return _Family((crop.finish.unit, crop.finish.plants_per_unit, tuple(sorted(crop.lanes))), enters)


def _pace_of(farm: Farm, row: str) -> str:
    """Name the first trough of the farm that grows as a row does."""
    wanted = farm.pace.signature(farm.place(row).belongs_to)
    return next(
        lane.belongs_to
        for lane in farm.places_of(PlaceKind.LANE)
        if farm.pace.signature(lane.belongs_to) == wanted
    )


def _batches(
    farm: Farm, decided: Decided, leaves: dict[_Family, dict[str, list[RaftLeave]]]
) -> dict[_Family, list[RaftBatch]]:
    """Sort the new batches into families; where rows of unlike pace are taken, by the pace of their rows.

    A batch that names no rows goes by the pace of its cuts.
    """
    families: dict[_Family, list[RaftBatch]] = defaultdict(list)
    for batch in decided.raft_batches:
        if _afloat(farm, batch):
            continue
        crop = farm.crops[batch.crop]
        family = _family(farm, crop, batch.day)
        paces = leaves[family]
        fitting = [pace for pace in paces if can_be_cut(farm, crop, batch, pace)] or list(paces) or [""]
        if batch.lanes and (meant := _pace_of(farm, batch.lanes[0])) in paces:
            fitting = [meant]
        # The one with the most room left for its rafts, so that batches that fit several are spread.
        taken = {
            pace: sum(b.plants for b in families.get(_Family(family.what, batch.day, pace), ()))
            for pace in fitting
        }
        room = {
            pace: sum(leave.rafts for leave in paces.get(pace, ())) * crop.finish.plants_per_unit
            - taken[pace]
            for pace in fitting
        }
        best = max(fitting, key=lambda pace: room[pace])
        families[_Family(family.what, batch.day, best)].append(batch)
    return families


def _pack_family(farm: Farm, batches: list[RaftBatch]) -> list[Unit]:
    groups: dict[tuple[str, int, int | None], list[Part]] = defaultdict(list)
    for batch in batches:
        parts = _parts(farm, batch)
        first = batch_of(farm, batch.growing) if batch.growing >= 0 else -1
        owner = (parts[0].lot if first < 0 else "", first, parts[0].from_day) if parts else ("", -1, None)
        groups[("", -1, None) if farm.rules.share_rafts else owner] += parts
    stage = farm.crops[batches[0].crop].finish
    return [
        Unit(item="raft", kind=stage.unit, enters=batches[0].day, parts=held)
        for parts in groups.values()
        for held in pack(longest_first(parts), stage.plants_per_unit)
    ]


def _match(rafts: list[Unit], leaves: list[RaftLeave]) -> None:
    """Give the raft emptied last the last leave, and so on; leaves that are left over are the earliest."""
    latest = sorted(leaves, key=lambda leave: (-leave.leaves, leave.lanes))
    places = [(leave.lanes, leave.leaves) for leave in latest for _ in range(leave.rafts)]
    rafts.sort(key=lambda raft: (-raft.emptied, raft.crop, raft.lot))
    for raft, (lanes, day) in zip(rafts, places, strict=False):
        raft.places, raft.planned = lanes, day


def _fill_in(farm: Farm, raft: Unit) -> None:
    """Let a raft nothing was decided for stand wherever its crops may."""
    if not raft.places:
        crops = [farm.crops[part.crop] for part in raft.parts]
        lanes = [lane.name for lane in farm.places_of(PlaceKind.LANE)]
        raft.places = tuple(lane for lane in lanes if all(lane in crop.lanes for crop in crops))
    raft.home = raft.places
    raft.planned = max(raft.planned, raft.emptied)

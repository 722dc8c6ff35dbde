"""The plan as plants on their way: from trays over boards to where they are cut, read from its rows.

A batch is what of one lot stands in one stage before the last and moves on one day. A patch is what of one
lot stands in the unit it is cut from: a raft, or whatever a crop is finished in. A picking is what one cut of
a patch gives. Rows alone say which is which, so a plan of any kind of place can be followed.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.units import WHOLE_SHARE
from scheduler.plan.rows import ContentRow, CutRow, LotRow, Plan, UnitRow
from scheduler.plan.tally import first_positions, growing_units, names_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Plants of one lot in one stage before the last, from the day they are set to the day they move on.

    Attributes:
        lot, crop: lot code and crop name.
        stage: its number in the crop's route.
        enters, leaves: days.
        owners: shelves or troughs it stands in.
        plants: plants set by the plan (trays: cells sown; growing trays: good seedlings).
        room: holes that its units have beside those the plan fills; 0 where plants do not come from a stage
            before.
        share: chance of each plant to be there when the batch moves on, parts of ten thousand.
        found: whether it stood on the farm on day 0.
    """

    lot: str
    crop: str
    stage: int
    enters: int
    leaves: int
    owners: tuple[str, ...]
    plants: int
    room: int
    share: int
    found: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """Plants of one lot in the unit they are cut from.

    Attributes:
        unit: name of the unit.
        place, owner: where it stands, and the shelf or trough that is part of.
        first_cut: day of the plan's first cut, or its last day where it is not cut.
        last_cut: day its last plants leave.
        batch: what there is to say of plants anywhere; ``leaves`` is the day its slot is free again.
    """

    unit: str
    place: str
    owner: str
    first_cut: int
    last_cut: int
    batch: Batch


@dataclass(frozen=True, slots=True, kw_only=True)
class Picking:
    """Heads that one cut of a patch may give.

    Attributes:
        patch: number of the patch.
        number: which cut of these plants it is.
        plants: plants of it; the patch's plants beyond all pickings of that cut go into the first.
        heads: heads the plan counts on.
        before: plants of the patch in pickings of the same cut before this one.
        day: last day the plan cuts it.
        after: number of the picking its plants were cut in before; None at the first cut known.
    """

    patch: int
    number: int
    plants: int
    heads: int
    before: int
    day: int
    after: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Plants that leave one stage and go into the next on one day.

    Attributes:
        givers: numbers of batches.
        takers: numbers of batches, or of patches where ``into_patches``, those cut first before others.
        spare: whether plants beyond the plan's may be set into holes that are left.
    """

    givers: tuple[int, ...]
    takers: tuple[int, ...]
    into_patches: bool
    spare: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Journey:
    """A plan as plants on their way.

    Attributes:
        farm: the farm.
        plan: the plan.
        batches, patches, pickings: see there; whatever is named by a number is named by its place in these.
        moves: by stage, so that those who give have got before.
        promised: (demand, product, picking) -> heads the plan has from that picking for that product.
    """

    farm: Farm
    plan: Plan
    batches: tuple[Batch, ...]
    patches: tuple[Patch, ...]
    pickings: tuple[Picking, ...]
    moves: tuple[Move, ...]
    promised: Mapping[tuple[str, str, int], int] = field(default_factory=dict)

    def crop_of(self, picking: int) -> Crop:
        """Return the crop of a picking."""
        return self.farm.crops[self.patches[self.pickings[picking].patch].batch.crop]


def journey_of(farm: Farm, plan: Plan, only: Collection[str] | None = None) -> Journey:
    """Return the journey of a sound plan; with ``only`` that of some crops alone."""
    if only is not None:
        plan = _of_crops(plan, only)
    reader = _Reader(farm, plan)
    batches, patches = reader.batches(), reader.patches()
    pickings = _pickings(farm, plan, patches)
    return Journey(
        farm=farm,
        plan=plan,
        batches=tuple(batches),
        patches=tuple(patches),
        pickings=tuple(pickings),
        moves=tuple(_moves(batches, patches, {lot.lot for lot in plan.lots if lot.discarded})),
        promised=_promised(farm, plan, patches, pickings),
    )


def _of_crops(plan: Plan, crops: Collection[str]) -> Plan:
    """Return the rows of some crops; units that hold others as well stay, with what of these is in them."""
    lots = {lot.lot for lot in plan.lots if lot.crop in crops}
    contents = tuple(row for row in plan.contents if row.lot in lots)
    units = {row.unit for row in contents}
    return replace(
        plan,
        lots=tuple(lot for lot in plan.lots if lot.lot in lots),
        contents=contents,
        units=tuple(unit for unit in plan.units if unit.unit in units),
        positions=tuple(row for row in plan.positions if row.unit in units),
        cuts=tuple(row for row in plan.cuts if row.lot in lots),
        fills=tuple(row for row in plan.fills if row.lot in lots),
    )


class _Reader:
    """Rows of a plan sorted into batches and patches."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        self.farm, self.plan = farm, plan
        self.lots: dict[str, LotRow] = {lot.lot: lot for lot in plan.lots}
        self.units: dict[str, UnitRow] = {unit.unit: unit for unit in plan.units}
        self.found = growing_units(farm, plan)
        self.first = first_positions(plan.positions)
        held: dict[str, int] = defaultdict(int)
        for row in plan.contents:
            held[row.unit] += row.plants
        self.held: dict[str, int] = held

    def stage_of(self, row: ContentRow) -> int:
        """Return the number of the stage of contents in the route of their crop."""
        kinds = [str(stage.kind) for stage in self.crop_of(row).route]
        return kinds.index(self.units[row.unit].item)

    def crop_of(self, row: ContentRow) -> Crop:
        """Return the crop of contents."""
        return self.farm.crops[self.lots[row.lot].crop]

    def is_last(self, row: ContentRow) -> bool:
        """Say whether contents stand where they are cut."""
        return self.stage_of(row) == len(self.crop_of(row).route) - 1

    def batches(self) -> list[Batch]:
        """Return everything in stages before the last, in the order of the days."""
        rows: dict[tuple[str, int, int, int], list[ContentRow]] = defaultdict(list)
        for row in self.plan.contents:
            if not self.is_last(row):
                rows[row.lot, self.stage_of(row), row.enters, row.leaves].append(row)
        made = [self._batch(group) for group in rows.values()]
        return sorted(made, key=lambda each: (each.stage, each.leaves, each.lot, each.enters))

    def patches(self) -> list[Patch]:
        """Return everything that stands where it is cut, what is cut first before the rest."""
        rows: dict[tuple[str, str], list[ContentRow]] = defaultdict(list)
        for row in self.plan.contents:
            if self.is_last(row):
                rows[row.unit, row.lot].append(row)
        cuts: dict[tuple[str, str], list[int]] = defaultdict(list)
        for cut in self.plan.cuts:
            cuts[cut.unit, cut.lot].append(cut.day)
        made = [self._patch(group, cuts[key]) for key, group in rows.items()]
        return sorted(made, key=lambda each: (each.first_cut, each.last_cut, each.unit, each.batch.lot))

    def _patch(self, rows: list[ContentRow], cuts: list[int]) -> Patch:
        batch, unit = self._batch(rows), self.units[rows[0].unit]
        position = self.first.get(unit.unit)
        place = position.place if position else ""
        last = max(row.leaves for row in rows)
        return Patch(
            unit=unit.unit,
            place=place,
            owner=batch.owners[0] if batch.owners else "",
            first_cut=min(cuts, default=last),
            last_cut=max(last, *cuts) if cuts else last,
            batch=batch,
        )

    def _batch(self, rows: list[ContentRow]) -> Batch:
        row, stage = rows[0], self.stage_of(rows[0])
        crop = self.crop_of(row)
        kind = crop.route[stage]
        found = row.unit in self.found
        mine: dict[str, int] = defaultdict(int)
        for each in rows:
            mine[each.unit] += each.plants
        room = 0
        if stage and not found:
            # holes of a unit that others stand in as well are left to nobody
            room = sum(
                max(0, kind.plants_per_unit - held) for unit, held in mine.items() if held == self.held[unit]
            )
        share = kind.survival
        if stage == 0:
            # a growing tray's plants are the good seedlings that are expected
            share = WHOLE_SHARE if found else crop.seed_share
        last = stage == len(crop.route) - 1
        return Batch(
            lot=row.lot,
            crop=crop.name,
            stage=stage,
            enters=row.enters,
            leaves=self.units[row.unit].leaves if last else row.leaves,
            owners=tuple(dict.fromkeys(self._owner(unit) for unit in sorted(mine))),
            plants=sum(each.plants for each in rows),
            room=room,
            share=share,
            found=found,
        )

    def _owner(self, unit: str) -> str:
        position, entry = self.first.get(unit), self.found.get(unit)
        place = position.place if position else (entry.place if entry else "")
        return names_of(self.farm, place)[1]


def _moves(batches: list[Batch], patches: list[Patch], discarded: set[str]) -> list[Move]:
    """Return who gives plants to whom: what leaves a stage on a day goes into the next on that day.

    Lots of which plants were thrown away give no more than the plan moves on.
    """
    givers: dict[tuple[str, int, int], list[int]] = defaultdict(list)
    for at, batch in enumerate(batches):
        givers[batch.lot, batch.stage, batch.leaves].append(at)
    takers: dict[tuple[str, int, int, bool], list[int]] = defaultdict(list)
    for at, batch in enumerate(batches):
        if batch.stage and not batch.found:
            takers[batch.lot, batch.stage, batch.enters, False].append(at)
    for at, patch in enumerate(patches):
        if patch.batch.stage and not patch.batch.found:
            takers[patch.batch.lot, patch.batch.stage, patch.batch.enters, True].append(at)
    made = []
    for (lot, stage, day, into_patches), numbers in sorted(takers.items(), key=lambda each: each[0][1]):
        if not into_patches:
            numbers.sort(key=lambda at: (batches[at].leaves, at))
        made.append(
            Move(
                givers=tuple(givers[lot, stage - 1, day]),
                takers=tuple(numbers),
                into_patches=into_patches,
                spare=lot not in discarded,
            )
        )
    return made


def _pickings(farm: Farm, plan: Plan, patches: list[Patch]) -> list[Picking]:
    by_patch: dict[tuple[str, str], list[CutRow]] = defaultdict(list)
    for cut in sorted(plan.cuts, key=lambda row: (row.number, row.day)):
        by_patch[cut.unit, cut.lot].append(cut)
    pickings: list[Picking] = []
    for at, patch in enumerate(patches):
        cuts = by_patch[patch.unit, patch.batch.lot]
        if farm.crops[patch.batch.crop].cuts == 1:
            if cuts or not patch.batch.found:
                pickings.append(
                    Picking(
                        patch=at,
                        number=1,
                        plants=patch.batch.plants,
                        heads=sum(cut.heads for cut in cuts),
                        before=0,
                        day=patch.last_cut,
                        after=None,
                    )
                )
        else:
            _add_again(pickings, at, cuts)
    return pickings


def _add_again(pickings: list[Picking], patch: int, cuts: list[CutRow]) -> None:
    """Add the pickings of a patch that is cut again and again: a picking for each cut and day.

    Plants cut first are cut again first, so a picking's plants were cut before in the picking in which as
    many stood before them.
    """
    last: dict[int, list[int]] = defaultdict(list)
    for cut in cuts:
        same = last[cut.number]
        before = sum(pickings[at].plants for at in same)
        after = next(
            (at for at in last[cut.number - 1] if before < pickings[at].before + pickings[at].plants),
            last[cut.number - 1][-1] if last[cut.number - 1] else None,
        )
        same.append(len(pickings))
        pickings.append(
            Picking(
                patch=patch,
                number=cut.number,
                plants=cut.plants,
                heads=cut.heads,
                before=before,
                day=cut.day,
                after=after,
            )
        )


def _promised(
    farm: Farm, plan: Plan, patches: list[Patch], pickings: list[Picking]
) -> dict[tuple[str, str, int], int]:
    """Return (demand, product, picking) -> heads: what a lot gives on a day, over the cuts of that day."""
    at_patch = {(patch.unit, patch.batch.lot): at for at, patch in enumerate(patches)}
    at_picking = {(picking.patch, picking.number, picking.day): at for at, picking in enumerate(pickings)}
    once = {picking.patch: at for at, picking in enumerate(pickings) if picking.after is None}
    left: dict[tuple[str, int], list[list[int]]] = defaultdict(list)
    for cut in sorted(plan.cuts, key=lambda row: (row.day, row.unit, row.number)):
        patch = at_patch[cut.unit, cut.lot]
        picking = at_picking.get((patch, cut.number, cut.day), once.get(patch, -1))
        if picking >= 0:
            left[cut.lot, cut.day].append([picking, cut.heads])
    product_of = {demand.name: demand.product for demand in farm.demands}
    found: dict[tuple[str, str, int], int] = defaultdict(int)
    for fill in plan.fills:
        wanted = fill.heads
        product = fill.substitute or product_of[fill.demand]
        for each in left[fill.lot, fill.cut_day]:
            taken = min(wanted, each[1])
            if taken:
                found[fill.demand, product, each[0]] += taken
                each[1] -= taken
                wanted -= taken
    return dict(found)

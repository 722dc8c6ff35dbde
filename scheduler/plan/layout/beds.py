"""Plantings in beds: which positions they take, and what each picking of them gives."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.growth.picking import Pick, picks_of
from scheduler.plan.bed_rows import PickingRow, PlantingRow
from scheduler.plan.decided import BedBatch, Decided
from scheduler.plan.layout.lots import Found, lot_code
from scheduler.plan.positions import positions_text


@dataclass(slots=True, kw_only=True, eq=False)
class Planting:
    """Plants of one lot in one bed.

    Attributes:
        lot, crop, bed: what, and where.
        positions: numbers of the positions they take.
        plants, from_day, enters, leaves, free: as in the rows of a plan.
        growing: index of the growing row it belongs to, or -1.
        name: its name, given last.
    """

    lot: str
    crop: str
    bed: str
    positions: tuple[int, ...]
    plants: int
    from_day: int | None
    enters: int
    leaves: int
    free: int
    growing: int = -1
    batch: int = -1
    name: str = field(default="")


def bed_plantings(farm: Farm, decided: Decided, found: list[Found]) -> list[Planting]:
    """Return every planting with its positions, those that grow already first, and named."""
    clean = {place.name: place.clean_days for place in farm.places}
    plantings = _growing(farm, decided, found, clean)
    taken: dict[tuple[str, int], int] = {}
    for planting in plantings:
        taken.update({(planting.bed, position): planting.free for position in planting.positions})
    batches = [batch for batch in enumerate(decided.bed_batches) if not _stood(farm, batch[1])]
    for number, batch in sorted(batches, key=lambda each: (each[1].day, each[0])):
        lot = lot_code(farm, batch.crop, batch.sown, batch.growing)
        for bed, positions in _placed(batch, taken):
            free = batch.leaves + clean[bed]
            taken.update({(bed, position): free for position in positions})
            plantings.append(
                Planting(
                    lot=lot,
                    crop=batch.crop,
                    bed=bed,
                    positions=positions,
                    plants=len(positions),
                    from_day=batch.from_day,
                    enters=batch.day,
                    leaves=batch.leaves,
                    free=free,
                    batch=number,
                )
            )
    return _named(farm, plantings)


def _stood(farm: Farm, batch: BedBatch) -> bool:
    return batch.growing >= 0 and farm.growing[batch.growing].stage is StageKind.BED


def _growing(farm: Farm, decided: Decided, found: list[Found], clean: dict[str, int]) -> list[Planting]:
    """Return what stands in beds on the first day; what is thrown away is pulled out today."""
    kept = {
        batch.growing: (number, batch)
        for number, batch in enumerate(decided.bed_batches)
        if _stood(farm, batch)
    }
    plantings = []
    for each in found:
        row = each.row
        if row.stage is not StageKind.BED:
            continue
        number, leaves = -1, farm.today
        if each.index in kept:
            number, leaves = kept[each.index][0], kept[each.index][1].leaves
        plantings.append(
            Planting(
                lot=row.lot,
                crop=row.crop,
                bed=row.place,
                positions=tuple(range(row.order, row.order + row.units)),
                plants=row.plants,
                from_day=None,
                enters=row.since,
                leaves=leaves,
                free=leaves + clean[row.place],
                growing=each.index,
                batch=number,
            )
        )
    return plantings


def _placed(batch: BedBatch, taken: dict[tuple[str, int], int]) -> list[tuple[str, tuple[int, ...]]]:
    """Return the positions of a batch by bed: side by side where there is such a run, in as few as can be.

    Raises:
        ValueError: there are not positions enough; amounts that keep every rule never come to that.
    """
    left, found = batch.plants, dict[str, list[int]]()
    runs = _free_runs(batch, taken)
    while left > 0:
        if not runs:
            raise ValueError(f"no position is free for {left} plants of {batch.crop}")
        fitting = [run for run in runs if len(run[1]) >= left]
        run = min(fitting, key=_size) if fitting else max(runs, key=_size)
        runs.remove(run)
        found.setdefault(run[0], []).extend(run[1][:left])
        left -= min(left, len(run[1]))
    return [(bed, tuple(sorted(positions))) for bed, positions in found.items()]


def _size(run: tuple[str, list[int]]) -> int:
    return len(run[1])


def _free_runs(batch: BedBatch, taken: dict[tuple[str, int], int]) -> list[tuple[str, list[int]]]:
    runs: list[tuple[str, list[int]]] = []
    for bed, first, last in batch.positions:
        run: list[int] = []
        for position in range(first, last + 1):
            if taken.get((bed, position), batch.day) <= batch.day:
                run.append(position)
            elif run:
                runs.append((bed, run))
                run = []
        if run:
            runs.append((bed, run))
    return runs


def _named(farm: Farm, plantings: list[Planting]) -> list[Planting]:
    """Name plantings after the day they were set in, in the order they stand: ``P260511-01``."""
    order = {place.name: at for at, place in enumerate(farm.places)}
    ranked = sorted(plantings, key=lambda each: (each.enters, order[each.bed], each.positions[0]))
    numbers: Counter[str] = Counter()
    for planting in ranked:
        stem = f"P{farm.date_of(planting.enters):%y%m%d}"
        numbers[stem] += 1
        planting.name = f"{stem}-{numbers[stem]:02d}"
    return ranked


def planting_rows(plantings: Iterable[Planting]) -> list[PlantingRow]:
    """Return plantings as rows of the plan."""
    return [
        PlantingRow(
            planting=each.name,
            lot=each.lot,
            bed=each.bed,
            positions=positions_text(each.positions),
            plants=each.plants,
            from_day=each.from_day,
            enters=each.enters,
            leaves=each.leaves,
            free=each.free,
        )
        for each in plantings
    ]


def picking_rows(farm: Farm, plantings: Iterable[Planting], decided: Decided) -> list[PickingRow]:
    """Return every picking of every planting up to the last day that is planned, by day and planting.

    Heads are rounded down over all plants of a batch, however many beds they stand in.
    """
    by_batch: dict[int, list[Planting]] = defaultdict(list)
    for planting in plantings:
        if planting.batch >= 0:
            by_batch[planting.batch].append(planting)
    rows = []
    for number, together in by_batch.items():
        batch = decided.bed_batches[number]
        for (pick, day), heads in _heads(farm, batch, together[0].bed).items():
            rows += _spread(together, (pick, day), heads)
    return sorted(rows, key=lambda row: (row.day, row.planting))


def _heads(farm: Farm, batch: BedBatch, bed: str) -> dict[tuple[int, int], int]:
    """Return (number, day) -> heads of each picking: all that may be sold, later where they are wanted."""
    crop = farm.crops[batch.crop]
    if crop.picking is None:
        raise ValueError(f"{crop.name} does not end in a bed")
    of_day = {pick.day: pick for pick in picks_of(crop.picking, farm.pace, bed, batch.day, crop.finish.days)}
    weeks: dict[int, list[tuple[Pick, int, int]]] = defaultdict(list)
    for number, day, wanted in batch.heads:
        weeks[of_day[day].week].append((of_day[day], number, wanted))
    found: dict[tuple[int, int], int] = {}
    for picks in weeks.values():
        found.update(_week(crop, batch.plants, picks))
    return found


def _week(crop: Crop, plants: int, picks: list[tuple[Pick, int, int]]) -> dict[tuple[int, int], int]:
    """Share out one picking week: up to each picking no more than its part, enough for what is wanted."""
    curve = crop.picking.curve if crop.picking else ()
    gone = picks[0][0].part - 1
    limits = [pick.most(plants, curve, crop.heads_share, gone) for pick, _, _ in picks]
    up_to = [limits[-1]]
    for limit, (_, _, wanted) in zip(reversed(limits[:-1]), reversed(picks[1:]), strict=True):
        up_to.insert(0, min(limit, up_to[0] - wanted))
    return {
        (number, pick.day): after - before
        for (pick, number, _), before, after in zip(picks, [0, *up_to[:-1]], up_to, strict=True)
    }


def _spread(together: list[Planting], what: tuple[int, int], heads: int) -> list[PickingRow]:
    """Share the heads of one picking out over the beds in proportion to their plants, in whole heads."""
    total, before, rows = sum(each.plants for each in together), 0, []
    for each in together:
        now = before + each.plants
        mine = heads * now // total - heads * before // total
        rows.append(PickingRow(planting=each.name, day=what[1], number=what[0], heads=mine))
        before = now
    return rows

"""Plantings of a plan as options of a model, and the heads their pickings may give."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from scheduler.model.answers.read_rows import NotReadBack, PlanRows
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.options import BoardOut, TrayOut
from scheduler.model.variables.decisions import Decisions, entered_before, lot_of
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.layout.lots import lot_code
from scheduler.plan.positions import positions_in

Source = TrayOut | BoardOut


@dataclass(slots=True)
class BedWays:
    """Plants of each option, growing ones that stay, and what the plan's pickings give of each.

    Attributes:
        plants: option -> plants set in.
        kept: options of growing plants that are not pulled out on the first day.
        picked: (option, number, day) -> heads picked.
    """

    plants: dict[BedSet, int] = field(default_factory=lambda: defaultdict(int))
    kept: set[BedSet] = field(default_factory=set)
    picked: dict[tuple[BedSet, int, int], int] = field(default_factory=lambda: defaultdict(int))


class Picked:
    """Heads that the pickings of one planting give on one day, as a batch that heads are taken from."""

    def __init__(self, day: int, heads: int) -> None:
        """Take the day and the heads."""
        self.days, self.taken, self._heads = [day], {day: 0}, heads

    def take(self, day: int, wanted: int, *, own: bool) -> int:
        """Take heads of the day, as many as there are."""
        now = max(0, min(wanted, self._heads - self.taken[day])) if own else 0
        self.taken[day] += now
        return now


def bed_ways(chosen: Decisions, rows: PlanRows, supply: dict[Source, int]) -> BedWays:
    """Return the options of a plan's plantings; what they take of ``supply`` is taken off.

    Raises:
        NotReadBack: plants are set in, or pulled out, on days the model does not have.
    """
    ways = BedWays()
    old = {option.growing: option for option in chosen.bed_kept}
    new: dict[tuple[str, int, int, str], list[BedSet]] = defaultdict(list)
    for option in chosen.bed_plants:
        new[_code(chosen, option), entered_before(option), option.day, option.pool].append(option)
    for row in rows.plantings:
        growing = rows.bed_growing.get(row.planting)
        if growing is not None:
            if row.leaves > chosen.farm.today or rows.pickings[row.planting]:
                _keep(chosen, rows, ways, (row, old.get(growing)))
            continue
        options = new[row.lot, row.from_day or 0, row.enters, _pool(chosen, row)]
        for option, plants in _shared(chosen, row, options, supply):
            ways.plants[option] += plants
            _give(ways, rows, (row, option), plants)
    return ways


def _keep(chosen: Decisions, rows: PlanRows, ways: BedWays, of: tuple[PlantingRow, BedSet | None]) -> None:
    row, option = of
    if option is None or not option.picks:
        raise NotReadBack(f"{row.lot} in {row.bed} is not picked any more")
    ways.kept.add(option)
    _give(ways, rows, (row, option), row.plants)


def _give(ways: BedWays, rows: PlanRows, of: tuple[PlantingRow, BedSet], plants: int) -> None:
    row, option = of
    for picking in rows.pickings[row.planting]:
        heads = picking.heads * plants // row.plants
        ways.picked[option, picking.number, picking.day] += heads


def _shared(
    chosen: Decisions, row: PlantingRow, options: list[BedSet], supply: dict[Source, int]
) -> Iterator[tuple[BedSet, int]]:
    """Yield the options a planting is, those with the most plants left in their trays first."""
    left = row.plants
    for option in sorted(options, key=lambda each: -supply.get(each.source, 0) if each.source else 0):
        source = option.source
        if source is None:
            continue
        now = min(left, supply.get(source, 0))
        if now:
            supply[source] -= now
            left -= now
            yield option, now
    if left:
        days = f"{chosen.farm.date_of(row.enters)} to {chosen.farm.date_of(row.leaves)}"
        raise NotReadBack(f"{row.lot} in {row.bed} from {days} is no way the planner looks at")


def _pool(chosen: Decisions, row: PlantingRow) -> str:
    first = min(positions_in(row.positions) or [0])
    return next((pool.name for pool in chosen.bed_pools if pool.holds(row.bed, first)), "")


def _code(chosen: Decisions, option: BedSet) -> str:
    crop, sown, growing = lot_of(option)
    return lot_code(chosen.farm, crop, sown, growing)


def set_beds(chosen: Decisions, ways: BedWays, values: list[int]) -> None:
    """Set the plants of every planting, and which growing ones stay."""
    for option, plants in ways.plants.items():
        values[chosen.bed_plants[option].index] = plants
    for option in ways.kept:
        values[chosen.bed_kept[option].index] = 1


def picked_batches(
    chosen: Decisions, ways: BedWays
) -> Iterator[tuple[tuple[str, int], tuple[BedSet, int, Picked]]]:
    """Yield (lot, day) of every picking that can serve a wish, with its option, number and heads."""
    for (option, number, day), heads in ways.picked.items():
        variable = chosen.heads.get((option, number, day))
        if variable is not None:
            most = min(heads, chosen.most(variable))
            yield (_code(chosen, option), day), (option, number, Picked(day, most))

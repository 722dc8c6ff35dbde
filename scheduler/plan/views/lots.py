"""The story of every lot: sown, set on boards, rafts or into beds, cut, and where its heads went."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.harvest import Harvest, harvests_of
from scheduler.plan.rows import ContentRow, LotRow, Plan
from scheduler.plan.tally import first_positions
from scheduler.plan.words import most_first


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Units of one kind that held a lot.

    Attributes:
        units: how many, those it shares with others included; of beds the plants.
        first, last: days on which the first and the last of them was filled.
        places: names of the tiers, board zones, rows or beds they came into, in the order of the book.
    """

    units: int
    first: int
    last: int
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LotStory:
    """One lot from seed to delivery.

    Attributes:
        lot, crop: its code and crop.
        origin: as in the table of lots.
        sown: day it was sown; None when not known.
        cells: cells sown; 0 for what was found growing.
        discarded: plants thrown away on the first day.
        overdue: whether it was past its last good day on the first day.
        trays, boards, rafts: the units that held it; None when none did.
        first_cut, last_cut: days of its first and last cut or picking; None when there is none.
        heads: heads cut or picked.
        delivered: (customer, or name of the target or outlet; heads), most heads first.
        later: heads for deliveries after the last day.
        beds: the plants it has in beds; None when there are none.
    """

    lot: str
    crop: str
    origin: str
    sown: int | None
    cells: int
    discarded: int
    overdue: bool
    trays: Stay | None
    boards: Stay | None
    rafts: Stay | None
    first_cut: int | None
    last_cut: int | None
    heads: int
    delivered: tuple[tuple[str, int], ...]
    later: int
    beds: Stay | None = None

    @property
    def left(self) -> int:
        """Heads cut that go nowhere."""
        return self.heads - self.later - sum(heads for _, heads in self.delivered)


def lot_stories(farm: Farm, plan: Plan) -> tuple[LotStory, ...]:
    """Return every lot sown by the last reported day or found growing, by sowing day, then code."""
    contents: dict[str, list[ContentRow]] = defaultdict(list)
    for row in plan.contents:
        contents[row.lot].append(row)
    cuts: dict[str, list[Harvest]] = defaultdict(list)
    for cut in harvests_of(plan):
        cuts[cut.lot].append(cut)
    delivered, later = _delivered(plan, farm.calendar.days)
    stays = _Stays(farm, plan)
    return tuple(
        _story(lot, stays.of(lot.lot, contents[lot.lot]), cuts[lot.lot], (delivered[lot.lot], later[lot.lot]))
        for lot in sorted(plan.lots, key=lambda lot: (lot.sown is not None, lot.sown or 0, lot.lot))
        if lot.sown is None or lot.sown < farm.calendar.days
    )


def _delivered(plan: Plan, days: int) -> tuple[dict[str, dict[str, int]], dict[str, int]]:
    """Return lot -> who gets heads -> how many, and lot -> heads for after the last day."""
    demands = {row.demand: row for row in plan.demands}
    delivered: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    later: dict[str, int] = defaultdict(int)
    for fill in plan.fills:
        demand = demands.get(fill.demand)
        if demand is None or not demand.reported:
            later[fill.lot] += fill.heads
        else:
            delivered[fill.lot][demand.customer or demand.order] += fill.heads
    for sale in plan.sales:
        if sale.day < days:
            delivered[sale.lot][sale.outlet] += sale.heads
        else:
            later[sale.lot] += sale.heads
    return delivered, later


class _Stays:
    """Finds where units of a lot came in."""

    def __init__(self, farm: Farm, plan: Plan) -> None:
        self._item = {unit.unit: unit.item for unit in plan.units}
        self._order = {place.name: at for at, place in enumerate(farm.places)}
        self._first = {unit: row.place for unit, row in first_positions(plan.positions).items()}
        self._plantings: dict[str, list[PlantingRow]] = defaultdict(list)
        for planting in plan.plantings:
            self._plantings[planting.lot].append(planting)

    def of(self, lot: str, contents: Iterable[ContentRow]) -> Mapping[str, Stay]:
        """Return item -> stay for what a lot stood in; ``bed`` for its plants in beds."""
        held: dict[str, list[ContentRow]] = defaultdict(list)
        for row in contents:
            held[self._item[row.unit]].append(row)
        stays = {}
        for item, rows in held.items():
            units = {row.unit for row in rows}
            places = {self._first[unit] for unit in units if unit in self._first}
            stays[item] = self._stay(len(units), [row.enters for row in rows], places)
        planted = self._plantings[lot]
        if planted:
            plants, beds = sum(row.plants for row in planted), {row.bed for row in planted}
            stays["bed"] = self._stay(plants, [row.enters for row in planted], beds)
        return stays

    def _stay(self, units: int, days: Sequence[int], places: Iterable[str]) -> Stay:
        ordered = sorted(places, key=self._order.__getitem__)
        return Stay(units=units, first=min(days), last=max(days), places=tuple(ordered))


def _story(
    lot: LotRow,
    stays: Mapping[str, Stay],
    cuts: Sequence[Harvest],
    went: tuple[Mapping[str, int], int],
) -> LotStory:
    days = [cut.day for cut in cuts]
    return LotStory(
        lot=lot.lot,
        crop=lot.crop,
        origin=lot.origin,
        sown=lot.sown,
        cells=lot.cells,
        discarded=lot.discarded,
        overdue=lot.overdue,
        trays=stays.get("tray"),
        boards=stays.get("board"),
        rafts=stays.get("raft"),
        beds=stays.get("bed"),
        first_cut=min(days, default=None),
        last_cut=max(days, default=None),
        heads=sum(cut.heads for cut in cuts),
        delivered=most_first(went[0]),
        later=went[1],
    )

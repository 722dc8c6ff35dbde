"""One lot from seed to delivery: every unit it stood in, every cut, and who got its heads."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.instead import in_words
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import ContentRow, CutRow, DemandRow, LotRow, Plan
from scheduler.plan.views.trace import ITEMS, Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Plants of the lot that came to a stage on one day, stood in one place and went on on one day.

    Attributes:
        item: tray, board, raft or bed.
        enters, leaves: day numbers; rafts leave the lot with its last cut, beds with the last picking.
        plants: cells in trays that are sown, else plants.
        units: names of the units, or of the plantings in a bed.
        place, slots: where they were put first; the slot of a raft changes as those ahead of it leave. Of
            beds the positions.
        shared: other lots in the same units.
        to: what they went on to: ``board``, ``raft``, ``bed``, ``cut``, or ``out`` where
            they are thrown away.
    """

    item: str
    enters: int
    leaves: int
    plants: int
    units: tuple[str, ...]
    place: str
    slots: tuple[int, ...]
    shared: tuple[str, ...]
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CutDay:
    """What is cut of the lot on one day in one row: cut ``number`` of ``plants`` that give ``heads``.

    Pickings in one bed likewise, with plantings for ``rafts``.
    """

    day: int
    number: int
    lane: str
    rafts: tuple[str, ...]
    plants: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sale:
    """Heads of the lot, cut on ``cut_day``, that go into a delivery or the week of a target.

    ``product`` says in words as what they go into it.
    """

    demand: DemandRow
    cut_day: int
    heads: int
    product: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPath:
    """The whole way of one lot: ``outlets`` are (day, outlet, product, heads), ``unsold`` what is left."""

    lot: LotRow
    crop: Crop
    stays: tuple[Stay, ...]
    cuts: tuple[CutDay, ...]
    sales: tuple[Sale, ...]
    unsold: int
    outlets: tuple[tuple[int, str, str, int], ...] = ()


def lot_path(farm: Farm, plan: Plan, lot: str) -> LotPath:
    """Return the way of a lot.

    Raises:
        KeyError: the plan has no such lot.
    """
    trace = Trace(farm, plan)
    row = trace.lots[lot]
    cuts = (*_cuts(trace, lot), *_pickings(trace, lot))
    sales = [
        Sale(
            demand=trace.demands[fill.demand],
            cut_day=fill.cut_day,
            heads=fill.heads,
            product=in_words(trace.demands[fill.demand].product, fill.substitute),
        )
        for fill in trace.fills(lot)
        if fill.demand in trace.demands
    ]
    outlets = sorted(
        (sale.day, sale.outlet, sale.product, sale.heads) for sale in plan.sales if sale.lot == lot
    )
    return LotPath(
        lot=row,
        crop=trace.crop(lot),
        stays=(*(stay for item in ITEMS for stay in _stays(trace, lot, item)), *bed_stays(trace, lot)),
        cuts=cuts,
        sales=tuple(sorted(sales, key=lambda sale: (sale.demand.day, sale.cut_day, sale.demand.demand))),
        unsold=sum(cut.heads for cut in cuts)
        - sum(sale.heads for sale in sales)
        - sum(heads for *_, heads in outlets),
        outlets=tuple(outlets),
    )


def _stays(trace: Trace, lot: str, item: str) -> list[Stay]:
    together: dict[tuple[int, int, str, str], list[ContentRow]] = defaultdict(list)
    for row in trace.held(lot, item):
        stand = trace.first_stand(row.unit)
        place = stand.place if stand else ""
        together[row.enters, row.leaves, place, trace.goes_to(row)].append(row)
    made = []
    for (enters, leaves, place, to), rows in sorted(together.items()):
        units = tuple(dict.fromkeys(row.unit for row in rows))
        stands = [stand for unit in units if (stand := trace.first_stand(unit)) is not None]
        made.append(
            Stay(
                item=item,
                enters=enters,
                leaves=leaves,
                plants=sum(row.plants for row in rows),
                units=units,
                place=place,
                slots=tuple(sorted({stand.slot for stand in stands})),
                shared=tuple(dict.fromkeys(each for unit in units for each in trace.shares_with(unit, lot))),
                to=to,
            )
        )
    return made


def bed_stays(trace: Trace, lot: str) -> Iterator[Stay]:
    """Yield what a lot has in beds: one stay for each planting."""
    for row in trace.plantings(lot):
        yield Stay(
            item="bed",
            enters=row.enters,
            leaves=row.leaves,
            plants=row.plants,
            units=(row.planting,),
            place=row.bed,
            slots=tuple(positions_in(row.positions) or ()),
            shared=(),
            to="cut" if trace.pickings(row.planting) else "out",
        )


def _pickings(trace: Trace, lot: str) -> Iterator[CutDay]:
    together: dict[tuple[int, int, str], list[tuple[PlantingRow, int]]] = defaultdict(list)
    for row in trace.plantings(lot):
        for picking in trace.pickings(row.planting):
            together[picking.day, picking.number, row.bed].append((row, picking.heads))
    for (day, number, bed), parts in sorted(together.items()):
        yield CutDay(
            day=day,
            number=number,
            lane=bed,
            rafts=tuple(row.planting for row, _ in parts),
            plants=sum(row.plants for row, _ in parts),
            heads=sum(heads for _, heads in parts),
        )


def _cuts(trace: Trace, lot: str) -> tuple[CutDay, ...]:
    together: dict[tuple[int, int, str], list[CutRow]] = defaultdict(list)
    for raft in trace.cut_from(lot):
        stand = trace.first_stand(raft)
        for cut in trace.cuts(raft, lot):
            together[cut.day, cut.number, stand.place if stand else ""].append(cut)
    return tuple(
        CutDay(
            day=day,
            number=number,
            lane=lane,
            rafts=tuple(dict.fromkeys(cut.unit for cut in cuts)),
            plants=sum(cut.plants for cut in cuts),
            heads=sum(cut.heads for cut in cuts),
        )
        for (day, number, lane), cuts in sorted(together.items())
    )

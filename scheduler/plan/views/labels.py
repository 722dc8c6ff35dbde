"""Which labels are due on which day: one for each lot in each tray, board and raft that is filled."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import ContentRow, Plan
from scheduler.plan.views.trace import ITEMS, Trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """What is done next with some of the plants of a unit.

    Attributes:
        to: ``board``, ``raft``, ``bed``, ``cut``, or ``out`` where they are thrown away.
        day: day number.
        rows: rows of cells, 0 where a tray is not counted in rows, and for boards and rafts.
        plants: cells or plants.
    """

    to: str
    day: int
    rows: int
    plants: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The label of one lot in one unit.

    Attributes:
        due: day number on which the unit is filled, and the label goes on.
        item, unit, kind: ``tray``, ``board`` or ``raft``, its name in the plan and in the equipment.
        lot, crop, variety: what is in it.
        number, of: which of the units of this kind that the lot fills on that day, from 1.
        amount: cells sown (plants of a growing tray) or plants set.
        shared: codes of the other lots in the unit.
        place, slot: where it is put first; empty and 0 when the plan does not say.
        sown: day number, None when not known.
        has_boards: whether the crop goes over boards.
        boards, rafts, cuts: day numbers on which these plants come to the stage, in order.
        moves: what is done next, by day.
        ends_in: ``tray``, ``raft`` or ``bed``: where the crop is cut or picked.
        beds, picks: day numbers on which plants of the lot come into beds, and on which they are picked.
        is_open: whether it is an open tray, which is not counted in cells.
    """

    due: int
    item: str
    unit: str
    kind: str
    lot: str
    crop: str
    variety: str
    number: int
    of: int
    amount: int
    shared: tuple[str, ...]
    place: str
    slot: int
    sown: int | None
    has_boards: bool
    boards: tuple[int, ...]
    rafts: tuple[int, ...]
    cuts: tuple[int, ...]
    moves: tuple[Move, ...]
    ends_in: str = "raft"
    beds: tuple[int, ...] = ()
    picks: tuple[int, ...] = ()
    is_open: bool = False


def labels_due(farm: Farm, plan: Plan, first: int, last: int) -> list[Label]:
    """Return the labels of every unit filled from day ``first`` through day ``last``.

    They come in the order of the work: by day, trays before boards before rafts, then unit and lot.
    """
    trace = Trace(farm, plan)
    held: dict[tuple[int, int, str], dict[str, list[ContentRow]]] = defaultdict(lambda: defaultdict(list))
    for lot in trace.lots:
        for at, item in enumerate(ITEMS):
            for row in trace.held(lot, item):
                if first <= row.enters <= last:
                    held[row.enters, at, lot][row.unit].append(row)
    made = [
        _label(trace, rows, (number, len(units)))
        for units in held.values()
        for number, rows in enumerate(units.values(), start=1)
    ]
    return sorted(made, key=lambda label: (label.due, ITEMS.index(label.item), label.unit, label.lot))


def labels_by_day(farm: Farm, plan: Plan) -> Counter[int]:
    """Return how many labels are due on each day."""
    trace = Trace(farm, plan)
    due = {
        (row.enters, row.unit, lot) for lot in trace.lots for item in ITEMS for row in trace.held(lot, item)
    }
    return Counter(day for day, _, _ in due)


def _label(trace: Trace, rows: list[ContentRow], count: tuple[int, int]) -> Label:
    """Return the label of one lot in one unit, ``count`` being which of how many."""
    lot, unit = trace.lots[rows[0].lot], trace.units[rows[0].unit]
    crop, stand = trace.crop(lot.lot), trace.first_stand(unit.unit)
    reached = _later(trace, rows)
    planted = list({each.planting: each for row in reached["tray"] for each in trace.into_beds(row)}.values())
    boards, rafts, last = (reached.get(item, []) for item in ("board", "raft", crop.finish.kind.value))
    return Label(
        due=rows[0].enters,
        item=unit.item,
        unit=unit.unit,
        kind=unit.kind,
        lot=lot.lot,
        crop=crop.name,
        variety=crop.variety,
        number=count[0],
        of=count[1],
        amount=sum(row.plants for row in rows),
        shared=trace.shares_with(unit.unit, lot.lot),
        place=stand.place if stand else "",
        slot=stand.slot if stand else 0,
        sown=lot.sown,
        has_boards=crop.board is not None,
        boards=_days(row.enters for row in boards)
        or _board_days(rows, unit.item, has=crop.board is not None),
        rafts=_days(row.enters for row in rafts),
        cuts=_days(cut.day for unit in {row.unit: None for row in last} for cut in trace.cuts(unit, lot.lot)),
        moves=tuple(_moves(trace, rows)),
        ends_in=crop.finish.kind.value,
        beds=_days(each.enters for each in planted),
        picks=_days(pick.day for each in planted for pick in trace.pickings(each.planting)),
        is_open=unit.item == "tray" and _holes(trace, unit.kind) == 1,
    )


def _holes(trace: Trace, kind: str) -> int:
    """Return the cells of a kind of tray; 0 of one the farm does not have."""
    owned = trace.farm.equipment.get(kind)
    return 0 if owned is None else owned.holes


def _later(trace: Trace, rows: list[ContentRow]) -> dict[str, list[ContentRow]]:
    """Return what units of each kind hold of these plants, those of the label itself included."""
    reached: dict[str, dict[ContentRow, None]] = {item: {} for item in ITEMS}
    ahead, followed = list(rows), set()
    while ahead:
        row = ahead.pop()
        item = trace.units[row.unit].item
        reached[item][row] = None
        # Plants of one lot that came and went on the same days all go the same ways.
        way = item, row.lot, row.enters, row.leaves
        if way not in followed:
            followed.add(way)
            ahead += trace.onward(row)
    return {item: list(found) for item, found in reached.items()}


def _board_days(rows: list[ContentRow], item: str, *, has: bool) -> tuple[int, ...]:
    """Return when plants on rafts came to boards: the day they entered the stage before."""
    return _days(row.from_day for row in rows if row.from_day is not None) if item == "raft" and has else ()


def _days(days: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(set(days)))


def _moves(trace: Trace, rows: list[ContentRow]) -> list[Move]:
    """Return what is done next: plants that leave a tray or board, or each cut of what is cut here."""
    if trace.is_cut(rows[0]):
        plants: Counter[int] = Counter()
        for cut in trace.cuts(rows[0].unit, rows[0].lot):
            plants[cut.day] += cut.plants
        if plants:
            return [Move(to="cut", day=day, rows=0, plants=plants[day]) for day in sorted(plants)]
    amounts: dict[tuple[int, str], tuple[int, int]] = defaultdict(lambda: (0, 0))
    for row in rows:
        key = (row.leaves, trace.goes_to(row))
        of_rows, of_plants = amounts[key]
        amounts[key] = (of_rows + row.rows, of_plants + row.plants)
    return [
        Move(to=to, day=day, rows=of_rows, plants=of_plants)
        for (day, to), (of_rows, of_plants) in sorted(amounts.items())
    ]

"""What stands where at the end of a day's work: place by place and slot by slot, and what left that day.

A unit stands in its place on a day when ``enters <= day < until``: what leaves on a day is gone by its
evening, and what comes in stands there.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.farm.calendar import WEEK
from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.plan.rows import ContentRow, CutRow, Plan, PositionRow, UnitRow

NEXT = {"tray": ("board", "raft", "bed"), "board": ("raft",), "raft": ()}
"""What plants may be set into next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Plants of a lot that go from a unit on one day.

    Attributes:
        day: the day they go.
        plants: plants cut or moved on (trays: cells; of growing trays good seedlings).
        cut: which cut of these plants it is; 0 where plants are moved on or thrown away.
    """

    day: int
    plants: int
    cut: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Plants of one lot in one unit at the end of a day.

    Attributes:
        lot, crop: names.
        put_in: plants that were set or sown in this unit.
        plants: plants that are left; those between two cuts count, those with nothing more to come do not.
        rows: rows of cells they take, trays only; 0 when that is not known.
        taken: plants cut, moved on or thrown away on this very day; those cut may stay for another cut.
        thrown: of these the plants that went nowhere.
        since: day they came into this unit.
        to_come: what is planned for them from the next day on, by day.
    """

    lot: str
    crop: str
    put_in: int
    plants: int
    rows: int
    taken: int
    thrown: int
    since: int
    to_come: tuple[Step, ...]

    @property
    def due(self) -> Step | None:
        """Return the next cut, or the next moving on; None when nothing more is planned."""
        return self.to_come[0] if self.to_come else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One tray, board or raft in its slot at the end of a day.

    Attributes:
        slot: 1 is at the harvest end of a row.
        unit, kind, item: as in the plan's units.
        enters: day it was filled.
        leaves: day its slot is free again.
        came: whether it came into this place on this very day, new or from another place.
        came_from: places its plants, or the whole unit, came from on this day.
        loads: its lots; empty for a raft that is only waiting for those ahead of it.
        domed, dark: whether a tray is still under a dome, still in the dark.
    """

    slot: int
    unit: str
    kind: str
    item: str
    enters: int
    leaves: int
    came: bool
    came_from: tuple[str, ...]
    loads: tuple[Load, ...]
    domed: bool
    dark: bool

    @property
    def plants(self) -> int:
        """Plants (trays: cells) of all lots that are left."""
        return sum(load.plants for load in self.loads)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gone:
    """One unit that left a place on a day.

    Attributes:
        slot: where it stood the day before.
        unit, kind, item: as in the plan's units.
        loads: lots that went with it or out of it on this day, ``taken`` of each; empty when it was
            empty before.
        to: places the unit, or plants of its lots, came into on this day.
    """

    slot: int
    unit: str
    kind: str
    item: str
    loads: tuple[Load, ...]
    to: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceDay:
    """One place at the end of a day.

    Attributes:
        place, kind, belongs_to: as in the farm.
        day: the day.
        open: slots open on this day, numbers 1 to ``open``.
        most: slots open on the best of all days.
        standing: units by slot.
        gone: units that left this place on this day, by the slot they stood in.
    """

    place: str
    kind: PlaceKind
    belongs_to: str
    day: int
    open: int
    most: int
    standing: tuple[Standing, ...]
    gone: tuple[Gone, ...]

    @property
    def free(self) -> tuple[int, ...]:
        """Return the open slots in which nothing stands."""
        used = {each.slot for each in self.standing}
        return tuple(slot for slot in range(1, self.open + 1) if slot not in used)

    @property
    def closed(self) -> tuple[int, ...]:
        """Return the slots that are closed on this day though open on others, and in which nothing stands."""
        used = {each.slot for each in self.standing}
        return tuple(slot for slot in range(self.open + 1, self.most + 1) if slot not in used)


def standing_on(farm: Farm, plan: Plan, day: int, belongs_to: str | None = None) -> tuple[PlaceDay, ...]:
    """Return what stands in every place at the end of a day, or in those of one shelf or trough.

    Places come in the order of the farm. Units, lots and crops that the plan or the farm does not know
    are passed over; the audit reports those.
    """
    return standing_in(Yard(farm, plan), day, belongs_to)


def standing_in(yard: "Yard", day: int, belongs_to: str | None = None) -> tuple[PlaceDay, ...]:
    """Return the same of a plan whose rows are looked up by day: for looks at many days."""
    ground = _Ground(yard, day)
    return tuple(
        ground.place(place)
        for place in yard.farm.places
        if belongs_to is None or place.belongs_to == belongs_to
    )


class Yard:
    """A plan's rows by unit and week: to look through all of them for each day took minutes on a large farm.

    Attributes:
        farm: the farm.
        units: by name; crops: lot -> crop, of those that the farm knows.
        contents: unit -> what it holds of such lots; cuts: (unit, lot) -> its cuts.
        plantings: those of the plan.
    """

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Sort the rows of a plan."""
        self.farm = farm
        self.units = {row.unit: row for row in plan.units}
        self.crops = {row.lot: row.crop for row in plan.lots if row.crop in farm.crops}
        self.plantings = plan.plantings
        self.contents: dict[str, list[ContentRow]] = defaultdict(list)
        for content in plan.contents:
            if content.lot in self.crops:
                self.contents[content.unit].append(content)
        self.cuts: dict[tuple[str, str], list[CutRow]] = defaultdict(list)
        for cut in plan.cuts:
            self.cuts[cut.unit, cut.lot].append(cut)
        self._weeks: dict[int, list[PositionRow]] = defaultdict(list)
        for row in plan.positions:
            if row.unit in self.units:
                for week in range(row.enters // WEEK, row.until // WEEK + 1):
                    self._weeks[week].append(row)

    def near(self, day: int) -> list[PositionRow]:
        """Return all positions that a day could be in, others too, in the order of the plan."""
        return self._weeks.get(day // WEEK, [])


class _Ground:
    """The plan's rows of one day, looked up by unit and by place."""

    def __init__(self, yard: Yard, day: int) -> None:
        self._farm, self._day = yard.farm, day
        self._units, self._crops, self._cuts = yard.units, yard.crops, yard.cuts
        known = yard.near(day)
        self._here = _by_place(row for row in known if row.enters <= day < row.until)
        self._before = {row.unit: row for row in known if _is_evening_before(row, day)}
        staying = {row.unit: row.place for rows in self._here.values() for row in rows}
        self._left = _by_place(
            row for row in self._before.values() if row.until <= day and staying.get(row.unit) != row.place
        )
        self._at = staying
        self._contents: dict[str, list[ContentRow]] = {
            unit: yard.contents.get(unit, []) for unit in (*staying, *self._before)
        }
        self._planted = [row for row in yard.plantings if row.enters == day and row.from_day is not None]
        self._to, self._from = self._ways()

    def _ways(self) -> tuple[dict[tuple[str, str], set[str]], dict[tuple[str, str], set[str]]]:
        """Return, for each (lot, item), the places it came into and those it came out of on this day."""
        into: dict[tuple[str, str], set[str]] = defaultdict(set)
        out: dict[tuple[str, str], set[str]] = defaultdict(set)
        for unit, rows in self._contents.items():
            item = self._units[unit].item
            for row in rows:
                if row.enters == self._day and unit in self._at:
                    into[row.lot, item].add(self._at[unit])
                if row.leaves == self._day and unit in self._before:
                    out[row.lot, item].add(self._before[unit].place)
        for planting in self._planted:
            into[planting.lot, "bed"].add(planting.bed)
        return into, out

    def place(self, place: Place) -> PlaceDay:
        """Return one place at the end of the day."""
        return PlaceDay(
            place=place.name,
            kind=place.kind,
            belongs_to=place.belongs_to,
            day=self._day,
            open=place.slots.on(self._day),
            most=place.slots.highest(),
            standing=tuple(self._standing(row) for row in _by_slot(self._here[place.name])),
            gone=tuple(self._gone(row) for row in _by_slot(self._left[place.name])),
        )

    def _standing(self, row: PositionRow) -> Standing:
        unit = self._units[row.unit]
        before = self._before.get(unit.unit)
        new = unit.enters == self._day
        moved = before is not None and before.place != row.place
        loads = self._loads(unit)
        return Standing(
            slot=row.slot,
            unit=unit.unit,
            kind=unit.kind,
            item=unit.item,
            enters=unit.enters,
            leaves=unit.leaves,
            came=new or moved,
            came_from=self._came_from(unit, before.place if before and moved else None),
            loads=tuple(load for load in loads if load.plants or load.taken),
            domed=unit.item == "tray" and any(self._cared_for(unit, "dome_days")),
            dark=unit.item == "tray" and any(self._cared_for(unit, "dark_days")),
        )

    def _came_from(self, unit: UnitRow, moved_from: str | None) -> tuple[str, ...]:
        if moved_from is not None:
            return (moved_from,)
        if unit.enters != self._day:
            return ()
        stages = {"tray": (), "board": ("tray",), "raft": ("tray", "board")}[unit.item]
        lots = {row.lot for row in self._contents[unit.unit]}
        return self._in_order(place for lot in lots for item in stages for place in self._from[lot, item])

    def _cared_for(self, unit: UnitRow, days: str) -> Iterable[bool]:
        for row in self._contents[unit.unit]:
            handling = self._farm.crops[self._crops[row.lot]].handling
            end = min(row.enters + getattr(handling, days), row.leaves)
            yield row.enters <= self._day < end

    def _gone(self, row: PositionRow) -> Gone:
        unit = self._units[row.unit]
        if unit.unit in self._at:
            loads, to = self._loads(unit), self._in_order([self._at[unit.unit]])
            loads = [load for load in loads if load.plants or load.taken]
        else:
            loads = [load for load in self._loads(unit) if load.taken]
            to = self._in_order(
                place for load in loads for item in NEXT[unit.item] for place in self._to[load.lot, item]
            )
        return Gone(slot=row.slot, unit=unit.unit, kind=unit.kind, item=unit.item, loads=tuple(loads), to=to)

    def _in_order(self, names: Iterable[str]) -> tuple[str, ...]:
        wanted = set(names)
        return tuple(place.name for place in self._farm.places if place.name in wanted)

    def _loads(self, unit: UnitRow) -> list[Load]:
        """Return the lots of a unit as they are at the end of the day, the largest first as put in."""
        of_lot: dict[str, list[ContentRow]] = defaultdict(list)
        for row in self._contents[unit.unit]:
            of_lot[row.lot].append(row)
        loads = [self._load(unit, lot, rows) for lot, rows in of_lot.items()]
        return sorted(loads, key=lambda load: (-load.put_in, load.lot))

    def _load(self, unit: UnitRow, lot: str, rows: list[ContentRow]) -> Load:
        crop = self._farm.crops[self._crops[lot]]
        cuts = self._cuts.get((unit.unit, lot), [])
        left = [row for row in rows if row.leaves > self._day]
        done = sum(cut.plants for cut in cuts if cut.number >= crop.cuts and cut.day <= self._day)
        put_in = sum(row.plants for row in rows)
        plants = max(0, min(sum(row.plants for row in left), put_in - done))
        return Load(
            lot=lot,
            crop=crop.name,
            put_in=put_in,
            plants=plants,
            rows=sum(row.rows for row in left),
            taken=_taken(rows, cuts, self._day),
            thrown=self._thrown(unit, crop, rows, cuts),
            since=min(row.enters for row in rows),
            to_come=_steps(left, [cut for cut in cuts if cut.day > self._day]),
        )

    def _thrown(self, unit: UnitRow, crop: Crop, rows: list[ContentRow], cuts: list[CutRow]) -> int:
        """Return plants that left their last stage uncut, or of which none came into a later one that day."""
        leaving = [row for row in rows if row.leaves == self._day]
        if unit.item == crop.finish.kind:
            cut = sum(row.plants for row in cuts if row.day == self._day)
            return max(0, sum(row.plants for row in leaving) - cut)
        later = NEXT[unit.item]
        return sum(row.plants for row in leaving if not any(self._to[row.lot, item] for item in later))


def _is_evening_before(row: PositionRow, day: int) -> bool:
    """Say whether a unit stood here the evening before; on day 0 what is thrown away stood there too."""
    return row.enters < day <= row.until or (row.enters == row.until == day)


def _taken(rows: list[ContentRow], cuts: list[CutRow], day: int) -> int:
    """Return plants cut on a day and, where fewer were cut, those that left without a cut."""
    cut = sum(row.plants for row in cuts if row.day == day)
    return max(cut, sum(row.plants for row in rows if row.leaves == day))


def _steps(rows: list[ContentRow], cuts: list[CutRow]) -> tuple[Step, ...]:
    """Return what is planned for the plants of one lot in a unit, by day."""
    planned: dict[tuple[int, int], int] = defaultdict(int)
    cut_on: dict[int, int] = defaultdict(int)
    for cut in cuts:
        planned[cut.day, cut.number] += cut.plants
        cut_on[cut.day] += cut.plants
    leaving: dict[int, int] = defaultdict(int)
    for row in rows:
        leaving[row.leaves] += row.plants
    for day, plants in leaving.items():
        if not cut_on[day]:
            planned[day, 0] += plants
    return tuple(Step(day=day, plants=number, cut=cut) for (day, cut), number in sorted(planned.items()))


def _by_place(rows: Iterable[PositionRow]) -> Mapping[str, list[PositionRow]]:
    found: dict[str, list[PositionRow]] = defaultdict(list)
    for row in rows:
        found[row.place].append(row)
    return found


def _by_slot(rows: list[PositionRow]) -> list[PositionRow]:
    return sorted(rows, key=lambda row: (row.slot, row.unit))

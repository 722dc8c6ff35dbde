"""Deliveries that the plan promised and that what stands by the records can no longer give."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from scheduler.book.faults import BookFaults
from scheduler.book.place import Cell
from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.dates import full_day
from scheduler.farm.farm import Demand, Farm, Growing
from scheduler.farm.growth.picking import picks_of
from scheduler.farm.growth.stages import PLACE_OF, may_stand
from scheduler.farm.orders.reach import cut_days_of_growing
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import WHOLE_SHARE, share_down
from scheduler.plan.rows import FillRow, LotRow, Plan
from scheduler.plan.words import by_word
from scheduler.records.closures import Held, held_back
from scheduler.records.entries import DELIVERED, Entry, lot_in_records
from scheduler.records.pieces import expected
from scheduler.records.recording import judge
from scheduler.records.rounding import Counted, counted_on, parts_left
from scheduler.records.state import Content, Standing, State, replay
from scheduler.records.tasks import Done, Tasks
from scheduler.records.yard import PLANTS, TRAY

NEVER = date.max

YEAR = 366
"""Days ahead in which a day for setting plants in is looked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRisk:
    """A delivery that one of its lots cannot give in full any more.

    Attributes:
        demand: the delivery, or the week of a target.
        lot, crop: the lot whose chain is broken.
        promised: heads of the lot that the plan has for it and that are not delivered yet.
        short: how many of these are missing.
        why: in words.
    """

    demand: Demand
    lot: str
    crop: str
    promised: int
    short: int
    why: str


@dataclass(slots=True)
class _Chunk:
    """Heads that one cut of some plants may give, and the days on which it may be."""

    heads: int
    days: Sequence[int]


def at_risk(farm: Farm, plan: Plan, state: State, entries: Iterable[Entry], day: int) -> list[AtRisk]:
    """Return the deliveries from a day on that are at risk, by day, firm ones first.

    Losses yet to come are counted as the book has them. Lots the plan sows from that day on are taken as
    planned; heads in the cooler serve what was cut by then, what stands may be cut on any of its days.
    What a lot cannot give is missed by its latest deliveries. Only what is missing beside the farm as it
    would stand had all gone to plan is told: what rounding alone takes is no risk.

    Args:
        farm: the farm.
        plan: its plan.
        state: what stands at the end of the day before, or on the day.
        entries: entries in force.
        day: the day.
    """
    found = _missing(farm, plan, state, list(entries), day)
    if not found:
        return []
    usual: dict[tuple[str, str], int] = defaultdict(int)
    for each in _as_planned(farm, plan, day):
        usual[each.demand.name, lot_in_records(each.lot, state.lots)] += each.short
    told = []
    for each in found:
        short = each.short - usual[each.demand.name, each.lot]
        if short > 0:
            told.append(replace(each, short=short))
    told.sort(key=lambda each: (each.demand.first, not each.demand.firm, each.demand.name, each.lot))
    return told


def _as_planned(farm: Farm, plan: Plan, day: int) -> list[AtRisk]:
    """Return what would be missing by the same reckoning had every task been done as planned."""
    tasks = Tasks(farm, plan)
    due = sorted((task for task in plan.tasks if task.day < day), key=lambda task: task.day)
    told = [each for task in due for each in tasks.told(Done(key=task.key, where=Cell(task.key)))]
    try:
        done = judge(farm, [], told, farm.date_of(day)).new
    except BookFaults:
        # an odd plan that cannot be followed to the letter: nothing is taken off
        return []
    state = replay(enumerate(done, start=1))
    return _missing(farm, plan, state, done, day)


def _missing(farm: Farm, plan: Plan, state: State, entries: Sequence[Entry], day: int) -> list[AtRisk]:
    left = _promised(farm, plan, (state, entries), day)
    lots = {lot_in_records(row.lot, state.lots): row for row in reversed(plan.lots)}
    now = replace(farm, today=max(day, 0))
    held = held_back(state, farm.date_of(day))
    counted = counted_on(farm, plan, farm.date_of(day))
    standing: dict[str, list[Standing]] = defaultdict(list)
    for unit in state.units:
        for code in dict.fromkeys(content.lot for content in unit.contents):
            standing[code].append(unit)
    found: list[AtRisk] = []
    for name, fills in left.items():
        lot = lots.get(name)
        if lot is None or lot.crop not in farm.crops or _is_to_come(lot, state, day):
            continue
        here = replace(state, units=tuple(standing[name]))
        found += _Lot(now, replace(lot, lot=name), here, (held, counted)).at_risk(fills, day)
    return found


def _promised(
    farm: Farm, plan: Plan, happened: tuple[State, Sequence[Entry]], day: int
) -> dict[str, list[tuple[Demand, FillRow, int]]]:
    """Return lot -> (demand, fill, heads not delivered yet), soonest first; what is over is left out."""
    state, entries = happened
    given: dict[tuple[str, str], int] = defaultdict(int)
    for entry in entries:
        if entry.what == DELIVERED and entry.delivery:
            given[entry.delivery, entry.lot] += entry.heads or 0
    demands = {each.name: each for each in farm.demands}
    left: dict[str, list[tuple[Demand, FillRow, int]]] = defaultdict(list)
    for fill in sorted(plan.fills, key=lambda row: (row.cut_day, row.demand)):
        demand = demands.get(fill.demand)
        # a target is served by the cut itself
        over = demand is None or (fill.cut_day < day if demand.is_target else demand.last < day)
        if demand is None or over or not demand.reported:
            continue
        lot = lot_in_records(fill.lot, state.lots)
        done = min(given[fill.demand, lot], fill.heads)
        given[fill.demand, lot] -= done
        if fill.heads > done:
            left[lot].append((demand, fill, fill.heads - done))
    for fills in left.values():
        fills.sort(key=lambda each: (each[0].last, each[0].priority, each[0].name))
    return left


def _is_to_come(lot: LotRow, state: State, day: int) -> bool:
    return lot.lot not in state.lots and lot.sown is not None and lot.sown >= day


class _Lot:
    """What one lot can still give."""

    def __init__(self, farm: Farm, lot: LotRow, state: State, known: tuple[Sequence[Held], Counted]) -> None:
        self.farm, self.lot, self.state = farm, lot, state
        held, self.counted = known
        self.crop = farm.crops[lot.crop]
        self.held = {each.place: each for each in held if each.lot == lot.lot}
        self.chunks = [chunk for chunk in self._chunks() if chunk.heads > 0]
        facts = state.lots.get(self.lot.lot)
        self.cooler = sum(heads for _, heads in facts.cooler) if facts else 0

    def at_risk(self, fills: Sequence[tuple[Demand, FillRow, int]], day: int) -> Iterable[AtRisk]:
        """Serve deliveries in their order, and yield those that go short."""
        for demand, fill, heads in fills:
            missing = heads
            if fill.cut_day <= day:
                taken = min(self.cooler, missing)
                self.cooler -= taken
                missing -= taken
            for chunk in self.chunks:
                if missing and any(_serves(demand, cut) for cut in chunk.days):
                    taken = min(chunk.heads, missing)
                    chunk.heads -= taken
                    missing -= taken
            if missing:
                yield AtRisk(
                    demand=demand,
                    lot=self.lot.lot,
                    crop=self.crop.name,
                    promised=heads,
                    short=missing,
                    why=self._why(demand),
                )

    def _chunks(self) -> Iterable[_Chunk]:
        """Yield the cuts to come; plants that came on one day and were cut alike are counted together."""
        groups: dict[tuple[object, ...], list[tuple[Standing, Content]]] = defaultdict(list)
        for unit in self.state.holding(self.lot.lot):
            for content in unit.contents:
                if content.lot == self.lot.lot:
                    kind = StageKind(unit.item)
                    owner = self._owner(unit.place, kind)
                    until = self._until(unit, content)
                    # places that grow alike are one, for the plan rounds their plants together
                    pace = self.farm.pace.signature(owner)
                    key = kind, pace, unit.since, content.cuts, content.last_cut, until
                    if owner and self.crop.stage(kind) is not None:
                        groups[key].append((unit, content))
        parts = self._parts(list(groups.values()))
        for members, part in zip(groups.values(), parts, strict=True):
            yield from self._of_group(members, part)

    def _parts(self, groups: Sequence[Sequence[tuple[Standing, Content]]]) -> list[int]:
        """Return what rounding left over for the next cut of each group, in ten thousandths of a head."""
        if self.crop.picking is not None:
            return [0] * len(groups)
        cut = [at for at, members in enumerate(groups) if members[0][0].item == self.crop.finish.kind]
        rows = []
        for at in cut:
            unit, content = groups[at][0]
            plants = _expected_of(self.crop, [each for _, each in groups[at]])
            rows.append(((self.lot.lot, unit.since, content.cuts + 1), unit.place, plants))
        parts = dict(zip(cut, parts_left(self.farm, self.state, rows, self.counted), strict=True))
        return [parts.get(at, 0) for at in range(len(groups))]

    def _of_group(self, members: Sequence[tuple[Standing, Content]], part: int) -> Iterable[_Chunk]:
        unit, content = members[0]
        plants = _expected_of(self.crop, [each for _, each in members])
        kind = StageKind(unit.item)
        calendar = self.farm.calendar
        if self.crop.picking is not None and plants:
            yield from self._pickings(unit, plants, self._until(unit, content))
            return
        if content.cuts >= self.crop.cuts or not plants:
            return
        row = Growing(
            lot=self.lot.lot,
            crop=self.crop.name,
            stage=kind,
            place=unit.place,
            since=calendar.day_of(unit.since),
            plants=plants,
            units=len(members),
            cuts_done=content.cuts,
            last_cut=None if content.last_cut is None else calendar.day_of(content.last_cut),
        )
        if kind is not StageKind.RAFT and self.crop.board is not None:
            plants = share_down(plants, self.crop.board.survival)
        until = self._until(unit, content)
        for days in cut_days_of_growing(self.farm, row):
            free = [day for day in days if until is None or self.farm.date_of(day) > until]
            yield _Chunk((plants * self.crop.heads_share + part) // WHOLE_SHARE, free)
            part = 0

    def _pickings(self, unit: Standing, plants: int, until: date | None) -> Iterable[_Chunk]:
        """Yield the pickings to come: of seedlings from the next day on which they may be set into a bed."""
        farm, crop, picking = self.farm, self.crop, self.crop.picking
        if picking is None:
            return
        beds = [bed for bed in farm.places_of(PlaceKind.BED) if may_stand(crop, bed)]
        since = farm.calendar.day_of(unit.since)
        if unit.item == TRAY:
            ready = farm.pace.first_day_reached(
                self._owner(unit.place, StageKind.TRAY), since, crop.tray.days
            )
            ready = max(ready, farm.today)
            since = next(iter(farm.calendar.open_days(Work.RAFT, ready, ready + YEAR)), ready)
        else:
            beds = [bed for bed in beds if bed.name == unit.place]
        for bed in beds[:1]:
            gone = 0
            for pick in picks_of(picking, farm.pace, bed.name, since, crop.finish.days):
                now = pick.most(plants, picking.curve, crop.heads_share)
                heads, gone = (now, now) if pick.part == 1 else (now - gone, now)
                if pick.day >= farm.today and (until is None or farm.date_of(pick.day) > until):
                    yield _Chunk(heads, [pick.day])

    def _owner(self, place: str, kind: StageKind) -> str:
        for each in self.farm.places_of(PLACE_OF[kind]):
            if place in (each.name, each.belongs_to):
                return each.belongs_to
        return ""

    def _until(self, unit: Standing, content: Content) -> date | None:
        """Return the last day on which plants may not be cut; None for any day."""
        held = self.held.get(unit.place)
        if held is None:
            return content.until
        return max(content.until or held.last or NEVER, held.last or NEVER)

    def _why(self, demand: Demand) -> str:
        facts = self.state.lots.get(self.lot.lot)
        if facts is None:
            return "not sown by the records"
        if self.held:
            held = next(iter(self.held.values()))
            return f"{held.why} {f'through {full_day(held.last)}' if held.last else 'without end'}"
        days = [day for chunk in self.chunks for day in chunk.days]
        if not days:
            return "nothing of it stands that could be cut"
        first = min(days)
        if first > demand.last:
            return f"what stands of it can be cut from {full_day(self.farm.date_of(first))}"
        if max(days) < demand.first - demand.max_age:
            return f"what stands of it must be cut by {full_day(self.farm.date_of(max(days)))}"
        later = [day for day in days if day > demand.last]
        if later and not any(_serves(demand, day) for day in days):
            return f"what stands of it is not cut again before {full_day(self.farm.date_of(min(later)))}"
        return "fewer plants than planned"


def _serves(demand: Demand, cut: int) -> bool:
    if demand.is_target:
        return demand.first <= cut <= demand.last
    return 0 <= demand.first - cut <= demand.max_age


def _expected_of(crop: Crop, contents: Sequence[Content]) -> int:
    """Return the plants of some contents that can be counted on, those counted alike taken together."""
    by_form = by_word((content.form, content.plants) for content in contents)
    blank = replace(contents[0], form=PLANTS)
    return sum(expected(crop, replace(blank, form=form, plants=plants)) for form, plants in by_form.items())

"""How full each place and each kind of equipment is: day by day, by week and on its fullest day."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind
from scheduler.plan.rows import Plan
from scheduler.plan.views.fullest import Full, fullest, week_spans

Days = Mapping[int, tuple[int, int]]
"""Day -> (slots or units used, slots or units there are)."""

_CALLED = {
    PlaceKind.TIER: "shelf",
    PlaceKind.ZONE: "board zone",
    PlaceKind.LANE: "trough",
    PlaceKind.BED: "bed",
}
UNITS = {PlaceKind.TIER: "tray", PlaceKind.ZONE: "board", PlaceKind.LANE: "raft", PlaceKind.BED: "plant"}
"""What stands in each kind of place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UseWeek:
    """Use in one week, or in the part of it that is planned.

    Attributes:
        first, last: its days.
        days: how many of them are known.
        used, there: slots (or units) in use and there are, added up over them.
        peak: its fullest day.
        most: the most there are on any of its days.
    """

    first: int
    last: int
    days: int
    used: int
    there: int
    peak: Full
    most: int

    @property
    def mean(self) -> float:
        """Slots or units in use on a day, on average."""
        return self.used / self.days


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceUse:
    """Use of one place against its limit.

    Attributes:
        name: shelf, board zone or trough, or kind of equipment.
        called: ``shelf``, ``board zone`` or ``trough``; of equipment its item, such as ``tray``.
        unit: what stands in it: ``tray``, ``board`` or ``raft``.
        weeks: week by week.
        peak: the fullest day of all.
    """

    name: str
    called: str
    unit: str
    weeks: tuple[UseWeek, ...]
    peak: Full

    @property
    def used(self) -> int:
        """Slot-days (or unit-days) in use."""
        return sum(week.used for week in self.weeks)

    @property
    def there(self) -> int:
        """Slot-days (or unit-days) there are."""
        return sum(week.there for week in self.weeks)


def place_use(farm: Farm, plan: Plan) -> tuple[PlaceUse, ...]:
    """Return the use of each place: tiers of a shelf and rows of a trough together, board zones alone."""
    groups = _groups(farm)
    days = place_days(farm, plan)
    return tuple(
        _use(farm, name, (_CALLED[places[0].kind], UNITS[places[0].kind]), days[name])
        for name, places in groups.items()
    )


def equipment_use(farm: Farm, plan: Plan) -> tuple[PlaceUse, ...]:
    """Return the use of each kind of equipment, what is being washed included; all domes are one pool."""
    items = {name: kind.item for name, kind in farm.equipment.items()}
    return tuple(
        _use(farm, name, (items.get(name, "dome"),) * 2, days)
        for name, days in equipment_days(farm, plan).items()
        if days
    )


def place_days(farm: Farm, plan: Plan) -> dict[str, dict[int, tuple[int, int]]]:
    """Return (used, there) by place and day, places as :func:`place_use` has them."""
    used: dict[str, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for row in plan.use:
        used[row.place][row.day] += row.used
    return {
        name: {
            day: (
                sum(used[place.name][day] for place in places),
                sum(place.slots.on(day) for place in places),
            )
            for day in range(farm.today, farm.calendar.days)
        }
        for name, places in _groups(farm).items()
    }


def equipment_days(farm: Farm, plan: Plan) -> dict[str, dict[int, tuple[int, int]]]:
    """Return (in use or being washed, owned) by kind and day."""
    sums: dict[str, dict[int, tuple[int, int]]] = {
        name: {} for name, kind in farm.equipment.items() if kind.item != "dome"
    }
    for row in plan.equipment:
        if farm.today <= row.day < farm.calendar.days:
            sums.setdefault(row.kind, {})[row.day] = (row.in_use + row.washing, row.owned)
    return sums


def _groups(farm: Farm) -> dict[str, list[Place]]:
    groups: dict[str, list[Place]] = defaultdict(list)
    for place in farm.places:
        groups[whole_of(place)].append(place)
    return groups


def whole_of(place: Place) -> str:
    """Return the shelf, trough or bed that a place is told as a part of; a board zone is told by itself."""
    return place.name if place.kind is PlaceKind.ZONE else place.belongs_to


def _use(farm: Farm, name: str, called: tuple[str, str], days: Days) -> PlaceUse:
    weeks = [
        (first, last, [day for day in range(first, last + 1) if day in days])
        for first, last in week_spans(farm)
    ]
    return PlaceUse(
        name=name,
        called=called[0],
        unit=called[1],
        weeks=tuple(
            _week((first, last), {day: days[day] for day in known}) for first, last, known in weeks if known
        ),
        peak=_fullest(days),
    )


def _fullest(days: Days) -> Full:
    """Return the fullest of some days; there must be one."""
    peak = fullest((day, *amounts) for day, amounts in days.items())
    assert peak is not None
    return peak


def _week(week: tuple[int, int], days: Days) -> UseWeek:
    return UseWeek(
        first=week[0],
        last=week[1],
        days=len(days),
        used=sum(used for used, _ in days.values()),
        there=sum(there for _, there in days.values()),
        peak=_fullest(days),
        most=max(there for _, there in days.values()),
    )


def evening_crates(farm: Farm, plan: Plan) -> dict[int, tuple[tuple[str, int, int], ...]]:
    """Return day -> (cooler, crates in it that evening, crates there is room for), coolers in use only."""
    found: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for row in plan.coolers:
        found[row.day][row.cooler] += row.crates
    room = {cooler.name: cooler.crates for cooler in farm.coolers}
    return {
        day: tuple((name, crates[name], room[name]) for name in room if crates[name])
        for day, crates in found.items()
    }


def fullest_coolers(farm: Farm, plan: Plan) -> list[tuple[str, Full]]:
    """Return each cooler with its fullest day, ``used`` and ``there`` in crates."""
    crates: dict[str, dict[int, int]] = {cooler.name: defaultdict(int) for cooler in farm.coolers}
    for row in plan.coolers:
        if row.day < farm.calendar.days:
            crates[row.cooler][row.day] += row.crates
    found = []
    for cooler in farm.coolers:
        days = crates[cooler.name] or {farm.today: 0}
        day = min(days, key=lambda each: -days[each])
        found.append((cooler.name, Full(day=day, used=days[day], there=cooler.crates)))
    return found

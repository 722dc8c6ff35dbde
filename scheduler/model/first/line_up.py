"""Which crops keep to which rows on a farm of many rows: crops of like stay stand side by side.

A steady week in fractions says how many slots each crop takes. Along the rows, the crops are lined up by
their days on rafts, each as wide as its slots: rows that only one crop reaches are one bundle of its own, and
a row where two meet is shared by both. So a crop has few rows to choose from, and what shares a row leaves it
in nearly the order it came.
"""

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from math import ceil, floor

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.model.build import build
from scheduler.model.first.cycle import cycle_frame
from scheduler.model.first.start import all_homes
from scheduler.model.goals import steady_blend
from scheduler.model.options.frame import Frame
from scheduler.model.options.pools import Bundle, pools_of, shrinks
from scheduler.model.solver.linear import fractions_of
from scheduler.model.variables.decisions import Homes

MANY_ROWS = 24
"""From more rows than this on they are lined up; with fewer, a steady week finds the rows of each crop."""

NOTHING = 0.01
"""Slots below which a crop takes none: a rounding of the solver."""

CLOSE = 1e-6
"""Part of a row that is a rounding as well."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineUp:
    """Bundles of rows, and those each crop keeps to."""

    bundles: tuple[Bundle, ...]
    homes: Homes


def has_many_rows(farm: Farm) -> bool:
    """Say whether a farm's rows are lined up."""
    return len(farm.places_of(PlaceKind.LANE)) > MANY_ROWS


def line_up(season: Frame, pulse: Callable[[], None]) -> LineUp | None:
    """Line the rows of a season up; None where a steady week takes none of them.

    Raises:
        Exception: whatever ``pulse``, which is called on the way, raises to give the work up.
    """
    farm = season.farm
    classes = _classes(farm)
    slots = _slots_by_class(season, classes, pulse)
    if not slots:
        return None
    bundles: list[Bundle] = []
    homes: dict[str, set[str]] = defaultdict(set)
    for one in classes:
        for lanes, crops in lined_up(one.places, slots.get(one.name, {}), lambda crop: _stay(farm, crop)):
            bundles.append(replace(one, name=lanes[0].name, pace_of=lanes[0].belongs_to, places=lanes))
            for crop in crops:
                homes[crop].add(lanes[0].name)
    return LineUp(bundles=tuple(bundles), homes=all_homes(season, homes))


def lined_up_as(farm: Farm, crops_in: Mapping[str, Set[str]]) -> tuple[Bundle, ...]:
    """Return bundles for rows that are in use: neighbours in which only one crop stands, or none, are one.

    Args:
        farm: the farm.
        crops_in: row -> crops that stand in it.
    """
    found: list[Bundle] = []
    for one in _classes(farm):
        reached = [crops_in.get(lane.name, frozenset()) for lane in one.places]
        for lanes, _ in _together(one.places, reached):
            found.append(replace(one, name=lanes[0].name, pace_of=lanes[0].belongs_to, places=lanes))
    return tuple(found)


def lined_up(
    lanes: Sequence[Place], slots: Mapping[str, float], stay: Callable[[str], int]
) -> list[tuple[tuple[Place, ...], frozenset[str]]]:
    """Return rows that go together, and the crops that stand in them, along the rows.

    Args:
        lanes: rows that are alike.
        slots: crop -> slots it takes; all together are taken to fill the rows.
        stay: crop -> days a raft of it stands.
    """
    total = sum(slots.values())
    reached: list[set[str]] = [set() for _ in lanes]
    at = 0.0
    for crop in sorted(slots, key=lambda name: (stay(name), name)):
        end = at + slots[crop] * len(lanes) / total
        for number in range(floor(at + CLOSE), min(len(lanes), max(ceil(end - CLOSE), 1))):
            reached[number].add(crop)
        at = end
    return _together(lanes, reached)


def _together(
    lanes: Sequence[Place], reached: Sequence[Set[str]]
) -> list[tuple[tuple[Place, ...], frozenset[str]]]:
    """Put neighbours of one trough together that the same one crop reaches, or none."""
    found: list[tuple[list[Place], Set[str]]] = []
    for lane, crops in zip(lanes, reached, strict=True):
        joins = found and len(crops) <= 1 and found[-1][1] == crops
        if joins and found[-1][0][-1].belongs_to == lane.belongs_to:
            found[-1][0].append(lane)
        else:
            found.append(([lane], crops))
    return [(tuple(each), frozenset(crops)) for each, crops in found]


def _classes(farm: Farm) -> list[Bundle]:
    """Return the rows that are alike in pace, slots and allowed crops, whatever trough they are in."""
    pool_of = {place.name: pool for pool in pools_of(farm, PlaceKind.LANE) for place in pool.places}
    groups: dict[tuple[str, Steps, tuple[str, ...], str], list[Place]] = defaultdict(list)
    for lane in farm.places_of(PlaceKind.LANE):
        crops = tuple(crop.name for crop in farm.crops.values() if lane.name in crop.lanes)
        # A row that rests between crops is watched by itself.
        alone = lane.name if shrinks(lane) or lane.rest else ""
        groups[pool_of[lane.name].name, lane.slots, crops, alone].append(lane)
    return [
        Bundle(name=lanes[0].name, pace_of=lanes[0].belongs_to, places=tuple(lanes), pool=pool)
        for (pool, _, _, _), lanes in groups.items()
    ]


def _slots_by_class(
    season: Frame, classes: Sequence[Bundle], pulse: Callable[[], None]
) -> dict[str, dict[str, float]]:
    """Return the most slots each crop takes in each class of rows on a day of a steady week in fractions."""
    farm = season.farm
    week = cycle_frame(farm, season, 7)
    free = replace(week, farm=replace(week.farm, rules=replace(farm.rules, lift_out=True, lift_minutes=0)))
    loose = build(free, tuple(classes), pulse=pulse)
    loose.model.minimize(steady_blend(loose.chosen))
    values = fractions_of(loose.model, pulse)
    if values is None:
        return {}
    used: dict[tuple[str, str], dict[int, float]] = defaultdict(lambda: defaultdict(float))
    for queue, days in loose.chosen.queues.items():
        for leaves, rafts in days.items():
            for day in range(week.start, week.start + week.period):
                standing = values[rafts.index] * week.copies(queue.enters, leaves, day)
                used[queue.bundle, queue.raft_class.crop][day] += standing
    found: dict[str, dict[str, float]] = defaultdict(dict)
    for (name, crop), by_day in used.items():
        if max(by_day.values()) > NOTHING:
            found[name][crop] = max(by_day.values())
    return found


def _stay(farm: Farm, crop: str) -> int:
    grown = farm.crops[crop]
    return grown.finish.days + (grown.cuts - 1) * grown.cut_interval

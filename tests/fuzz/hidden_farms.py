"""Farms made for a hidden plan: batches are written down first, and from them a farm that they just fit.

``hidden_farm(seed)`` has a tenth more of every slot, tray, board, raft and dome than its hidden plan needs,
and deliveries of exactly what that plan gives, so a plan that fills everything is known to exist. Farms
differ in routes (boards or not, greens cut in trays, plugs), kinds of raft, repeat cuts, days of work and
closed days, places, washing, rest of rows, what grows on the first day, and in how what is cut is ordered.
"""

import random
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from farms import EVER, EVERY_DAY, OPEN, RAFT, delivery, growing, make_crop, make_farm, make_greens, target
from larger import most

from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Demand, Equipment, Farm, Growing
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.farm.units import WHOLE_SHARE, ceil_div, needed_for, share_down

DAYS = 56
SMALL_RAFT = "4-hole raft"
HOLES = {RAFT: 6, SMALL_RAFT: 4}
PER_BOARD, PER_TRAY = 12, 20
WEEKS = (EVERY_DAY, frozenset({0, 3}), frozenset({1, 4}), frozenset({0, 2, 4}))
RAFTED, GREENS, PLUGS = "rafted", "greens", "plugs"

Stay = tuple[int, int, int]
"""From, until, how many."""


@dataclass(frozen=True, kw_only=True)
class Ways:
    """How a farm works.

    Attributes:
        week: kind of work -> weekdays.
        closed: kind of work -> days on which it stops all the same.
        rows: names of the rows.
        rest: days a row stays empty between two crops.
        wash: days of washing.
        domes: days every tray stands under a dome; 0 where there are none.
    """

    week: dict[Work, frozenset[int]]
    closed: dict[Work, frozenset[int]]
    rows: Sequence[str]
    rest: int
    wash: int
    domes: int

    def days(self, work: Work, first: int, last: int) -> list[int]:
        """Return the days for some work from first through last; day 0 is a Monday."""
        return [
            day
            for day in range(max(first, 0), last + 1)
            if day % 7 in self.week[work] and day not in self.closed[work]
        ]


@dataclass(frozen=True, kw_only=True)
class Path:
    """One batch of the hidden plan: its days, and the units it stands in.

    ``board_day`` and ``raft_day`` are None where its crop has no such stage; ``sown`` and ``raft_day`` below
    0 are those of what grows on the first day, and then no day of an earlier stage counts.
    """

    crop: Crop
    sown: int | None
    board_day: int | None
    raft_day: int | None
    units: int
    cuts: tuple[int, ...]


@dataclass
class Needs:
    """What the hidden plan takes, as stays by kind of equipment and by place."""

    owned: dict[str, list[Stay]] = field(default_factory=lambda: defaultdict(list))
    standing: dict[str, list[Stay]] = field(default_factory=lambda: defaultdict(list))
    heads: dict[tuple[str, int], int] = field(default_factory=lambda: defaultdict(int))
    growing: list[Growing] = field(default_factory=list)


def any_ways(draw: random.Random) -> Ways:
    """Return how a farm works."""
    closed = {work: frozenset(draw.sample(range(DAYS), draw.choice((0, 0, 2, 4)))) for work in Work}
    return Ways(
        week={work: draw.choice(WEEKS) for work in Work},
        closed=closed,
        rows=[f"Trough {number}" for number in range(1, draw.randint(1, 3) + 1)],
        rest=draw.choice((0, 0, 0, 2)),
        wash=draw.choice((0, 0, 1, 2)),
        domes=draw.choice((0, 0, 2, 3)),
    )


def any_crop(draw: random.Random, name: str) -> Crop:
    """Return a crop of few days: on rafts with or without boards, from plugs, or cut in its trays."""
    share = lambda: draw.choice((WHOLE_SHARE, 9_500, 9_000))  # noqa: E731
    way = draw.choice((RAFTED, RAFTED, RAFTED, PLUGS, GREENS))
    cuts = draw.choice((1, 1, 2, 3))
    again = {"cuts": cuts, "interval": draw.randint(4, 6) if cuts > 1 else 0, "saleable": share()}
    if way == GREENS:
        grams = draw.choice((0, 150, 230))
        days = {"days": draw.randint(5, 9), "window": draw.randint(2, 4)}
        return make_greens(name, grams=grams, survival=share(), **days, **again)
    kind = draw.choice(tuple(HOLES))
    board = (draw.randint(4, 6), 4, share()) if draw.random() < 0.5 else None
    made = make_crop(
        name,
        tray=(draw.randint(4, 7), 4, share()),
        board=None if way == PLUGS else board,
        raft=(draw.randint(5, 9), draw.randint(3, 5), share()),
        kinds=("20-cell tray", "12-hole board", kind),
        per_raft=HOLES[kind],
        **again,
    )
    if way != PLUGS:
        return made
    return replace(made, bought=True, route=(replace(made.tray, days=0), *made.route[1:]))


def any_path(draw: random.Random, ways: Ways, crop: Crop) -> Path | None:
    """Return a batch on days that suit, or None where none were drawn."""
    found = draw.random() < 0.25 and not ways.domes
    sown = -draw.randint(1, 5) if found else _one(draw, ways.days(Work.SOW, 0, 14))
    if sown is None:
        return None
    board_day, ready = None, sown + crop.tray.days
    latest = ready + crop.tray.wait
    if crop.board:
        board_day = _one(draw, ways.days(Work.TRANSPLANT, ready, latest))
        if board_day is None:
            return None
        ready, latest = board_day + crop.board.days, board_day + crop.board.days + crop.board.wait
    raft_day = None
    if not crop.is_cut_in_trays:
        on_raft = found and draw.random() < 0.6
        raft_day = -draw.randint(1, 5) if on_raft else _one(draw, ways.days(Work.RAFT, ready, latest))
        if raft_day is None:
            return None
        if on_raft:
            sown = board_day = None
    elif found:
        return None
    first = raft_day + crop.finish.days if raft_day is not None else ready
    cuts = _any_cuts(draw, ways, crop, first)
    return Path(
        crop=crop, sown=sown, board_day=board_day, raft_day=raft_day, units=draw.randint(1, 3), cuts=cuts
    ) if cuts else None  # fmt: skip


def _any_cuts(draw: random.Random, ways: Ways, crop: Crop, first: int) -> tuple[int, ...]:
    cuts: list[int] = []
    for _ in range(crop.cuts):
        day = _one(draw, ways.days(Work.HARVEST, first, first + crop.finish.wait))
        if day is None or day >= DAYS - 4:
            break
        cuts.append(day)
        first = day + crop.cut_interval
    return tuple(cuts)


def _one(draw: random.Random, days: Sequence[int]) -> int | None:
    return draw.choice(days) if days else None


def hidden_farm(seed: int) -> Farm:
    """Return the farm of a seed."""
    draw = random.Random(seed)
    while True:
        ways = any_ways(draw)
        crops = [any_crop(draw, name) for name in ("Lettuce", "Kale", "Cress")[: draw.randint(1, 3)]]
        drawn = [any_path(draw, ways, draw.choice(crops)) for _ in range(draw.randint(4, 9))]
        paths = [path for path in drawn if path is not None]
        if len(paths) > 1:
            needs = _needs(draw, ways, paths)
            if needs.heads:
                return _built(draw, ways, crops, needs)


def _needs(draw: random.Random, ways: Ways, paths: Iterable[Path]) -> Needs:
    """Stand the batches in rows, none leaving before the one ahead of it, and add up what they take."""
    needs = Needs()
    crop_of: dict[str, str] = {}
    leaves: dict[str, int] = defaultdict(int)
    rank: dict[str, int] = defaultdict(int)
    order = sorted(paths, key=lambda path: (path.raft_day or 0, path.crop.name, path.cuts))
    for number, path in enumerate(order):
        row = ""
        if path.raft_day is not None:
            rows = [
                row
                for row in ways.rows
                if not ways.rest or crop_of.get(row, path.crop.name) == path.crop.name
            ]
            if not rows:
                continue
            row = draw.choice(rows)
            crop_of[row] = path.crop.name
            leaves[row] = max(leaves[row], path.cuts[-1])
            rank[row] += path.units if path.raft_day < 0 else 0
        _add(needs, ways, path, row, leaves[row] if row else path.cuts[-1])
        _stand_already(needs, path, row, f"G{number}", rank[row])
    return needs


def _add(needs: Needs, ways: Ways, path: Path, row: str, leaves: int) -> None:
    crop = path.crop
    plants = path.units * crop.finish.plants_per_unit
    if path.raft_day is not None:
        stay = (path.raft_day, leaves, path.units)
        needs.standing[row].append(stay)
        needs.owned[crop.finish.unit].append((path.raft_day, leaves + ways.wash, path.units))
    seedlings = plants
    if path.board_day is not None and crop.board and path.raft_day is not None:
        seedlings = needed_for(plants, crop.board.survival)
        boards = ceil_div(seedlings, PER_BOARD)
        needs.standing["boards"].append((path.board_day, path.raft_day, boards))
        needs.owned[crop.board.unit].append((path.board_day, path.raft_day + ways.wash, boards))
    if path.sown is not None:
        trays, out = path.units, path.cuts[-1]
        if path.raft_day is not None:
            cells = seedlings if path.sown < 0 else needed_for(seedlings, crop.tray.survival)
            trays = ceil_div(cells, PER_TRAY)
            out = path.raft_day if path.board_day is None else path.board_day
        needs.standing["shelves"].append((path.sown, out, trays))
        needs.owned[crop.tray.unit].append((path.sown, out + ways.wash, trays))
        if ways.domes:
            needs.owned["dome"].append((path.sown, path.sown + ways.domes + ways.wash, trays))
    for day in path.cuts:
        needs.heads[crop.name, day] += share_down(plants, crop.heads_share)


def _stand_already(needs: Needs, path: Path, row: str, lot: str, rank: int) -> None:
    """Note what stands on the first day: rafts in the order of their row, or seedlings in trays."""
    crop = path.crop
    if path.raft_day is not None and path.raft_day < 0:
        plants = path.units * crop.finish.plants_per_unit
        needs.growing.append(
            growing(
                crop.name, StageKind.RAFT, path.raft_day, plants, path.units, lot=lot, place=row, order=rank
            )
        )
    elif path.sown is not None and path.sown < 0:
        plants = path.units * crop.finish.plants_per_unit
        plants = needed_for(plants, crop.board.survival) if crop.board else plants
        units = ceil_div(plants, PER_TRAY)
        needs.growing.append(growing(crop.name, StageKind.TRAY, path.sown, plants, units, lot=lot, order=0))


def _slots(draw: random.Random, stays: Sequence[Stay]) -> Steps:
    """Return slots of a place: the same all the time, or others from some day on."""
    if draw.random() < 0.6:
        return Steps(((EVER, most(stays)),))
    days = [EVER, *sorted(draw.sample(range(5, 40), 2)), -EVER]
    return Steps(tuple((first, most(stays, first, until)) for first, until in pairwise(days)))


def _places(draw: random.Random, ways: Ways, needs: Needs) -> tuple[Place, ...]:
    """Return a shelf of one or two tiers, board zones and rows, as large as the hidden plan needs them."""

    def place(name: str, owner: str, kind: PlaceKind, slots: Steps) -> Place:
        rest = ways.rest if kind is PlaceKind.LANE else 0
        return Place(name=name, belongs_to=owner, kind=kind, slots=slots, rest=rest)

    made = []
    for name, owner, kind in (("shelves", "Shelf", PlaceKind.TIER), ("boards", "Trough", PlaceKind.ZONE)):
        slots = _slots(draw, needs.standing[name])
        names = ("Shelf 1", "Shelf 2") if kind is PlaceKind.TIER else ("Trough boards", "Trough boards 2")
        halves = [slots]
        if slots.highest() > 3 and draw.random() < 0.4 and not needs.growing:
            halves = [
                Steps(tuple((day, number // 2) for day, number in slots.steps)),
                Steps(tuple((day, number - number // 2) for day, number in slots.steps)),
            ]
        made += [place(name, owner, kind, each) for name, each in zip(names, halves, strict=False)]
    made += [place(row, "Trough", PlaceKind.LANE, _slots(draw, needs.standing[row])) for row in ways.rows]
    return tuple(made)


def _equipment(ways: Ways, needs: Needs) -> dict[str, Equipment]:
    cells = {"20-cell tray": ("tray", 20, 5), OPEN: ("tray", 1, 1), "12-hole board": ("board", 12, 1),
             RAFT: ("raft", 6, 1), SMALL_RAFT: ("raft", 4, 1), "dome": ("dome", 0, 1)}  # fmt: skip
    return {
        name: Equipment(
            name=name, item=item, holes=holes, rows=rows, owned=most(needs.owned[name]), wash_days=ways.wash
        )
        for name, (item, holes, rows) in cells.items()
        if name != "dome" or ways.domes
    }


def _demands(draw: random.Random, crops: Sequence[Crop], needs: Needs) -> list[Demand]:
    """Order what is cut: whole or in two deliveries, fresh or kept, firm or flexible, by day or by week."""
    of = {crop.name: crop for crop in crops}
    made = []
    for (name, day), heads in sorted(needs.heads.items()):
        units = heads // 40 if of[name].grams else heads
        parts = [units // 3, units - units // 3] if draw.random() < 0.3 else [units]
        for part, amount in enumerate(parts):
            if amount <= 0:
                continue
            called, rank = f"{name} {day} {part}", draw.randint(1, 4)
            if draw.random() < 0.15:
                first = max(0, day - draw.randint(0, 6))
                made.append(target(name, first, amount, name=called, priority=rank))
                continue
            age = draw.randint(0, 2)
            on, firm = day + draw.randint(0, age), draw.random() < 0.8
            made.append(delivery(name, on, amount, name=called, max_age=age, priority=rank, firm=firm))
    return made


def _built(draw: random.Random, ways: Ways, crops: Sequence[Crop], needs: Needs) -> Farm:
    products = {crop.name: {crop.name: (40_000 if crop.grams else 1000)} for crop in crops}
    if ways.domes:
        crops = [replace(crop, handling=replace(crop.handling, dome_days=ways.domes)) for crop in crops]
    farm = make_farm(
        days=DAYS,
        crops=crops,
        products=products,
        demands=_demands(draw, crops, needs),
        growing=needs.growing,
        work_days=ways.week,
        closed=ways.closed,
        lanes=len(ways.rows),
        rules={"all_or_nothing": draw.random() < 0.15, "lift_out": draw.random() < 0.15},
    )
    return replace(farm, places=_places(draw, ways, needs), equipment=_equipment(ways, needs))

"""Small farms built in code, for tests: ``make_farm(...)`` with a default for everything.

The default farm, from Monday 2 March 2026 (day 0): one tier ``Shelf 1`` of 8 trays, one board zone
``Trough boards`` of 8 boards, one row ``Trough 1`` of 6 rafts; every kind of work on every day; plenty
of trays (20 cells in 5 rows), boards (12 holes) and rafts (6 holes); one crop, ``Lettuce``, that loses
nothing: 10 days in trays, 10 on boards, 14 on rafts, each with a few days' wait. Every crop has a
product of its own name at one plant a unit.

    make_farm()
    make_farm(lanes=2, lane_slots=4, rafts=10, rules={"lift_out": True})
    make_farm(crops=[make_crop("Basil", board=None, cuts=3, interval=7)], demands=[delivery("Basil", 40, 6)])
    make_farm(crops=[make_greens("Cress", days=8, window=2, grams=150)], open_trays=10)
    make_farm(pace={"Trough": 500}, closed={Work.SOW: [0]}, crew=60_00, today=3, growing=[growing(...)])
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from scheduler.farm.calendar import Calendar, Work
from scheduler.farm.chores import ChoreDay
from scheduler.farm.coolers import Cooler, Crating
from scheduler.farm.crops import Crop, Handling, Minutes, Stage, StageKind
from scheduler.farm.farm import Demand, Equipment, Farm, Growing, HouseRules, MixPart, Product
from scheduler.farm.from_book.beds import with_picking_days
from scheduler.farm.growth.pace import Pace
from scheduler.farm.growth.picking import Picking
from scheduler.farm.orders.outlets import OutletWeek, Stall, Step
from scheduler.farm.places import Keeps, Place, PlaceKind, Steps
from scheduler.farm.units import WHOLE_SHARE

FIRST_DAY = date(2026, 3, 2)
EVER = -10_000
STAGES = (StageKind.TRAY, StageKind.BOARD, StageKind.RAFT)
TRAY, BOARD, RAFT = "20-cell tray", "12-hole board", "6-hole raft"
OPEN = "open tray"
EVERY_DAY = frozenset(range(7))


@dataclass(frozen=True, kw_only=True)
class CropNeeds:
    """Keywords of ``make_crop``.

    ``tray``, ``board`` and ``raft`` are (days, wait, survival in parts of ten thousand); ``board`` may be
    None. ``lanes`` None means every lane of the farm; ``minutes`` and ``handling`` are keywords of those.
    """

    name: str
    code: str = ""
    tray: tuple[int, int, int] = (10, 3, WHOLE_SHARE)
    board: tuple[int, int, int] | None = (10, 3, WHOLE_SHARE)
    raft: tuple[int, int, int] = (14, 6, WHOLE_SHARE)
    per_tray: int = 20
    per_board: int = 12
    per_raft: int = 6
    cuts: int = 1
    interval: int = 0
    saleable: int = WHOLE_SHARE
    lanes: Iterable[str] | None = None
    sowing: tuple[tuple[int, int], ...] = ((EVER, -EVER),)
    kinds: tuple[str, str, str] = (TRAY, BOARD, RAFT)
    bed: tuple[int, int] | None = None
    curve: tuple[int, ...] = (2000, 2000)
    a_week: int = 7
    by_mass: bool = False
    beds: Iterable[str] = ()
    crating: Crating | None = None
    handling: Mapping[str, int] = field(default_factory=dict)
    minutes: Mapping[str, int] = field(default_factory=dict)


def make_crop(name: str, **needs: Any) -> Crop:
    """Return a crop; keywords as in ``CropNeeds``."""
    want = CropNeeds(name=name, **needs)
    per = (want.per_tray, want.per_board, want.per_raft)
    route = tuple(
        Stage(kind=kind, unit=unit, plants_per_unit=plants, days=days[0], wait=days[1], survival=days[2])
        for kind, unit, plants, days in zip(
            STAGES, want.kinds, per, (want.tray, want.board, want.raft), strict=True
        )
        if days is not None and (want.bed is None or kind is StageKind.TRAY)
    )
    picking = None
    if want.bed is not None:
        picking = Picking(
            beds=frozenset(want.beds), curve=want.curve, a_week=want.a_week, by_mass=want.by_mass
        )
        days, survival = want.bed
        wait = 7 * len(want.curve)
        bed = Stage(kind=StageKind.BED, unit="", plants_per_unit=1, days=days, wait=wait, survival=survival)
        route = (*route, bed)
    return Crop(
        name=want.name,
        code=want.code or want.name[:3].upper(),
        variety=f"{want.name} one",
        card="",
        route=route,
        cuts=want.cuts,
        cut_interval=want.interval,
        saleable=want.saleable,
        lanes=frozenset(want.lanes or ()),
        sowing=want.sowing,
        seed_share=want.tray[2],
        margin=0,
        handling=Handling(**want.handling),
        minutes=Minutes(**want.minutes),
        picking=picking,
        crating=want.crating,
    )


def market(product: str, days: Sequence[int], *steps: tuple[int, int], age: int = 1) -> OutletWeek:
    """Return one week of an outlet ``Market`` that sells on some days; steps are (units, price)."""
    return OutletWeek(
        outlet="Market",
        product=product,
        stalls=tuple(Stall(name=f"Market | {product} | {day}", day=day) for day in days),
        steps=tuple(Step(amount=amount, price=price) for amount, price in steps),
        max_age=age,
    )


def make_mix(name: str, weight: int, *parts: tuple[str, int, int, int, int]) -> Product:
    """Return a mix of some grams a bag; parts are (crop, least, usual, most percent, grams of a head)."""
    made = tuple(
        MixPart(crop=crop, least=least * 100, usual=usual * 100, most=most * 100, grams=grams * 100)
        for crop, least, usual, most, grams in parts
    )
    sources = {part.crop: -(-part.most * weight * 100 * 1000 // (WHOLE_SHARE * part.grams)) for part in made}
    return Product(name=name, pack="bag", sources=sources, parts=made, weight=weight * 100)


def make_greens(name: str, *, days: int, window: int, grams: int = 0, **needs: Any) -> Crop:
    """Return a crop cut in open trays (in 20-cell trays without ``grams``); one tray gives so many grams."""
    grown = make_crop(name, tray=(days, window, needs.pop("survival", WHOLE_SHARE)), board=None, **needs)
    tray = replace(grown.tray, unit=OPEN, plants_per_unit=1) if grams else grown.tray
    return replace(grown, route=(tray,), grams=grams, sown_by_mass=grams > 0)


def delivery(product: str, day: int, amount: int, **changes: Any) -> Demand:
    """Return a firm delivery called ``<product> <day>``; any attribute of ``Demand`` may be given."""
    made = Demand(
        name=f"{product} {day}",
        order=product,
        customer="Harbour Table",
        product=product,
        first=day,
        last=day,
        amount=amount,
        firm=True,
        price=100,
        priority=2,
        max_age=1,
        reported=True,
    )
    return replace(made, **changes)


def target(product: str, first: int, amount: int, **changes: Any) -> Demand:
    """Return one week of a target, from ``first`` on; any attribute of ``Demand`` may be given."""
    week = {"last": first + 6, "customer": "", "firm": False, "max_age": 0, "is_target": True}
    return delivery(product, first, amount, **(week | changes))


def growing(crop: str, stage: StageKind, since: int, plants: int, units: int, **changes: Any) -> Growing:
    """Return plants that stand on day 0, in lot ``G`` and the default place of their stage unless given."""
    places = {
        StageKind.TRAY: "Shelf",
        StageKind.BOARD: "Trough",
        StageKind.RAFT: "Trough 1",
        StageKind.BED: "Bed",
    }
    made = Growing(
        lot="G", crop=crop, stage=stage, place=places[stage], since=since, plants=plants, units=units, order=1
    )
    return replace(made, **changes)


def chore(day: int, minutes: int, **changes: Any) -> ChoreDay:
    """Return a chore on a day, of so many hundredths of a minute; any attribute may be given."""
    made = ChoreDay(chore="Flush the filter", place="", who="", note="", due=day, day=day, minutes=minutes)
    return replace(made, **changes)


def make_cooler(crates: int, temperature: int = 1_00, name: str = "Cold room") -> Cooler:
    """Return a cooler with room for some crates, set to hundredths of a degree C."""
    return Cooler(name=name, crates=crates, temperature=temperature)


@dataclass(frozen=True, kw_only=True)
class FarmNeeds:
    """Keywords of ``make_farm``; every one has a default.

    Attributes:
        days, span: days reported and days planned (None: as many).
        work_days: kind of work -> weekdays (0 is Monday); kinds left out are done every day.
        closed: kind of work -> day numbers on which it stops.
        tiers, tier_slots, zones, zone_slots, lanes, lane_slots: places and slots of each; slots are a
            number, or steps such as ``((EVER, 6), (30, 4))``.
        rest: days a row stays empty between two crops.
        beds: bed -> positions, a number or steps as of slots; clean_days: days of clean-up in each.
        trays, boards, rafts, domes, open_trays: how many are owned.
        keeps: what each tier is kept for, as far as named.
        wash_days: days of washing of every kind.
        crops: crops, each allowed in every lane unless it names its own.
        products: more products, or others under a crop's name: name -> (crop name -> thousandths of a plant).
        mixes: more products, mixes of several crops.
        outlets: weeks of outlets, as ``market`` makes them.
        rules: keywords of ``HouseRules``.
        pace: shelf, trough or "" -> pace of every month in thousandths.
        crew: hundredths of a minute a day, None without a limit.
        chores: chores of the house, see ``chore``.
        coolers: coolers, as ``make_cooler`` makes them.
    """

    first_day: date = FIRST_DAY
    days: int = 98
    span: int | None = None
    work_days: Mapping[Work, Iterable[int]] = field(default_factory=dict)
    closed: Mapping[Work, Iterable[int]] = field(default_factory=dict)
    tiers: int = 1
    keeps: Sequence[Keeps] = ()
    tier_slots: int | tuple[tuple[int, int], ...] = 8
    zones: int = 1
    zone_slots: int | tuple[tuple[int, int], ...] = 8
    lanes: int = 1
    lane_slots: int | tuple[tuple[int, int], ...] = 6
    rest: int = 0
    beds: Mapping[str, int | tuple[tuple[int, int], ...]] = field(default_factory=dict)
    clean_days: int = 0
    trays: int = 50
    boards: int = 50
    rafts: int = 50
    domes: int | None = None
    open_trays: int | None = None
    wash_days: int = 0
    crops: Sequence[Crop] = ()
    products: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    mixes: Sequence[Product] = ()
    outlets: Sequence[OutletWeek] = ()
    demands: Sequence[Demand] = ()
    growing: Sequence[Growing] = ()
    rules: Mapping[str, Any] = field(default_factory=dict)
    pace: Mapping[str, int] = field(default_factory=dict)
    crew: int | None = None
    costs: Mapping[str, int] = field(default_factory=dict)
    today: int = 0
    chores: Sequence[ChoreDay] = ()
    coolers: Sequence[Cooler] = ()


def make_farm(**needs: Any) -> Farm:
    """Return a small farm; keywords as in ``FarmNeeds``, an unknown one is a TypeError."""
    want = FarmNeeds(**needs)
    places = _places(want)
    lanes = frozenset(place.name for place in places if place.kind is PlaceKind.LANE)
    crops = [
        crop if crop.lanes or crop.picking else replace(crop, lanes=lanes)
        for crop in want.crops or [make_crop("Lettuce")]
    ]
    sources = {crop.name: {crop.name: 1000} for crop in crops} | dict(want.products)
    products = {name: Product(name=name, pack="head", sources=made_of) for name, made_of in sources.items()}
    products |= {mix.name: mix for mix in want.mixes}
    calendar = _calendar(want)
    crops = list(_picked(want, crops, calendar, products).values())
    months = {place: dict.fromkeys(range(1, 13), pace) for place, pace in want.pace.items()}
    return Farm(
        name="Test farm",
        currency="EUR",
        length_unit="m",
        mass_unit="kg",
        calendar=calendar,
        rules=HouseRules(**({"hold_days": 1} | dict(want.rules))),
        places=places,
        equipment={kind.name: kind for kind in _equipment(want)},
        crops={crop.name: crop for crop in crops},
        products=products,
        demands=tuple(sorted(want.demands, key=lambda demand: (demand.first, demand.name))),
        growing=tuple(want.growing),
        pace=Pace(first_day=want.first_day, months=months),
        crew=None if want.crew is None else Steps(((EVER, want.crew),)),
        costs=dict(want.costs),
        today=want.today,
        chores=tuple(want.chores),
        coolers=tuple(want.coolers),
        outlets=tuple(want.outlets),
    )


def _picked(
    want: FarmNeeds, crops: Sequence[Crop], calendar: Calendar, products: Mapping[str, Product]
) -> dict[str, Crop]:
    """Return the crops with the beds they may stand in and the days on which they are picked."""
    bedded = {
        crop.name: replace(
            crop, picking=replace(crop.picking, beds=crop.picking.beds or frozenset(want.beds))
        )
        if crop.picking
        else crop
        for crop in crops
    }
    return with_picking_days(bedded, calendar, products, want.demands)


def _calendar(want: FarmNeeds) -> Calendar:
    return Calendar(
        first_day=want.first_day,
        days=want.days,
        span=want.days if want.span is None else want.span,
        work_days={work: frozenset(want.work_days.get(work, EVERY_DAY)) for work in Work},
        closed={work: frozenset(want.closed.get(work, ())) for work in Work},
    )


def _places(want: FarmNeeds) -> tuple[Place, ...]:
    def place(name: str, belongs_to: str, kind: PlaceKind, slots: int | tuple[tuple[int, int], ...]) -> Place:
        steps = ((EVER, slots),) if isinstance(slots, int) else slots
        return Place(name=name, belongs_to=belongs_to, kind=kind, slots=Steps(steps))

    tiers = [place(f"Shelf {n + 1}", "Shelf", PlaceKind.TIER, want.tier_slots) for n in range(want.tiers)]
    kept = [*want.keeps, *[Keeps.ALL] * want.tiers]
    tiers = [replace(tier, keeps=keeps) for tier, keeps in zip(tiers, kept, strict=False)]
    zones = [
        place(
            "Trough boards" if n == 0 else f"Trough boards {n + 1}", "Trough", PlaceKind.ZONE, want.zone_slots
        )
        for n in range(want.zones)
    ]
    lanes = [place(f"Trough {n + 1}", "Trough", PlaceKind.LANE, want.lane_slots) for n in range(want.lanes)]
    lanes = [replace(lane, rest=want.rest) for lane in lanes]
    beds = [
        replace(place(name, name, PlaceKind.BED, slots), clean_days=want.clean_days)
        for name, slots in want.beds.items()
    ]
    return (*tiers, *zones, *lanes, *beds)


def _equipment(want: FarmNeeds) -> list[Equipment]:
    def kind(name: str, item: str, cells: tuple[int, int], owned: int) -> Equipment:
        holes, rows = cells
        return Equipment(name=name, item=item, holes=holes, rows=rows, owned=owned, wash_days=want.wash_days)

    kinds = [
        kind(TRAY, "tray", (20, 5), want.trays),
        kind(BOARD, "board", (12, 1), want.boards),
        kind(RAFT, "raft", (6, 1), want.rafts),
    ]
    if want.open_trays is not None:
        kinds.append(kind(OPEN, "tray", (1, 1), want.open_trays))
    if want.domes is not None:
        kinds.append(kind("dome", "dome", (0, 1), want.domes))
    return kinds

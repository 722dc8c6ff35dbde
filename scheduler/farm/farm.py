"""The farm as one frozen object: everything the planner and the audit know."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from scheduler.farm.calendar import Calendar
from scheduler.farm.chores import ChoreDay, less_chores
from scheduler.farm.coolers import Cooler
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.growth.climate import Climate
from scheduler.farm.growth.pace import Pace
from scheduler.farm.loops.water import Water
from scheduler.farm.orders.boxes import Boxes
from scheduler.farm.orders.missing import weight_of_missing
from scheduler.farm.orders.outlets import OutletWeek
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.farm.supplies import Supply


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """A kind of tray, board, raft or dome.

    Attributes:
        name: its name in the book.
        item: ``tray``, ``board``, ``raft`` or ``dome``.
        holes: cells or holes of one; 0 for domes.
        rows: rows of cells of a tray (a tray is split by whole rows); 1 when it is not split.
        owned: how many there are.
        wash_days: days after it is emptied before it can be used again.
    """

    name: str
    item: str
    holes: int
    rows: int
    owned: int
    wash_days: int

    @property
    def cells_per_row(self) -> int:
        """Cells in one row of a tray."""
        return self.holes // self.rows


@dataclass(frozen=True, slots=True, kw_only=True)
class MixPart:
    """One crop of a mix.

    Attributes:
        crop: its name.
        usual, least, most: shares of the weight, in parts of ten thousand.
        grams: hundredths of a gram that one head gives.
    """

    crop: str
    usual: int
    least: int
    most: int
    grams: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """What is sold.

    Attributes:
        name: its name in the book.
        pack: head, bunch, bag, case, tray or piece.
        sources: crop name -> thousandths of a plant in one unit; of a mix the most a unit may hold.
        parts: of a mix, its parts: a unit holds all of them. Empty where any one of the crops will do.
        weight: of a mix, hundredths of a gram in one unit.
    """

    name: str
    pack: str
    sources: Mapping[str, int]
    parts: tuple[MixPart, ...] = ()
    weight: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Substitute:
    """A product that may stand in for the one a demand asks for.

    Attributes:
        product: name of the product that stands in.
        rank: 1 is taken before 2.
        price: hundredths of money for one unit of it.
    """

    product: str
    rank: int
    price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """Heads of a lot that were cut before the first day and wait for a delivery."""

    lot: str
    crop: str
    cut: int
    heads: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """One dated delivery, or one week of a target.

    Attributes:
        name: unique name, such as ``R1 2026-03-10``.
        order: the standing order, single delivery or target it comes from.
        customer: who gets it; empty for a target.
        product: name of the product.
        first, last: days on which it may be served: equal for a delivery, the days of the week for a target.
        amount: units wanted.
        firm: firm, or flexible (targets are flexible).
        price: hundredths of money for one unit.
        priority: 1 is served first.
        max_age: greatest days from cutting to delivery (0 for a target).
        reported: False for demand past the last reported day.
        is_target: a target's week rather than a delivery.
        substitutes: products that may stand in for the one asked for, first choice first.
        ready: what was cut for it before the first day.
        in_hand: units of it that are cut already, at most ``amount``; the rest is still to be grown.
    """

    name: str
    order: str
    customer: str
    product: str
    first: int
    last: int
    amount: int
    firm: bool
    price: int
    priority: int
    max_age: int
    reported: bool
    is_target: bool = False
    substitutes: tuple[Substitute, ...] = ()
    ready: tuple[Ready, ...] = ()
    in_hand: int = 0

    @property
    def products(self) -> tuple[str, ...]:
        """The product asked for, then those that may stand in for it, first choice first."""
        return (self.product, *(each.product for each in self.substitutes))

    @property
    def weight(self) -> int:
        """What one missing unit weighs: its price by rank, see :func:`weight_of_missing`."""
        return weight_of_missing(self.price, self.priority, reported=self.reported)


@dataclass(frozen=True, slots=True, kw_only=True)
class Growing:
    """Plants of one crop that stand in one place on the first day.

    Attributes:
        lot: lot code.
        crop: crop name.
        stage: where in its route it is.
        place: tier or zone or lane; trays and boards may name the shelf or trough.
        since: day it came into the stage (trays: sown); 0 or negative.
        plants: plants standing; for trays the good seedlings expected, so tray losses are not taken again.
        units: trays, boards or rafts they stand in.
        order: rank in the lane from the harvest end (1 is cut first); in beds the first position; of trays
            and boards the first slot, 0 where that is not known.
        cuts_done: cuts taken already.
        last_cut: day of the last cut, or None.
        not_before: first day on which its plants may be cut, whatever they have grown; None for any.
        together: name of the one unit that it shares with other rows of that name; empty for units of its
            own.
        batch: code that it shares with other rows of the same lot, before they are numbered; empty for none.
        part_heads: what rounding left over of others of the lot, in ten thousandths of a head or gram; it
            counts with its next cut.
    """

    lot: str
    crop: str
    stage: StageKind
    place: str
    since: int
    plants: int
    units: int
    order: int = 0
    cuts_done: int = 0
    last_cut: int | None = None
    not_before: int | None = None
    together: str = ""
    batch: str = ""
    part_heads: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseRules:
    """What the farm allows: see the settings of the book for each."""

    hold_days: int
    share_trays: bool = True
    share_boards: bool = False
    share_rafts: bool = False
    lift_out: bool = False
    lift_minutes: int = 500
    all_or_nothing: bool = False
    supply_weeks: int = 8
    heat: str = "warn"
    freeze_days: int = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Farm:
    """Everything about one farm and one season.

    Attributes:
        name, currency, length_unit, mass_unit: for messages and outputs.
        crew: hundredths of a minute of work there are on a day, as steps; None when not limited.
        costs: cost name -> hundredths of money, names as in the ``costs`` table.
        places: tiers, zones and lanes in the order of the book; rows of a trough from left to right.
        demands: deliveries and target weeks by first day, then name.
        growing: what stands on day 0, rafts of a lane in order from the harvest end.
        today: the first day anything new may be sown or moved; day 0 unless given.
        supplies: seed and packaging that are ordered, in the order of the book.
        raft_areas: trough name -> square metres of one raft or board that floats in it, exact.
        coolers: where heads stand until they are delivered, in the order of the book; none are not counted.
        chores: chores of the house from today on, by day; the crew's hours include them.
        water: fish and the loops of water they share with the plants; None without fish.
        outlets: what markets and stalls take, week by week.
        climate: light, water and air of shelves and troughs; pace has what follows from the first two.
        boxes: box shares; each place of each box is one of the demands as well.
    """

    name: str
    currency: str
    length_unit: str
    mass_unit: str
    calendar: Calendar
    rules: HouseRules
    places: tuple[Place, ...]
    equipment: Mapping[str, Equipment]
    crops: Mapping[str, Crop]
    products: Mapping[str, Product]
    demands: tuple[Demand, ...]
    growing: tuple[Growing, ...]
    pace: Pace
    crew: Steps | None
    costs: Mapping[str, int] = field(default_factory=dict)
    today: int = 0
    supplies: tuple[Supply, ...] = ()
    raft_areas: Mapping[str, Fraction] = field(default_factory=dict)
    climate: Climate = field(default_factory=Climate)
    boxes: Boxes = field(default_factory=Boxes)
    coolers: tuple[Cooler, ...] = ()
    chores: tuple[ChoreDay, ...] = ()
    water: Water | None = None
    outlets: tuple[OutletWeek, ...] = ()

    @property
    def hands(self) -> Steps | None:
        """Hundredths of a minute a day that chores leave of the crew's hours; None when not limited."""
        return self.crew if self.crew is None or not self.chores else less_chores(self.crew, self.chores)

    def places_of(self, kind: PlaceKind) -> tuple[Place, ...]:
        """Return all places of one kind, in the book's order."""
        return tuple(place for place in self.places if place.kind is kind)

    def place(self, name: str) -> Place:
        """Return a place by name.

        Raises:
            KeyError: there is no such place.
        """
        for place in self.places:
            if place.name == name:
                return place
        raise KeyError(name)

    def date_of(self, day: int) -> date:
        """Return the date of a day number."""
        return self.calendar.date_of(day)

    def cost(self, name: str) -> int:
        """Return a price in hundredths of money; 0 when the book has none."""
        return self.costs.get(name, 0)

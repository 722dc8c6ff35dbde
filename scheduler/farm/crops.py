"""Crops as the farm grows them: stages, losses, cuts and work, in whole numbers."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from scheduler.farm.coolers import Crating
from scheduler.farm.growth.picking import Picking
from scheduler.farm.units import CENT, WHOLE_SHARE, needed_for

OVERNIGHT = 12 * CENT
"""Soaking longer than this, in hundredths of an hour, starts on the day before."""


class StageKind(StrEnum):
    """The kinds of stage, in the order plants go through them; a crop ends on rafts or in a bed."""

    TRAY = "tray"
    BOARD = "board"
    RAFT = "raft"
    BED = "bed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage of a crop's route.

    Attributes:
        kind: tray (propagation), board (transplant), raft (grow-out) or bed (picked for weeks).
        unit: name of the equipment it stands in.
        plants_per_unit: cells sown, or holes planted, of one unit.
        days: days at pace 1 before plants may leave it (raft: before the first cut).
        wait: days at pace 1 they may stay beyond that (raft: the harvest window).
        survival: share of the plants that come in and may leave it, parts of ten thousand
            (tray: per cell, germination and extra seeds per cell included, margin taken off).
    """

    kind: StageKind
    unit: str
    plants_per_unit: int
    days: int
    wait: int
    survival: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """Seed and nursery care of a crop.

    Attributes:
        seeds_per_cell: seeds sown in one cell.
        soak_hours: hundredths of an hour of soaking before sowing.
        dark_days, dome_days: days from sowing in the dark or under a dome.
        thin_day: day after sowing on which doubles are thinned; 0 for none.
        keeping_days: days it keeps after delivery in good storage.
        seed_cost: hundredths of money for 1000 seeds.
    """

    seeds_per_cell: int = 1
    soak_hours: int = 0
    dark_days: int = 0
    dome_days: int = 0
    thin_day: int = 0
    keeping_days: int = 7
    seed_cost: int = 0

    @property
    def soaks_overnight(self) -> bool:
        """Say whether soaking starts on the day before sowing."""
        return self.soak_hours > OVERNIGHT


@dataclass(frozen=True, slots=True, kw_only=True)
class Minutes:
    """Work in hundredths of a minute.

    Per tray sown, board planted, raft planted, plant cut and unit washed; in beds per plant set in, picked
    once, and pulled out with its place cleaned up.
    """

    sow: int = 0
    board: int = 0
    raft: int = 0
    cut: int = 0
    wash: int = 0
    bed: int = 0
    pick: int = 0
    clear: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """One crop as this farm grows it.

    Attributes:
        name, code, variety, card: the farm's name, the letters of its lot codes, variety sown, library card.
        route: its stages in order; the last is the one its harvest is taken from.
        cuts: times one raft is cut; 1 for a crop cut once.
        cut_interval: days at pace 1 from one cut to the next; 0 for a crop cut once.
        saleable: share of the plants cut that can be sold, parts of ten thousand.
        lanes: names of the lanes it may be finished in.
        sowing: (first, last) day numbers between which it may be sown.
        seed_share: share of cells that give a good seedling without the margin.
        margin: extra sown on top, parts of ten thousand (1000 is 10 percent).
        own_figures: (name, value as in the book) of the figures that the grower gave.
        heat_limit: air above this makes it bolt, hundredths of a degree C; None where not known.
        seed_heat: air from which its seed does not come up, hundredths of a degree C; None where not known.
        crating: how it is kept in coolers; None where its crates are not counted.
        too_hot: (first, last) day numbers of sowings that would stand in heat, where the book refuses those.
        grams: grams that one open tray gives at a cut, for a crop sold by mass; 0 where plants are counted.
        bought: whether it comes as plugs: what is sown of it is what comes in, ready to go on the same day.
        sown_by_mass: whether its seed is weighed: ``seeds_per_cell`` then counts grams for one open tray.
        picking: how it is picked, for a crop that ends in a bed; None for all others.
    """

    name: str
    code: str
    variety: str
    card: str
    route: tuple[Stage, ...]
    cuts: int
    cut_interval: int
    saleable: int
    lanes: frozenset[str]
    sowing: tuple[tuple[int, int], ...]
    seed_share: int
    margin: int
    handling: Handling
    minutes: Minutes
    own_figures: tuple[tuple[str, str], ...] = ()
    heat_limit: int | None = None
    seed_heat: int | None = None
    too_hot: tuple[tuple[int, int], ...] = ()
    crating: Crating | None = None
    grams: int = 0
    sown_by_mass: bool = False
    bought: bool = False
    picking: Picking | None = None

    def stage(self, kind: StageKind) -> Stage | None:
        """Return its stage of this kind, or None where the route has none."""
        return next((stage for stage in self.route if stage.kind is kind), None)

    @property
    def tray(self) -> Stage:
        """The propagation stage."""
        return self.route[0]

    @property
    def board(self) -> Stage | None:
        """The transplant stage, or None when it goes straight from tray to raft."""
        return self.stage(StageKind.BOARD)

    @property
    def finish(self) -> Stage:
        """The last stage, the one its harvest is taken from."""
        return self.route[-1]

    @property
    def is_sold_by_mass(self) -> bool:
        """Whether its harvest is counted in grams rather than in heads or pieces."""
        return self.grams > 0 or (self.picking is not None and self.picking.by_mass)

    def ends_in(self, kind: StageKind) -> bool:
        """Say whether its harvest is taken from this kind of stage."""
        return self.finish.kind is kind

    @property
    def is_cut_in_trays(self) -> bool:
        """Say whether its trays are its last stage: microgreens, and herbs sold as they stand."""
        return self.finish.kind is StageKind.TRAY

    @property
    def heads_share(self) -> int:
        """What one plant of the last stage gives to sell at one cut, in parts of ten thousand, rounded down.

        It is a share of a plant, or so many grams of an open tray where the crop is sold by mass.
        """
        return self.finish.survival * self.saleable // WHOLE_SHARE * (self.grams or 1)

    def cells_for(self, plants: int) -> int:
        """Return the cells to sow so that ``plants`` seedlings may be counted on."""
        return needed_for(plants, self.tray.survival)

    def lot_on(self, day: date) -> str:
        """Return the code of a lot of it that was sown, or came into its stage, on a day: ``BUT-260302``."""
        return f"{self.code}-{day:%y%m%d}"

    def may_sow(self, day: int) -> bool:
        """Say whether the crop may be sown on this day: within its windows, and not into refused heat."""
        return self.in_window(day) and not any(first <= day <= last for first, last in self.too_hot)

    def in_window(self, day: int) -> bool:
        """Say whether the day lies within its sowing windows."""
        return any(first <= day <= last for first, last in self.sowing)

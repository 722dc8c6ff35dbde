"""Puts the relaxation of a season together."""

from collections.abc import Iterable
from fractions import Fraction

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.shared import carriers
from scheduler.model.bounds.beds import picking_reach
from scheduler.model.bounds.growth import Growth
from scheduler.model.bounds.in_trays import InTrays
from scheduler.model.bounds.nursery import Nursery
from scheduler.model.bounds.program import Limit
from scheduler.model.bounds.rafts import Rafts
from scheduler.model.bounds.rounding import round_up
from scheduler.model.bounds.sales import Sales
from scheduler.model.bounds.season import Season
from scheduler.model.bounds.whole_rafts import WholeRafts
from scheduler.model.options.frame import Wish
from scheduler.model.variables.decisions import Pulse, no_pulse


class Relaxation:
    """A season's program with its goals."""

    def __init__(self, season: Season, sales: Sales) -> None:
        """Take a season that is written, with all its sales."""
        self._season, self._sales = season, sales

    @property
    def columns(self) -> int:
        """How many columns it has."""
        return len(self._season.program.most)

    def lost(self, level: int) -> int:
        """Return the weighted shortage of what nothing at all can fill."""
        return self._sales.lost[level]

    def step(self, level: int) -> int:
        """Return a number of which every weighted shortage of a level is a multiple."""
        return self._sales.step(level)

    def keep_short(self, level: int, most: int) -> None:
        """Ask for plans whose weighted shortage of a level is at most so much, what is lost included."""
        self._season.program.keep(self._sales.short[level].items(), most - self.lost(level))

    def least_short(self, level: int, limit: Limit) -> Fraction | None:
        """Return a limit of the weighted shortage of a level, what is lost left out."""
        return self._season.program.least(self._sales.short[level], limit)

    def least_cost(self, limit: Limit) -> Fraction | None:
        """Return a limit of the cost, in thousandths of a hundredth of money."""
        proven = self._season.program.least(self._season.whole_cost(), limit)
        return None if proven is None else proven + self._season.given


def relaxed(
    farm: Farm, wishes: Iterable[Wish], last: int, pulse: Pulse = no_pulse, whole: bool = False
) -> Relaxation:
    """Write the relaxation of a farm's season for some wishes; nothing is done after the day ``last``.

    With ``whole`` it knows that rafts are whole, where no two lots may share one.

    Raises:
        Exception: whatever ``pulse``, which is called on the way, raises to give the work up.
    """
    season = Season(farm, farm.today, last, pulse)
    whole = whole and not farm.rules.share_rafts
    sales = Sales(season, wishes)
    _found(season)
    _grown(season)
    nursery = Nursery(season)
    growths = {pool.name: Growth(farm, [pool.pace_of], last) for pool in season.lanes.pools}
    useful = sales.useful_days()
    trays, rafts = dict[str, InTrays](), dict[str, Rafts]()
    for name, crop in farm.crops.items():
        if name in useful and crop.is_cut_in_trays:
            trays[name] = InTrays(season, crop, useful[name])
            trays[name].write()
        elif name in useful and crop.picking is None:
            under = WholeRafts(season, crop) if whole else None
            rafts[name] = Rafts(season, crop, useful[name], growths, under)
            rafts[name].write(nursery.supply(crop, rafts[name].wanted()))
    in_beds = [crop for name, crop in farm.crops.items() if name in useful and crop.picking is not None]
    cut: dict[str, InTrays | Rafts] = {**trays, **rafts}
    days: dict[str, Iterable[int]] = {name: finish.cuts for name, finish in cut.items()}
    sales.fill(days | {crop.name: picking_reach(farm, crop, last) for crop in in_beds})
    for name, finish in cut.items():
        sales.sell(farm.crops[name], finish.cuts, finish.spread())
    if whole:
        round_up(season, sales.orders, rafts)
    season.keep_limits()
    return Relaxation(season, sales)


def _grown(season: Season) -> None:
    """Pay for all that stands in trays and on boards on the first day; what is kept of it is taken off."""
    grows = (row.plants for row in season.farm.growing if row.stage in (StageKind.TRAY, StageKind.BOARD))
    season.given += season.price("discarded_plant") * sum(grows)


def _found(season: Season) -> None:
    """Keep room for units found on the first day for as long as they are there and washed at soonest."""
    for row in carriers(season.farm):
        crop = season.farm.crops[row.crop]
        stage = crop.stage(row.stage)
        if stage is None or row.stage is StageKind.BED:
            continue
        season.kinds[stage.unit].found(season.first, season.first, row.units)
        if season.domes and row.stage is StageKind.TRAY and crop.handling.dome_days:
            gone = min(row.since + crop.handling.dome_days, season.first)
            season.domes.found(season.first, gone, row.units)

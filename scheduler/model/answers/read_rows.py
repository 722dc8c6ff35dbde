"""A plan's rows sorted for reading back: pieces of lots in trays, on boards and on rafts, and their cuts."""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.shared import mates
from scheduler.model.options.pools import pools_of
from scheduler.plan.bed_rows import PickingRow
from scheduler.plan.bed_tally import growing_plantings
from scheduler.plan.rows import CutRow, LotRow, Plan, UnitRow
from scheduler.plan.tally import first_positions, growing_units


class NotReadBack(Exception):  # the word is the message
    """A plan holds something the planner would not have looked at; the message says what."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Plants of one lot that enter and leave one unit together.

    Attributes:
        unit, lot: names.
        amount: plants; whole rows of cells in trays that are sown.
        enters, leaves: days.
        from_day: day they entered the stage before, None where it is not known.
        pool: pool of tiers, zones or rows the unit stands in.
        growing: index in ``farm.growing`` of what stood there on day 0, or -1.
    """

    unit: str
    lot: str
    amount: int
    enters: int
    leaves: int
    from_day: int | None
    pool: str
    growing: int


class PlanRows:
    """What the reading back asks of a plan.

    Attributes:
        trays, boards, rafts: pieces by stage.
        units: unit name -> its row.
        place: unit name -> the first place it stands in.
        growing: unit name -> index of its growing row, or -1; of several in one unit that of one of them.
        lots: lot code -> its row.
        cuts: (unit, lot) -> its cuts.
        plantings, pickings: plants in beds, and planting -> its pickings.
        bed_growing: planting -> index of its growing row, those that stood there on day 0 only.
    """

    def __init__(self, farm: Farm, plan: Plan) -> None:
        """Sort the rows of a plan whose names all exist."""
        self.farm = farm
        self.units: dict[str, UnitRow] = {unit.unit: unit for unit in plan.units}
        self.lots: dict[str, LotRow] = {lot.lot: lot for lot in plan.lots}
        first = first_positions(plan.positions)
        self.place = {name: first[name].place for name in self.units if name in first}
        self.growing = dict.fromkeys(self.units, -1) | _growing_of(farm, plan)
        self.cuts: dict[tuple[str, str], list[CutRow]] = defaultdict(list)
        for cut in plan.cuts:
            self.cuts[cut.unit, cut.lot].append(cut)
        self.plantings = plan.plantings
        self.pickings: dict[str, list[PickingRow]] = defaultdict(list)
        for picking in plan.pickings:
            self.pickings[picking.planting].append(picking)
        self.bed_growing = _growing_beds(farm, plan)
        pieces = self._pieces(plan)
        self.trays, self.boards, self.rafts = pieces["tray"], pieces["board"], pieces["raft"]

    def _pieces(self, plan: Plan) -> dict[str, list[Piece]]:
        pool_of = {
            place.name: pool.name
            for kind in PlaceKind
            for pool in pools_of(self.farm, kind)
            for place in pool.places
        }
        found: dict[str, list[Piece]] = {"tray": [], "board": [], "raft": []}
        for row in plan.contents:
            if row.unit not in self.place:
                raise NotReadBack(f"{row.unit} stands nowhere")
            grown = self.growing_of(row.unit, row.lot)
            item = self.units[row.unit].item
            found[item].append(
                Piece(
                    unit=row.unit,
                    lot=row.lot,
                    amount=row.rows if item == "tray" and grown < 0 else row.plants,
                    enters=row.enters,
                    leaves=row.leaves,
                    from_day=row.from_day,
                    pool=pool_of[self.place[row.unit]],
                    growing=grown,
                )
            )
        return found

    def growing_of(self, unit: str, lot: str) -> int:
        """Return the index of the growing row of a lot in a unit, or -1: rows may stand in one together."""
        first = self.growing[unit]
        if first < 0 or self.farm.growing[first].lot == lot:
            return first
        growing = self.farm.growing
        return next((at for at in mates(self.farm, first) if growing[at].lot == lot), first)

    def crop(self, lot: str) -> Crop:
        """Return the crop of a lot."""
        return self.farm.crops[self.lots[lot].crop]

    def units_of(self, index: int) -> list[UnitRow]:
        """Return the units of a growing row."""
        rows = mates(self.farm, index)
        return [self.units[name] for name, growing in self.growing.items() if growing in rows]


def _growing_beds(farm: Farm, plan: Plan) -> dict[str, int]:
    """Return planting -> index of the growing row it belongs to."""
    index = {id(entry): at for at, entry in enumerate(farm.growing)}
    return {name: index[id(entry)] for name, entry in growing_plantings(farm, plan).items()}


def _growing_of(farm: Farm, plan: Plan) -> dict[str, int]:
    """Return unit -> index of the growing row it belongs to."""
    index = {id(entry): at for at, entry in enumerate(farm.growing)}
    return {unit: index[id(entry)] for unit, entry in growing_units(farm, plan).items()}

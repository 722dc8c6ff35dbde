"""Trays and boards in the relaxation: what is sown, what waits, and what can go onto rafts on a day."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Set

from scheduler.farm import work
from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Growing
from scheduler.farm.orders.reach import OVERDUE_DAYS, is_overdue
from scheduler.farm.places import PlaceKind
from scheduler.farm.shared import found_per_unit
from scheduler.farm.units import WHOLE_SHARE
from scheduler.model.bounds.growth import Growth
from scheduler.model.bounds.program import Term
from scheduler.model.bounds.room import most_units
from scheduler.model.bounds.season import Season
from scheduler.plan.tally import names_of

Supply = dict[int, list[Term]]
"""Day -> columns with weights: ten thousand times the plants they bring that may be set out that day."""


class Nursery:
    """Writes the trays and boards of a season, crop by crop."""

    def __init__(self, season: Season) -> None:
        """Add up growth in the places of trays and of boards."""
        self._season = season
        places, last = season.farm.places_of, season.last
        self._shelves = Growth(season.farm, (place.belongs_to for place in places(PlaceKind.TIER)), last)
        self._troughs = Growth(season.farm, (place.belongs_to for place in places(PlaceKind.ZONE)), last)

    def supply(self, crop: Crop, wanted: Set[int]) -> Supply:
        """Write what can be set on rafts on the ``wanted`` days, and return its columns by day."""
        if crop.board is None:
            return self._trays(crop, Work.RAFT, wanted)
        ends = {
            day: self._ends(self._troughs, crop.board, day, Work.RAFT, wanted)
            for day in self._season.open_days(Work.TRANSPLANT, self._season.first, self._season.last)
        }
        seedlings = self._trays(crop, Work.TRANSPLANT, {day for day, later in ends.items() if later})
        found: Supply = defaultdict(list)
        for day, source in sorted(seedlings.items()):
            set_out = [(end, self._board(crop, crop.board, day, end)) for end in ends[day]]
            taken = [(column, WHOLE_SHARE) for _, column in set_out]
            self._season.program.keep([*taken, *((column, -share) for column, share in source)], 0)
            for end, column in set_out:
                found[end].append((column, crop.board.survival))
        for end, column in self._grown(crop, crop.board, Work.RAFT, wanted):
            found[end].append((column, crop.board.survival))
        return found

    def _ends(self, growth: Growth, stage: Stage, start: int, work_: Work, wanted: Set[int]) -> list[int]:
        """Return the wanted days on which a stage that starts on a day may end."""
        window = growth.window(start, stage.days, stage.wait)
        return [day for day in self._season.open_days(work_, *window) if day in wanted]

    def _trays(self, crop: Crop, work_: Work, wanted: Set[int]) -> Supply:
        season, found = self._season, defaultdict[int, list[Term]](list)
        for sown in season.open_days(Work.SOW, season.first, season.last):
            if crop.may_sow(sown):
                for day in self._ends(self._shelves, crop.tray, sown, work_, wanted):
                    found[day].append((self._tray(crop, sown, day), crop.tray.survival))
        for day, column in self._grown(crop, crop.tray, work_, wanted):
            found[day].append((column, WHOLE_SHARE))
        return found

    def _tray(self, crop: Crop, sown: int, day: int) -> int:
        """Write the cells of a crop that are sown on one day and leave their trays on another."""
        season, tray = self._season, self._season.farm.equipment[crop.tray.unit]
        cells, row = tray.rows * tray.cells_per_row, tray.cells_per_row
        column = season.column(most_units(season.farm, tray) * cells)
        season.tiers.stand(sown, day, column, cells)
        season.kinds[tray.name].stand(sown, day, column, cells)
        dome = min(sown + crop.handling.dome_days, day)
        if season.domes and dome > sown:
            season.domes.stand(sown, dome, column, cells)
        season.work(sown, work.sow_per_cell(crop, tray), column, row)
        season.work(day, work.wash_tray_per_cell(crop, tray), column, row)
        season.pay(crop.handling.seeds_per_cell * crop.handling.seed_cost, column)
        season.pay(season.price("tray"), column, cells)
        season.pay(season.price("tray_slot_day") * (day - sown), column, cells)
        season.pay(season.price("lot"), column, most_units(season.farm, tray) * cells)
        return column

    def _board(self, crop: Crop, stage: Stage, day: int, end: int) -> int:
        """Write the plants of a crop that are set on boards on one day and leave them on another."""
        season, board = self._season, self._season.farm.equipment[stage.unit]
        column = season.column(most_units(season.farm, board) * stage.plants_per_unit)
        season.zones.stand(day, end, column, stage.plants_per_unit)
        season.kinds[board.name].stand(day, end, column, stage.plants_per_unit)
        season.work(day, work.set_on_board_per_plant(crop), column)
        season.work(end, work.wash_board_per_plant(crop, board), column)
        season.pay(season.price("board"), column, stage.plants_per_unit)
        season.pay(season.price("board_slot_day") * (end - day), column, stage.plants_per_unit)
        return column

    def _grown(self, crop: Crop, stage: Stage, work_: Work, wanted: Set[int]) -> Iterator[tuple[int, int]]:
        """Write what stands in trays or on boards on the first day; yield day and column of what goes on."""
        season = self._season
        for row in season.farm.growing:
            if (row.crop, row.stage) != (crop.name, stage.kind):
                continue
            columns = []
            for day in self._days_of(row, stage, work_):
                if day in wanted:
                    columns.append(season.column(row.plants))
                    self._stay_on(crop, stage, row, (day, columns[-1]))
                    yield day, columns[-1]
            season.program.keep([(column, 1) for column in columns], row.plants)

    def _days_of(self, row: Growing, stage: Stage, work_: Work) -> Iterable[int]:
        """Return the days on which something found on the first day may go on."""
        season, growth = self._season, self._shelves if stage.kind is StageKind.TRAY else self._troughs
        farm, today = season.farm, season.first
        if is_overdue(farm, row):
            return season.open_days(work_, today, today + OVERDUE_DAYS)
        grown = farm.pace.grown(names_of(farm, row.place)[1], row.since, today)
        return season.open_days(work_, *growth.window(today, stage.days, stage.wait, grown))

    def _stay_on(self, crop: Crop, stage: Stage, row: Growing, until: tuple[int, int]) -> None:
        season, (day, column) = self._season, until
        kind = season.farm.equipment[stage.unit]
        per_unit = found_per_unit(season.farm, row)
        if stage.kind is StageKind.TRAY:
            room, price, wash = season.tiers, "tray_slot_day", work.wash_tray_per_cell(crop, kind)
            dome = row.since + crop.handling.dome_days
            if season.domes:
                season.domes.stay_on(min(dome, season.first), min(dome, day), column, per_unit)
        else:
            per_unit = max(per_unit, stage.plants_per_unit)
            room, price, wash = season.zones, "board_slot_day", work.wash_board_per_plant(crop, kind)
        room.stay_on(season.first, day, column, per_unit)
        season.kinds[kind.name].stay_on(season.first, day, column, per_unit)
        season.work(day, wash, column)
        season.pay(season.price(price) * (day - season.first), column, per_unit)
        season.pay(-season.price("discarded_plant"), column)

"""Crops that are cut in their trays, in the relaxation: cells that stand from one cut to the next."""

from collections import defaultdict
from collections.abc import Set

from scheduler.farm import work
from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Growing
from scheduler.farm.orders.reach import OVERDUE_DAYS, is_overdue
from scheduler.farm.places import PlaceKind
from scheduler.farm.shared import found_per_unit
from scheduler.farm.units import WHOLE_SHARE
from scheduler.model.bounds.growth import Growth
from scheduler.model.bounds.rafts import Cuts
from scheduler.model.bounds.room import most_units
from scheduler.model.bounds.season import Season
from scheduler.model.goals import wasted_head


class InTrays:
    """Writes the trays of one crop that is cut in them into a season."""

    def __init__(self, season: Season, crop: Crop, useful: Set[int]) -> None:
        """Take the days on which a cut is of use; others only lead to one."""
        self._season, self._crop, self._useful = season, crop, useful
        tiers = season.farm.places_of(PlaceKind.TIER)
        self._growth = Growth(season.farm, (place.belongs_to for place in tiers), season.last)
        self._kind = season.farm.equipment[crop.tray.unit]
        self._spread = 0
        self.cuts: Cuts = defaultdict(list)

    def write(self) -> None:
        """Write all trays: sown ones, and those found on the first day."""
        season, crop = self._season, self._crop
        for sown in season.open_days(Work.SOW, season.first, season.last):
            if crop.may_sow(sown):
                window = self._growth.window(sown, crop.tray.days, crop.tray.wait)
                self._again(sown, {None: []}, window, 1)
        for row in season.farm.growing:
            if (row.crop, row.stage) == (crop.name, StageKind.TRAY):
                self._found(row)

    def spread(self) -> int:
        """Return the most days between two cuts of one number of a lot."""
        return self._spread

    def _cut_days(self, window: tuple[int, int], number: int) -> list[int]:
        """Return the days of a cut; the last cut there may be is taken on days of use only.

        On the first of all, too, for losses: of a lot cut on several days one may have all the heads.
        """
        days = self._season.open_days(Work.HARVEST, *window)
        if number < self._crop.cuts:
            return days
        losses = days[:1] if self._crop.heads_share % WHOLE_SHARE else []
        found = [day for day in days if day in self._useful]
        return sorted({*losses, *found}) if found else []

    def _again(
        self, sown: int, before: dict[int | None, list[int]], window: tuple[int, int], number: int
    ) -> None:
        """Write cut ``number`` and those after it; ``before`` has columns by the day they were cut."""
        crop = self._crop
        reached: dict[int | None, list[int]] = defaultdict(list)
        for day, columns in before.items():
            if day is not None:
                window = self._growth.window(day, crop.cut_interval, crop.finish.wait)
            made = []
            for cut in self._cut_days(window, number):
                made.append(self._stand(sown, day, cut))
                reached[cut].append(made[-1])
            if day is not None:
                terms = [*((column, 1) for column in made), *((column, -1) for column in columns)]
                self._season.program.keep(terms, 0)
        days = [day for day in reached if day is not None]
        self._spread = max(self._spread, max(days, default=0) - min(days, default=0))
        if number < crop.cuts and reached:
            self._again(sown, reached, (0, 0), number + 1)

    def _stand(self, sown: int, before: int | None, cut: int) -> int:
        """Write cells that are cut on a day, sown or cut ``before``; a tray is paid for at its first cut."""
        season, crop, kind = self._season, self._crop, self._kind
        column = season.column(most_units(season.farm, kind) * kind.holes)
        start = sown if before is None else before
        rooms = [season.tiers, season.kinds[kind.name]]
        for room in rooms:
            (room.stand if before is None else room.stay_on)(start, cut, column, kind.holes)
        if before is None:
            dome = min(sown + crop.handling.dome_days, cut)
            if season.domes and dome > sown:
                season.domes.stand(sown, dome, column, kind.holes)
            season.work(sown, work.sow_per_cell(crop, kind), column, kind.cells_per_row)
            season.work(None, work.wash_tray_per_cell(crop, kind), column, kind.cells_per_row)
            season.pay(crop.handling.seeds_per_cell * crop.handling.seed_cost, column)
            season.pay(season.price("tray"), column, kind.holes)
            season.pay(season.price("lot"), column, most_units(season.farm, kind) * kind.holes)
        season.pay(season.price("tray_slot_day") * (cut - start), column, kind.holes)
        self._cut(cut, column)
        return column

    def _cut(self, cut: int, column: int) -> None:
        season, crop = self._season, self._crop
        season.work(cut, work.cut_per_plant(crop), column)
        season.pay(wasted_head(season.farm, crop.name) * crop.heads_share // WHOLE_SHARE, column)
        self.cuts[cut].append(column)

    def _found(self, row: Growing) -> None:
        season, crop = self._season, self._crop
        per_unit = found_per_unit(season.farm, row)
        reached: dict[int | None, list[int]] = defaultdict(list)
        for cut in self._cut_days(self._window_of(row), row.cuts_done + 1):
            column = season.column(row.plants)
            for room in (season.tiers, season.kinds[self._kind.name]):
                room.stay_on(season.first, cut, column, per_unit)
            season.work(None, work.wash_tray_per_cell(crop, self._kind), column)
            season.pay(season.price("tray_slot_day") * (cut - season.first), column, per_unit)
            season.pay(-season.price("discarded_plant"), column)
            self._cut(cut, column)
            reached[cut].append(column)
        columns = [column for some in reached.values() for column in some]
        season.program.keep([(column, 1) for column in columns], row.plants)
        self._spread = max(self._spread, *(day or 0 for day in reached), 0) if reached else self._spread
        if row.cuts_done + 1 < crop.cuts and reached:
            self._again(season.first, reached, (0, 0), row.cuts_done + 2)

    def _window_of(self, row: Growing) -> tuple[int, int]:
        farm, crop, today = self._season.farm, self._crop, self._season.first
        if is_overdue(farm, row):
            return today, today + OVERDUE_DAYS
        since = row.since if row.last_cut is None else row.last_cut
        days = crop.cut_interval if row.cuts_done else crop.tray.days
        return self._growth.window(since, days, crop.tray.wait)

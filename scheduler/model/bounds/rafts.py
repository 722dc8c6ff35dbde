"""Rafts in the relaxation: plants that stand from one cut to the next, crop by crop and pool by pool."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set

from scheduler.farm import work
from scheduler.farm.calendar import Work
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Growing
from scheduler.farm.orders.reach import OVERDUE_DAYS, is_overdue
from scheduler.farm.shared import found_per_unit
from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.model.bounds.growth import Growth
from scheduler.model.bounds.lanes import Home
from scheduler.model.bounds.nursery import Supply
from scheduler.model.bounds.room import Room, most_units
from scheduler.model.bounds.season import Season
from scheduler.model.bounds.whole_rafts import Entry, WholeRafts

Cuts = dict[int, list[int]]
"""Day -> columns of the plants cut on it."""


class Rafts:
    """Writes the rafts of one crop into a season.

    Attributes:
        crop: the crop.
        whole: its whole rafts; None where plants take room for themselves.
        cuts: day -> columns of the plants cut on it.
    """

    def __init__(
        self,
        season: Season,
        crop: Crop,
        useful: Set[int],
        growths: Mapping[str, Growth],
        whole: WholeRafts | None = None,
    ) -> None:
        """Find the days on which a cut is of use, or brings one that is.

        ``growths`` has the growth of each pool of rows by its name. With ``whole`` new plants stand on
        whole rafts; without, each takes room for itself.
        """
        self._season, self._useful = season, useful
        self.crop, self.whole, self._found_until = crop, whole, season.first - 1
        self._pools = season.lanes.pools
        self._growths = [growths[pool.name] for pool in self._pools]
        self._harvest = season.open_days(Work.HARVEST, season.first, season.last)
        self._next: list[dict[int, list[int]]] = []
        self._worth: list[list[Set[int]]] = []
        for number in range(len(self._pools)):
            self._look_ahead(number)
        self.cuts: Cuts = defaultdict(list)

    def _look_ahead(self, pool: int) -> None:
        """Find for each cut, last first, the days that are of use."""
        crop, growth = self.crop, self._growths[pool]
        following: dict[int, list[int]] = {}
        if crop.cuts > 1:
            for day in self._harvest:
                window = growth.window(day, crop.cut_interval, crop.finish.wait)
                following[day] = self._season.open_days(Work.HARVEST, *window)
        worth: list[Set[int]] = [set()]
        for _ in range(crop.cuts):
            later = worth[-1]
            worth.append(
                {
                    day
                    for day in self._harvest
                    if day in self._useful or any(other in later for other in following.get(day, ()))
                }
            )
        self._next.append(following)
        self._worth.append(worth[:0:-1])

    def firsts(self, pool: int, day: int) -> list[int]:
        """Return the days of use on which rafts set out on a day may have their first cut."""
        crop = self.crop
        window = self._growths[pool].window(day, crop.finish.days, crop.finish.wait)
        return self._of_use(self._season.open_days(Work.HARVEST, *window), self._worth[pool][0])

    def _of_use(self, days: Sequence[int], worth: Set[int]) -> list[int]:
        """Return the days of use, and the first of all: on it those may go that are there for losses.

        Of a lot that is cut on several days one may have all the heads, and the others what it loses.
        """
        found = [day for day in days if day in worth]
        if found and found[0] != days[0] and self.crop.heads_share % WHOLE_SHARE:
            return [days[0], *found]
        return found

    def homes(self) -> list[Home]:
        """Return where the crop's new rafts may stand, one home a pool."""
        found = []
        for number, pool in enumerate(self._pools):
            lanes = self.crop.lanes & {lane.name for lane in pool.places}
            if lanes:
                rooms = tuple(self._season.lanes.within(pool, lanes))
                found.append(Home(number, self.crop.finish.plants_per_unit, rooms))
        return found

    def wanted(self) -> set[int]:
        """Return the days on which it is of use to set plants on rafts."""
        days = self._season.open_days(Work.RAFT, self._season.first, self._season.last)
        return {day for day in days for home in self.homes() if self.firsts(home.pool, day)}

    def write(self, supply: Supply) -> None:
        """Write all rafts: new ones from what the nursery brings, and those found on the first day."""
        new: dict[Home, dict[int, Cuts]] = defaultdict(lambda: defaultdict(lambda: defaultdict(list)))
        entries: dict[Home, list[Entry]] = defaultdict(list)
        for day, source in sorted(supply.items()):
            placed = []
            for home in self.homes():
                firsts = {cut: [self._set_out(home, day, cut)] for cut in self.firsts(home.pool, day)}
                for cut, columns in firsts.items():
                    placed += [(column, WHOLE_SHARE) for column in columns]
                    new[home][1][cut] += columns
                if firsts and self.whole:
                    entries[home].append(self._entry(home, day, firsts))
            self._season.program.keep([*placed, *((column, -share) for column, share in source)], 0)
        for home, cuts in new.items():
            self._again(home, cuts, bool(self.whole))
        if self.whole:
            for home, of_home in entries.items():
                self.whole.write(home, self._rooms(home), of_home)
            self.whole.sort()
        self._write_found()

    def _entry(self, home: Home, day: int, firsts: Mapping[int, Sequence[int]]) -> Entry:
        """Return what rafts that enter on a day may do; ``firsts`` has their plants by first cut."""
        growth, crop = self._growths[home.pool], self.crop
        ready = growth.window(day, crop.finish.days, crop.finish.wait)[0]
        leaves, losses = set(firsts), crop.heads_share % WHOLE_SHARE
        for number, first, last in self._windows(home.pool, (min(firsts), max(firsts)), 1):
            if number > 1:
                days = self._harvest if losses else self._worth[home.pool][number - 1]
                leaves |= {cut for cut in days if first <= cut <= last}
        return Entry(day=day, ready=ready, leaves=sorted(leaves), firsts=firsts)

    def _set_out(self, home: Home, day: int, cut: int) -> int:
        """Write the plants that are set on rafts on one day and have their first cut on another."""
        season, crop = self._season, self.crop
        kind = season.farm.equipment[crop.finish.unit]
        column = self._column(home)
        if self.whole:
            self.whole.stand(home, day, cut, column)
        else:
            for room in self._rooms(home):
                room.stand(day, cut, column, home.per_unit)
            season.pay(season.price("raft"), column, home.per_unit)
            self._pay_slot(home, day, cut, column)
        self._cut(cut, column)
        season.work(day, work.set_on_raft_per_plant(crop), column)
        season.work(None, work.wash_raft_per_plant(crop, kind), column)
        return column

    def _column(self, home: Home) -> int:
        kind = self._season.farm.equipment[self.crop.finish.unit]
        return self._season.column(most_units(self._season.farm, kind) * home.per_unit)

    def _rooms(self, home: Home) -> list[Room]:
        """Return all room that rafts of a home take: rows, and rafts owned."""
        lanes = self._season.lanes
        rooms = [lanes.room(self._pools[home.pool], number) for number in home.rooms]
        return [*rooms, self._season.kinds[self.crop.finish.unit]]

    def _pay_slot(self, home: Home, start: int, end: int, column: int) -> None:
        season = self._season
        season.pay(season.price("raft_slot_day") * (end - start), column, home.per_unit)

    def _cut(self, cut: int, column: int) -> None:
        season, crop = self._season, self.crop
        season.work(cut, work.cut_per_plant(crop), column)
        season.pay(season.price("wasted_plant") * crop.heads_share // WHOLE_SHARE, column)
        self.cuts[cut].append(column)

    def _write_found(self) -> None:
        found: dict[Home, dict[int, Cuts]] = defaultdict(lambda: defaultdict(lambda: defaultdict(list)))
        for row in self._season.farm.growing:
            if (row.crop, row.stage) == (self.crop.name, StageKind.RAFT):
                self._found(row, found)
        for home, cuts in found.items():
            self._again(home, cuts, on_whole=False)
            self._found_until = max(
                self._found_until, *(day for of_number in cuts.values() for day in of_number)
            )

    def _found(self, row: Growing, at: dict[Home, dict[int, Cuts]]) -> None:
        """Write rafts found on the first day: what is cut of them stays until then."""
        season, crop = self._season, self.crop
        pool = self._pool_of(row)
        per_unit = max(found_per_unit(season.farm, row), crop.finish.plants_per_unit)
        home = Home(pool, per_unit, tuple(season.lanes.within(self._pools[pool], frozenset([row.place]))))
        kind = season.farm.equipment[crop.finish.unit]
        columns = []
        season.given += season.price("discarded_plant") * row.plants
        for cut in self._cut_days_of(row, pool):
            column = season.column(row.plants)
            for room in self._rooms(home):
                room.stay_on(season.first, cut, column, per_unit)
            self._pay_slot(home, season.first, cut, column)
            self._cut(cut, column)
            season.work(None, work.wash_raft_per_plant(crop, kind), column)
            season.pay(-season.price("discarded_plant"), column)
            columns.append(column)
            at[home][row.cuts_done + 1][cut].append(column)
        season.program.keep([(column, 1) for column in columns], row.plants)

    def _pool_of(self, row: Growing) -> int:
        return next(
            number
            for number, pool in enumerate(self._pools)
            if any(lane.name == row.place for lane in pool.places)
        )

    def _cut_days_of(self, row: Growing, pool: int) -> list[int]:
        """Return the days of use on which rafts found on the first day may have their next cut."""
        if row.cuts_done >= self.crop.cuts:
            return []
        worth = self._worth[pool][row.cuts_done]
        window = self._window_of(row, pool)
        return self._of_use(self._season.open_days(Work.HARVEST, *window), worth)

    def _window_of(self, row: Growing, pool: int) -> tuple[int, int]:
        if is_overdue(self._season.farm, row):
            return self._season.first, self._season.first + OVERDUE_DAYS
        since = row.since if row.last_cut is None else row.last_cut
        days = self.crop.cut_interval if row.cuts_done else self.crop.finish.days
        return self._growths[pool].window(since, days, self.crop.finish.wait)

    def _again(self, home: Home, at: dict[int, Cuts], on_whole: bool) -> None:
        """Write the cuts after the first ones: no more plants go on than were cut.

        ``on_whole`` says that their whole rafts are written beside them.
        """
        for number in range(1, self.crop.cuts):
            worth = self._worth[home.pool][number]
            for day, cut in sorted(at[number].items()):
                onward = []
                for later in self._of_use(self._next[home.pool][day], worth):
                    onward.append(self._go_on(home, day, later, on_whole))
                    at[number + 1][later].append(onward[-1])
                terms = [*((column, 1) for column in onward), *((column, -1) for column in cut)]
                self._season.program.keep(terms, 0)

    def _go_on(self, home: Home, day: int, later: int, on_whole: bool) -> int:
        """Write the plants that are cut on one day and stand on for their next cut."""
        column = self._column(home)
        if on_whole and self.whole:
            self.whole.stand(home, day, later, column)
        else:
            for room in self._rooms(home):
                room.stay_on(day, later, column, home.per_unit)
            self._pay_slot(home, day, later, column)
        self._cut(later, column)
        return column

    @property
    def most_of_plant(self) -> int:
        """Most heads that a cut gives of one plant, in parts of :data:`WHOLE_SHARE`.

        Where a lot may be cut on several days, one of them may have all that rounding leaves of it.
        """
        share = self.crop.heads_share
        return ceil_div(share, WHOLE_SHARE) * WHOLE_SHARE if self.spread() else share

    def cuts_once(self, first: int, last: int) -> bool:
        """Say whether what is cut on some days comes from new rafts, and of each plant at most once."""
        crop = self.crop
        return first > self._found_until and (
            crop.cuts == 1
            or all(
                self._growths[home.pool].window(first, crop.cut_interval, crop.finish.wait)[0] > last
                for home in self.homes()
            )
        )

    def spread(self) -> int:
        """Return the most days between two cuts of one number of a lot that came onto rafts on one day.

        Heads that one of those cuts leaves over by rounding may be counted with the other.
        """
        season = self._season
        groups = [
            [window for home in self.homes() for window in self._windows_from(home.pool, day)]
            for day in season.open_days(Work.RAFT, season.first, season.last)
        ]
        lots: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
        for row in season.farm.growing:
            if (row.crop, row.stage) == (self.crop.name, StageKind.RAFT):
                pool = self._pool_of(row)
                lots[row.lot] += self._windows(pool, self._window_of(row, pool), row.cuts_done + 1)
                # A lot of the first day may be set out on that day as well.
                lots[row.lot] += [
                    w for home in self.homes() for w in self._windows_from(home.pool, row.since)
                ]
        return max((_widest(windows) for windows in [*groups, *lots.values()]), default=0)

    def _windows_from(self, pool: int, day: int) -> Iterator[tuple[int, int, int]]:
        window = self._growths[pool].window(day, self.crop.finish.days, self.crop.finish.wait)
        return self._windows(pool, window, 1)

    def _windows(self, pool: int, window: tuple[int, int], number: int) -> Iterator[tuple[int, int, int]]:
        """Yield number, first and last day of each cut, given the window of the first of them."""
        crop, growth, (first, last) = self.crop, self._growths[pool], window
        while number <= crop.cuts and first <= min(last, self._season.last):
            last = min(last, self._season.last)
            yield number, first, last
            number += 1
            first = growth.window(first, crop.cut_interval, crop.finish.wait)[0]
            last = growth.window(last, crop.cut_interval, crop.finish.wait)[1]


def _widest(windows: Iterable[tuple[int, int, int]]) -> int:
    """Return the most days between two cuts of one number."""
    days: dict[int, list[int]] = defaultdict(list)
    for number, first, last in windows:
        days[number] += [first, last]
    return max((max(each) - min(each) for each in days.values()), default=0)

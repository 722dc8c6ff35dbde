"""Every planting in a bed that could be: where from, when, in which pool, and all its pickings.

How long plants stand in a bed follows from the day they are set in: they are picked to the end of their
curve, or, where their positions close before that, as long as there is time to clean up.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.growth.picking import Pick, picks_of
from scheduler.farm.places import Place
from scheduler.farm.sections import closes_after
from scheduler.model.options.bed_pools import BedPool, bed_pools

if TYPE_CHECKING:
    from scheduler.model.options.options import TrayOut


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BedSet:
    """Part of a lot set into the positions of one pool on one day, and its pickings.

    Attributes:
        crop, day: what, and the day it is set in (of what grows already: the day it was).
        source: the tray option it comes from; None for what grows in the bed on the first day.
        growing: index in ``farm.growing`` or -1.
        pool: name of the pool; of what grows already the first one it has positions in.
        picks: its pickings from the first day of the plan on, to its last day.
        leaves: the day it is pulled out, that of its last picking.
        free: the day from which its positions are free again.
        positions: (pool, number) of what grows already; empty for what is set in.
    """

    crop: str
    day: int
    source: "TrayOut | None"
    growing: int
    pool: str
    picks: tuple[Pick, ...] = field(repr=False)
    leaves: int
    free: int
    positions: tuple[tuple[str, int], ...] = ()


class BedLister:
    """Lists the plantings of one farm."""

    def __init__(self, farm: Farm, start: int, end: int, useful: dict[str, frozenset[int]]) -> None:
        """Take a farm, the first day and the last on which anything counts, and the days of use by crop."""
        self._farm, self._start, self._end, self._useful = farm, start, end, useful
        self.pools = bed_pools(farm, start)
        self._picks: dict[tuple[str, str, int], tuple[Pick, ...]] = {}

    def plantings(self, crop: Crop, source: "TrayOut", growing: int, day: int) -> Iterator[BedSet]:
        """Yield the plantings of a crop on one day, one for each pool that is open long enough."""
        for pool in self.pools:
            closes = next((end for first, end in pool.spells if first <= day < end), None)
            if crop.name not in pool.crops or closes is None:
                continue
            picks = self._until(self._picks_of(crop, pool.pace_of, day), closes - pool.clean_days)
            if growing >= 0:
                picks = _numbered(self._allowed(self._farm.growing[growing], picks), 0)
            if self._is_of_use(crop, picks):
                yield self._planting(crop, (source, growing, day), pool, picks)

    def found(self, index: int, row: Growing) -> BedSet:
        """Return what grows in a bed already: its pickings from the first day on, as far as it stays open."""
        crop = self._farm.crops[row.crop]
        bed = next(place for place in self._farm.places if place.name == row.place)
        taken = range(row.order, row.order + row.units)
        closes = min(closes_after(bed, position, self._start) for position in taken)
        picks = tuple(
            pick
            for pick in self._allowed(row, self._picks_of(crop, bed.name, row.since))
            if pick.day >= self._start and (row.last_cut is None or pick.day > row.last_cut)
        )
        picks = self._until(picks, closes - bed.clean_days)
        leaves = picks[-1].day if picks else self._start
        return BedSet(
            crop=crop.name,
            day=row.since,
            source=None,
            growing=index,
            pool=next(pool.name for pool in self.pools if pool.holds(bed.name, row.order)),
            picks=_numbered(picks, row.cuts_done),
            leaves=leaves,
            free=leaves + bed.clean_days,
            positions=self._positions(bed, taken),
        )

    def _positions(self, bed: Place, taken: range) -> tuple[tuple[str, int], ...]:
        counts = {pool.name: sum(pool.holds(bed.name, position) for position in taken) for pool in self.pools}
        return tuple((name, number) for name, number in counts.items() if number)

    def _planting(
        self, crop: Crop, what: tuple["TrayOut", int, int], pool: BedPool, picks: tuple[Pick, ...]
    ) -> BedSet:
        source, growing, day = what
        return BedSet(
            crop=crop.name,
            day=day,
            source=source,
            growing=growing,
            pool=pool.name,
            picks=picks,
            leaves=picks[-1].day,
            free=picks[-1].day + pool.clean_days,
        )

    def _picks_of(self, crop: Crop, bed: str, day: int) -> tuple[Pick, ...]:
        key = (crop.name, bed, day)
        if key not in self._picks:
            picking = crop.picking
            if picking is None:
                raise ValueError(f"{crop.name} does not end in a bed")
            self._picks[key] = picks_of(picking, self._farm.pace, bed, day, crop.finish.days)
        return self._picks[key]

    def _until(self, picks: tuple[Pick, ...], last: int) -> tuple[Pick, ...]:
        return tuple(pick for pick in picks if pick.day <= last)

    def _allowed(self, row: Growing, picks: tuple[Pick, ...]) -> tuple[Pick, ...]:
        """Return the pickings from the day on that the book allows for what grows."""
        return tuple(pick for pick in picks if row.not_before is None or pick.day >= row.not_before)

    def _is_of_use(self, crop: Crop, picks: tuple[Pick, ...]) -> bool:
        useful = self._useful.get(crop.name, frozenset())
        return any(pick.day in useful for pick in picks)


def _numbered(picks: tuple[Pick, ...], before: int) -> tuple[Pick, ...]:
    """Return pickings numbered anew, after so many that were done before."""
    return tuple(replace(pick, number=number) for number, pick in enumerate(picks, before + 1))

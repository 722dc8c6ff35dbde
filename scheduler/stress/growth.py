"""Slow weeks: when each cut can be taken, in every run, and how long it may wait.

Work in the nursery goes on as planned: what is behind when it is moved on makes up for it where it is cut.
Ahead of time nothing gets by this: plants that wait do not gain days.
"""

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.calendar import WEEK, Work
from scheduler.farm.farm import Farm
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.stress.chances import Chances
from scheduler.stress.draws import Counts
from scheduler.stress.journey import Batch, Journey, Patch

NEVER = np.int32(2**30)
"""A day past any that is looked at."""

LONGEST_STAY = 21
"""Days beyond the plan's that a late raft may stay at most, where the row has room for it."""


class Steady:
    """What is the same in every run: pace by shelf or trough and day, and harvest days.

    Attributes:
        farm: the farm.
        owners: name of a shelf or trough -> its row in ``pace``, in the order of the book.
        days: how many days are looked at.
        owners_weeks: how many shelves and troughs there are, and how many weeks.
        pace: owners x days, thousandths.
        open: harvest days.
    """

    def __init__(self, farm: Farm) -> None:
        """Work out the pace of all days once."""
        self.farm = farm
        names = dict.fromkeys(place.belongs_to for place in farm.places)
        self.owners = {name: at for at, name in enumerate(names)}
        self.days = days_of(farm)
        self.owners_weeks = len(self.owners), ceil_div(self.days, WEEK)
        self.pace = np.array(
            [[farm.pace.on(owner, day) for day in range(self.days)] for owner in self.owners], np.int64
        )
        self.open = OpenDays(farm)


class Growth:
    """Growth of every shelf and trough, day by day, in some runs."""

    def __init__(self, steady: Steady, chances: Chances, slow: NDArray[np.float64]) -> None:
        """Add up growth from day 0 on; ``slow`` are runs x shelves and troughs x weeks normal numbers."""
        self.farm, self.owners, self.days, self.open = steady.farm, steady.owners, steady.days, steady.open
        share = np.abs(slow) * chances.slow
        factor = np.clip(np.rint(WHOLE_SHARE - share), 0, WHOLE_SHARE).astype(np.int64)
        by_day = np.repeat(factor, WEEK, axis=2)[:, :, : self.days]
        grown = steady.pace[None, :, :] * by_day // WHOLE_SHARE
        self.upto = np.zeros((len(slow), len(self.owners), self.days + 1), np.int32)
        np.cumsum(grown, axis=2, out=self.upto[:, :, 1:])

    def between(self, owner: str, start: int, end: int) -> Counts:
        """Return thousandths of card days grown from one day up to another, in each run."""
        before = self.farm.pace.grown(owner, start, min(end, 0)) if start < 0 else 0
        first, last = max(start, 0), min(max(end, 0), self.days)
        if owner not in self.owners or last <= first:
            return np.full(len(self.upto), before, np.int32)
        sums = self.upto[:, self.owners[owner]]
        found: Counts = sums[:, last] - sums[:, first] + np.int32(before)
        return found

    def reached(self, owner: str, start: Counts, wanted: Counts) -> Counts:
        """Return the first day on which so much has grown since ``start``; NEVER past the last day."""
        if owner not in self.owners:
            return start
        sums = self.upto[:, self.owners[owner]]
        rows = np.arange(len(sums))
        first = np.clip(start, 0, self.days)
        target = sums[rows, first] + wanted
        found: Counts = (sums < target[:, None]).sum(axis=1).astype(np.int32)
        found = np.maximum(found, first).astype(np.int32)
        found[(found > self.days) | (start >= NEVER)] = NEVER
        return found


def days_of(farm: Farm) -> int:
    """Return how many days are looked at."""
    return farm.calendar.span + LONGEST_STAY


class OpenDays:
    """The farm's harvest days, looked up at once for many days."""

    def __init__(self, farm: Farm) -> None:
        """List the open harvest days from today on."""
        self.last = days_of(farm)
        is_open = [
            day >= farm.today and farm.calendar.is_open(Work.HARVEST, day) for day in range(self.last + 1)
        ]
        self._next = np.full(self.last + 2, NEVER, np.int32)
        self._before = np.full(self.last + 2, -1, np.int32)
        for day in range(self.last, -1, -1):
            self._next[day] = day if is_open[day] else self._next[day + 1]
        for day in range(self.last + 1):
            self._before[day] = day if is_open[day] else (self._before[day - 1] if day else -1)
        self._before[self.last + 1] = self._before[self.last]

    def on_or_after(self, days: Counts) -> Counts:
        """Return the first harvest day on or after each day."""
        found: Counts = self._next[np.clip(days, 0, self.last + 1)]
        return found

    def on_or_before(self, days: Counts) -> Counts:
        """Return the last harvest day on or before each day; -1 where there is none."""
        found: Counts = self._before[np.clip(days, 0, self.last + 1)]
        found[days < 0] = -1
        return found


class Ripening:
    """Harvest days from which, and through which, each picking can be cut in each run.

    Attributes:
        journey, growth, open: the plan, growth in each run, and harvest days.
        early: part of its days that a head may lack, parts of ten thousand.
        ready: runs x pickings, the first harvest day; NEVER where there is none.
        last: runs x pickings, the last harvest day.
    """

    def __init__(self, journey: Journey, growth: Growth, chances: Chances) -> None:
        """Work out days of all pickings, as if every raft could stay through its window."""
        self.journey, self.growth = journey, growth
        self.open = growth.open
        self.early = chances.early
        self._overdue = {row.lot for row in journey.plan.lots if row.overdue}
        self._behind: dict[tuple[str, int, int], Counts] = {}
        runs, pickings = len(growth.upto), len(journey.pickings)
        self.ready = np.full((runs, pickings), NEVER, np.int32)
        self.last = np.full((runs, pickings), -1, np.int32)
        for batch in journey.batches:
            self._keep_behind(batch)
        for at in range(pickings):
            self._picking(at)

    def _keep_behind(self, batch: Batch) -> None:
        """Keep how far plants are behind when they move on, what they brought along included."""
        stage = self.journey.farm.crops[batch.crop].route[batch.stage]
        runs = len(self.growth.upto)
        behind = np.zeros(runs, np.int32)
        for owner in batch.owners:
            grown = self.growth.between(owner, batch.enters, batch.leaves)
            usual = self.journey.farm.pace.grown(owner, batch.enters, batch.leaves)
            # what the plan moves on short of its days, as an overdue lot, is not made worse
            wanted = min(stage.days * MILLI, usual)
            behind = np.maximum(behind, wanted - grown).astype(np.int32)
        brought = self._brought(batch)
        key = batch.lot, batch.stage, batch.leaves
        so_far = self._behind.get(key)
        total = behind + brought
        self._behind[key] = total if so_far is None else np.maximum(so_far, total)

    def _brought(self, batch: Batch) -> Counts:
        """Return how far behind plants were, in thousandths of days, when they came into a batch."""
        found = self._behind.get((batch.lot, batch.stage - 1, batch.enters))
        return np.zeros(len(self.growth.upto), np.int32) if found is None or batch.found else found

    def _picking(self, at: int) -> None:
        """Work out the days of one picking; those of the cut before it are known already."""
        picking = self.journey.pickings[at]
        patch = self.journey.patches[picking.patch]
        crop = self.journey.farm.crops[patch.batch.crop]
        wait = crop.route[-1].wait * MILLI
        start, days, behind = self._since(at, patch)
        # a head may lack a little of its days; so may a planned one that is cut sooner, as an overdue one
        total = sum(stage.days for stage in crop.route) if picking.number == 1 else crop.cut_interval
        wanted = np.maximum(days * MILLI + behind - total * MILLI * self.early // WHOLE_SHARE, 0)
        owner = patch.owner
        ready = self.growth.reached(owner, start, wanted.astype(np.int32))
        end = self.growth.reached(owner, start, (days * MILLI + behind + wait + 1).astype(np.int32)) - 1
        if patch.batch.found and patch.batch.lot in self._overdue:
            # the plan itself cuts these beyond their days
            ready = np.minimum(ready, np.int32(picking.day))
        self.ready[:, at] = np.where(ready >= NEVER, NEVER, self.open.on_or_after(ready))
        self.last[:, at] = self.open.on_or_before(np.maximum(np.minimum(end, self.open.last), picking.day))

    def _since(self, at: int, patch: Patch) -> tuple[Counts, int, Counts]:
        """Return the day growth counts from, the days that are needed, and how far behind it began."""
        picking, batch = self.journey.pickings[at], patch.batch
        crop = self.journey.farm.crops[batch.crop]
        runs = len(self.growth.upto)
        none = np.zeros(runs, np.int32)
        if picking.after is not None:
            before = self.journey.pickings[picking.after]
            done = np.maximum(self.ready[:, picking.after], np.int32(before.day))
            return done.astype(np.int32), crop.cut_interval, none
        if picking.number == 1:
            behind = self._brought(batch)
            if batch.enters < 0:
                # grown before the first day, as the book has it
                behind = behind - np.int32(self.journey.farm.pace.grown(patch.owner, batch.enters, 0))
            return np.full(runs, max(batch.enters, 0), np.int32), crop.route[-1].days, behind
        entry = self.growth_entry(batch)
        behind = none - np.int32(self.journey.farm.pace.grown(patch.owner, entry, 0))
        return none, crop.cut_interval, behind

    def growth_entry(self, batch: Batch) -> int:
        """Return the day of the last cut of rafts that were cut before the first day."""
        cuts = [
            row.last_cut
            for row in self.journey.farm.growing
            if row.lot == batch.lot and row.last_cut is not None and row.since == batch.enters
        ]
        return max(cuts, default=min(batch.enters, 0))

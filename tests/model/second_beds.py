"""Beds in the second planner: every position by itself, and every planting it may hold.

A position holds one planting at a time: for each sowing day and day of setting in there is a yes-or-no, and
two that meet in a position, clean-up included, never both hold. How much each planting ripens is counted
day by day from the text of the rules; heads are rounded down over all plants of a lot that are set into
positions of a kind on one day. All beds may have paces of their own.
"""

from collections import defaultdict
from dataclasses import dataclass
from itertools import combinations
from math import gcd

from scheduler.farm.places import PlaceKind

FAR = 400
WEEK = 7000
PART = 10_000_000
"""Of a plant's thousandths, and of shares in parts of ten thousand."""


@dataclass(frozen=True)
class Position:
    """One position: its bed, its number, and the days on which it is open, from the first day on."""

    bed: str
    number: int
    clean: int
    open: frozenset

    def kind(self, farm):
        """What makes positions alike: pace, days it is open, clean-up, and the crops that may be set in."""
        crops = frozenset(c.name for c in farm.crops.values() if c.picking and self.bed in c.picking.beds)
        paces = tuple(farm.pace.grown(self.bed, 0, day) for day in (1, 40, 80, 120))
        return paces, self.open, self.clean, crops

    def is_open(self, first, last):
        """Say whether it is open on all days from first through last."""
        return all(day in self.open for day in range(first, last + 1))


def positions(farm):
    """Every position of every bed; those with the highest numbers are the ones that close."""
    days = range(farm.today, farm.calendar.span + FAR)
    found = []
    for bed in farm.places_of(PlaceKind.BED):
        most = max(bed.slots.on(day) for day in days)
        for number in range(1, most + 1):
            opens = frozenset(day for day in days if bed.slots.on(day) >= number)
            found.append(Position(bed.name, number, bed.clean_days, opens))
    return found


def ripening(farm, crop, bed, day):
    """Yield (picking day, picking week) of plants set into a bed on a day, counted day by day."""
    for later in range(day, day + FAR):
        week = (farm.pace.grown(bed, day, later) - crop.finish.days * 1000) // WEEK
        if week >= len(crop.picking.curve):
            return
        if week >= 0 and later in crop.picking.days:
            yield later, week


class Beds:
    """All plantings of one farm, written into the second planner's model."""

    def __init__(self, model):
        self.model, self.farm = model, model.farm
        self.positions = positions(self.farm)
        self.stays = defaultdict(list)
        """position -> (first day, day it is free again, yes or no)"""
        self.standing = defaultdict(list)
        """(crop, lot, day set in, kind of position, last day) -> its plantings"""
        self.ripe = {}

    def set_in(self, crop, lot, day):
        """Set plants of a lot in on a day; return a yes-or-no for each position it could be."""
        made = []
        for at, position in enumerate(self.positions):
            if position.bed not in crop.picking.beds:
                continue
            ripe = list(ripening(self.farm, crop, position.bed, day))
            ripe_open = [d for d, _ in ripe if position.is_open(day, d + position.clean - 1)]
            if not ripe_open or not position.is_open(day, day):
                continue
            leaves = ripe_open[-1]
            yes = self.model.solver.addBinary()
            self.stays[at].append((day, leaves + position.clean, yes))
            key = (crop.name, lot, day, position.kind(self.farm), leaves)
            self.standing[key].append(yes)
            self.ripe[key] = ripe
            self.model.minutes[day].append(crop.minutes.bed * yes)
            self._work(crop, ripe_open, leaves, yes)
            made.append(yes)
        return made

    def found(self, index, row):
        """What stands in a bed on the first day is kept as it is, or pulled out and cleaned up after."""
        farm, today = self.farm, self.farm.today
        crop = farm.crops[row.crop]
        held = [
            at
            for at, position in enumerate(self.positions)
            if position.bed == row.place and row.order <= position.number < row.order + row.units
        ]
        clean = farm.place(row.place).clean_days
        ripe = list(ripening(farm, crop, row.place, row.since))
        gone = max(today, -FAR if row.last_cut is None else row.last_cut + 1)
        left = [
            d
            for d, _ in ripe
            if d >= gone and all(self.positions[at].is_open(today, d + clean - 1) for at in held)
        ]
        for at in held:
            self.stays[at].append((today, today + clean, 1))
        if not left:
            return
        yes = self.model.solver.addBinary()
        key = (crop.name, f"growing {index}", row.since, row.plants, left[-1])
        self.standing[key] = [row.plants * yes]
        self.ripe[key] = ripe
        for at in held:
            self.stays[at].append((today + clean, max(left[-1] + clean, today + clean), yes))
        self._work(crop, left, left[-1], row.plants * yes)
        self._week_by_week(key, gone)

    def _work(self, crop, picks, leaves, plants):
        last = self.farm.calendar.span
        for day in picks:
            if day <= last:
                self.model.minutes[day].append(crop.minutes.pick * plants)
        if leaves <= last:
            self.model.minutes[leaves].append(crop.minutes.clear * plants)

    def write(self):
        """No position holds two plantings at once; what new ones give."""
        for held in self.stays.values():
            for (first, free, one), (also, again, other) in combinations(held, 2):
                if first < again and also < free:
                    self.model.keep(one + other <= 1)
        for key in self.standing:
            if not str(key[1]).startswith("growing"):
                self._week_by_week(key, self.farm.today)

    def _week_by_week(self, key, start):
        """Up to each picking no more than its part of the week; on a day its part, rounded up."""
        crop = self.farm.crops[key[0]]
        plants = sum_of(self.standing[key])
        weeks = defaultdict(list)
        for day, week in self.ripe[key]:
            weeks[week].append(day)
        for week, days in weeks.items():
            whole = crop.picking.curve[week] * crop.heads_share
            taken = []
            for day in (day for day in days if start <= day <= key[4]):
                if day > self.farm.calendar.span:
                    break
                now = self.model.whole(100_000)
                taken.append(now)
                self.model.picked[crop.name, day].append(now)
                part = gcd(len(days) * PART, whole)
                each, gives = len(days) * PART // part, whole // part
                self.model.keep(each * sum_of(taken) <= plants * (len(taken) * gives))
                self.model.keep(each * now <= plants * gives + (len(days) * PART - 1) // part)


def sum_of(parts):
    """Add up numbers, variables and expressions."""
    total = 0
    for part in parts:
        total = total + part
    return total

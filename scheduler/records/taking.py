"""Plants taken out of units: moved on, lost or cut."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from scheduler.records.entries import Entry
from scheduler.records.yard import Held, Refused, Unit


def take_out(units: Sequence[Unit], lot: str, plants: int) -> None:
    """Take plants of a lot out of units, emptying one after the other."""
    for unit in units:
        for held in unit.held:
            if held.lot == lot:
                taken = min(held.plants, plants)
                held.plants -= taken
                plants -= taken


def lose(units: Sequence[Unit], lot: str, plants: int) -> None:
    """Take plants of a lot away one by one, each from the fullest unit: losses seldom empty one first."""
    left = sum(unit.of(lot) for unit in units) - plants
    # the level to which all are brought down, and how many units stay one above it
    level = 0
    counts = [unit.of(lot) for unit in units]
    while sum(min(count, level + 1) for count in counts) <= left and level < max(counts, default=0):
        level += 1
    above = left - sum(min(count, level) for count in counts)
    for unit, count in zip(units, counts, strict=True):
        keeps = min(count, level)
        if count > level and above > 0:
            keeps, above = keeps + 1, above - 1
        take_out([unit], lot, count - keeps)


def chosen_for_cut(units: Sequence[Unit], lot: str, plants: int) -> list[tuple[Unit, Held, int]]:
    """Return which plants of a lot a cut takes: those with the fewest cuts first, from the harvest end on."""
    standing = [(unit, held) for unit in units for held in unit.held if held.lot == lot]
    standing.sort(key=lambda pair: (pair[1].cuts, pair[1].last_cut or date.min))
    taken = []
    for unit, held in standing:
        now = min(held.plants, plants)
        if now:
            taken.append((unit, held, now))
            plants -= now
    return taken


def cut_plants(units: Sequence[Unit], entry: Entry) -> dict[tuple[date, int], int]:
    """Cut plants of a lot; ``left`` of them stay for another cut, those cut least often before others.

    Returns (day they came into their units, number of the cut) -> plants cut.

    Raises:
        Refused: some of them were treated, and the interval lasts.
    """
    taken = chosen_for_cut(units, entry.lot, entry.plants or 0)
    for _, held, _ in taken:
        if held.until is not None and entry.day <= held.until:
            found = f"'{entry.lot}' cut on {entry.day}, treated and not to be cut through {held.until}"
            raise Refused("when", found, "a day after the interval of the treatment", "treated")
    gone = (entry.plants or 0) - (entry.left or 0)
    cut: dict[tuple[date, int], int] = defaultdict(int)
    for unit, held, now in sorted(taken, key=lambda each: -each[1].cuts):
        held.plants -= now
        cut[unit.since, held.cuts + 1] += now
        away = min(now, gone)
        gone -= away
        if now > away:
            unit.put_in(replace(held, plants=now - away, cuts=held.cuts + 1, last_cut=entry.day))
    return cut

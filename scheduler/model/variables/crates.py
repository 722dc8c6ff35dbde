"""Crates in coolers: what stands there after each day, and how many crates that fills."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.units import ceil_div
from scheduler.model.variables.decisions import Decisions, Tag


def decide_crates(model: CpModel, chosen: Decisions) -> None:
    """Make the counts of crates, one for each crop and day after which heads of it may stand somewhere.

    Between two days of cutting what stands only grows less, so only the days of cutting count.
    """
    cut_days = {day for _, day, _ in chosen.fills}
    for crop, by_day in held(chosen).items():
        crating = chosen.farm.crops[crop].crating
        for day, fills in by_day.items():
            if crating is not None and day in cut_days:
                most = ceil_div(sum(chosen.most(fill) for fill in fills), crating.heads)
                tag = Tag(crop, day, True)
                chosen.crates[crop, day] = chosen.new(model, most, f"crates_{crop}_{day}", tag)


def held(chosen: Decisions) -> dict[str, dict[int, list[IntVar]]]:
    """Return crop -> day -> heads that stand somewhere after that day; nothing without coolers."""
    found: dict[str, dict[int, list[IntVar]]] = defaultdict(lambda: defaultdict(list))
    if chosen.farm.coolers:
        for (crop, day, parcel), fill in chosen.fills.items():
            wish = chosen.frame.wishes[chosen.parcels[parcel].wish]
            for night in chosen.frame.nights(day, wish):
                found[crop][chosen.frame.fold(night)].append(fill)
    return found


def set_crates(chosen: Decisions, values: list[int]) -> None:
    """Count the crates that the heads of an answer fill."""
    standing = held(chosen) if chosen.crates else {}
    for (crop, day), crates in chosen.crates.items():
        crating = chosen.farm.crops[crop].crating
        if crating is not None:
            heads = sum(values[fill.index] for fill in standing[crop][day])
            values[crates.index] = ceil_div(heads, crating.heads)

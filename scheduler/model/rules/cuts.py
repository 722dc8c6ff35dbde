"""Cuts of a raft, the heads they give, and the deliveries they fill."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar, LinearExprT

from scheduler.farm.orders.mixes import needs_of
from scheduler.farm.shared import part_heads
from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.model.options.options import RaftSet
from scheduler.model.variables.decisions import Decisions, RaftLot, TrayLot, cells_of

_ByDay = dict[int, list[LinearExprT]]
"""Day -> plants that are cut on it."""


def cuts(model: CpModel, chosen: Decisions) -> None:
    """A raft is cut within its harvest window, each next cut an interval later, and leaves after its last."""
    for option, plants in chosen.raft_plants.items():
        crop = chosen.farm.crops[option.crop]
        model.add(sum(v for gone in chosen.leaving[option].values() for v in gone) == plants)
        if crop.cuts == 1:
            continue
        at: dict[tuple[int, int | None], list[IntVar]] = defaultdict(list)
        onward: dict[tuple[int, int | None], list[IntVar]] = defaultdict(list)
        for step in option.cuttings:
            variable = chosen.cut_plants[option, step]
            at[step.number, step.day].append(variable)
            if step.after is not None:
                onward[step.number - 1, step.after].append(variable)
        _plants_that_leave(model, chosen, option, at, onward)


def _plants_that_leave(
    model: CpModel,
    chosen: Decisions,
    option: RaftSet,
    at: dict[tuple[int, int | None], list[IntVar]],
    onward: dict[tuple[int, int | None], list[IntVar]],
) -> None:
    """After each cut plants go on to the next one or leave; all leave by their last."""
    going: dict[int | None, list[IntVar]] = defaultdict(list)
    for (number, day), cut in at.items():
        model.add(sum(onward.get((number, day), [])) <= sum(cut))
        going[day] += cut
    first = min((step.number for step in option.cuttings), default=0)
    thrown = chosen.thrown.get(option)
    started = sum(v for (number, _), cut in at.items() if number == first for v in cut)
    model.add(started + (thrown if thrown is not None else 0) == chosen.raft_plants[option])
    for day, gone in chosen.leaving[option].items():
        stays = sum(v for (_, after), steps in onward.items() if after == day for v in steps)
        thrown_today = thrown if thrown is not None and day == chosen.frame.start else 0
        model.add(sum(gone) == sum(going.get(day, [])) - stays + thrown_today)


def heads(model: CpModel, chosen: Decisions) -> None:
    """Heads taken up to any day are at most the plants cut up to that day less losses, cut by cut.

    What one day gives is at most its own share, rounded up: losses cannot be put off to another day.
    What rounding left over of a cut that has begun before the first day counts with what still stands for it.
    What of a lot came onto rafts on one day is rounded together, and so is what is cut of one in its trays.
    """
    cut: dict[tuple[RaftLot | TrayLot, int], _ByDay] = defaultdict(lambda: defaultdict(list))
    for (option, step), plants in chosen.cut_plants.items():
        cut[chosen.raft_lots[option], step.number][step.day].append(plants)
    for lot, cuts in chosen.tray_cuts.items():
        for (number, day), outs in cuts.items():
            cut[lot, number][day] += [cells_of(chosen.farm, out) * chosen.tray_rows[out] for out in outs]
    for (batch, number), by_day in cut.items():
        share = chosen.farm.crops[batch.crop].heads_share
        plants_so_far: list[LinearExprT] = []
        taken: list[IntVar] = []
        over = part_heads(chosen.farm, batch.growing, number)
        for day in sorted(by_day):
            plants_so_far += by_day[day]
            taken.append(chosen.heads[batch, number, day])
            model.add(WHOLE_SHARE * sum(taken) <= share * sum(plants_so_far) + over)
            model.add(WHOLE_SHARE * taken[-1] <= share * sum(by_day[day]) + WHOLE_SHARE - 1)


def deliveries(model: CpModel, chosen: Decisions) -> None:
    """Heads go into deliveries while they are fresh: cut in the window, delivered within the hold days."""
    frame = chosen.frame
    cut: dict[tuple[str, int], list[IntVar]] = defaultdict(list)
    for (option, _, day), taken in chosen.heads.items():
        cut[option.crop, frame.fold(day)].append(taken)
    given: dict[tuple[str, int], list[IntVar]] = defaultdict(list)
    into: dict[tuple[int, str], list[IntVar]] = defaultdict(list)
    for (crop, day, index), fill in chosen.fills.items():
        given[crop, day].append(fill)
        into[index, crop].append(fill)
    for key, taken_all in cut.items():
        model.add(sum(given.get(key, [])) == sum(taken_all))
    by_wish: dict[int, list[IntVar]] = defaultdict(list)
    for (number, crop), units in chosen.units.items():
        parcel = chosen.parcels[number]
        product = chosen.farm.products[parcel.product]
        if product.parts:
            for need in needs_of(product):
                there = [each * sum(into.get((number, part), [])) for part, each in need.heads.items()]
                model.add(need.unit * units <= sum(there))
        else:
            model.add(product.sources[crop] * units <= MILLI * sum(into.get((number, crop), [])))
        by_wish[parcel.wish].append(units)
    for index, wish in enumerate(frame.wishes):
        filled = sum(by_wish[index])
        model.add(filled + chosen.short[index] == wish.amount)
        if index in chosen.whole:
            model.add(filled == wish.amount * chosen.whole[index])

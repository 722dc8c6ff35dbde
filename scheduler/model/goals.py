"""What a plan is for, in order: firm deliveries, flexible ones, cost, and simplicity."""

from dataclasses import dataclass
from math import log10

from ortools.sat.python.cp_model import IntVar, LinearExpr, LinearExprT

from scheduler.farm.farm import Farm
from scheduler.farm.units import HOUR, MILLI, WHOLE_SHARE
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.options import BoardOut, RaftSet
from scheduler.model.rules.hours import minutes_by_day
from scheduler.model.rules.space import stays_of
from scheduler.model.variables.decisions import Decisions, cells_of, lot_of

Term = tuple[int, IntVar]
"""A whole weight and what it weighs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One goal as weighted variables; less is better. ``level`` is that of the plan's table of goals."""

    level: int
    terms: tuple[Term, ...]


def every_goal(chosen: Decisions) -> tuple[Goal, ...]:
    """Return all goals of a plan in their order."""
    return shortage(chosen, 1), shortage(chosen, 2), cost(chosen), simplicity(chosen)


FIRM_UNIT, FLEXIBLE_UNIT = 10_000_000, 50_000
"""What the least missing unit of a firm and of a flexible delivery weighs in the blended goal."""

FIRM_TAIL, FLEXIBLE_TAIL = 100_000, 10_000
"""The same for any unit past the last reported day."""

CYCLE_UNIT = 1_000
"""What a missing unit weighs in a steady cycle."""

SUBSTITUTE = 1_000
"""Points of each unit of a substitute, times its rank: growing what was ordered nearly always takes fewer."""

STEADY_SUBSTITUTE = 20
"""The same in a steady cycle."""

MOST_TIMES = 300
"""The most one unit may outweigh another of its level in the blended goal."""


def blend(chosen: Decisions) -> LinearExprT:
    """Return one goal for the search: shortage first by far, then cost and simplicity.

    The order of the goals is kept strictly by what the search accepts; the blend only leads it.

    Raises:
        Exception: whatever the pulse of the decisions raises to give the work up.
    """
    terms = [*_led(chosen, 1, FIRM_UNIT, FIRM_TAIL), *_led(chosen, 2, FLEXIBLE_UNIT, FLEXIBLE_TAIL)]
    chosen.pulse()
    terms += care(chosen)
    terms += [(min(weight, FLEXIBLE_TAIL // 2), units) for weight, units in substitution(chosen, SUBSTITUTE)]
    chosen.pulse()
    terms += [(weight // MILLI, variable) for weight, variable in cost(chosen).terms]
    chosen.pulse()
    # At once: added one by one, the terms of a large farm take seconds.
    kept = [(weight, variable) for weight, variable in terms if weight]
    return LinearExpr.weighted_sum([variable for _, variable in kept], [weight for weight, _ in kept])


def _led(chosen: Decisions, level: int, unit: int, tail: int) -> list[Term]:
    """Return what is short of a level as the search is led to it: among what is reported by its weight.

    What lies past the last reported day weighs a thousandth, and would make all the rest look alike.
    """
    past = {demand.name for demand in chosen.farm.demands if not demand.reported}
    wishes = chosen.frame.wishes
    weights = [wish.weight for wish in wishes if wish.level == level and wish.name not in past]
    least = min(weights, default=1)

    def led(weight: int, floor: int) -> int:
        return max(floor, unit * min(weight, MOST_TIMES * least) // least)

    short = [(led(wishes[i].weight, tail), v) for i, v in chosen.short.items() if wishes[i].level == level]
    return short + [(led(weight, 1), lack) for weight, lack in chosen.box_terms if level == 2]


def steady_blend(chosen: Decisions) -> LinearExprT:
    """Return the goal of a steady cycle: units short, ten times the weight counted twice, then simplicity.

    Nearly even weights lead to a cycle that serves nearly all; which delivery goes first by far is settled in
    the season.
    """
    return sum(weight * variable for weight, variable in steady_terms(chosen))


def steady_terms(chosen: Decisions) -> list[Term]:
    """Return the weighted variables of :func:`steady_blend`."""
    terms = [*_steadily(chosen, 1, CYCLE_UNIT), *_steadily(chosen, 2, CYCLE_UNIT // 4)]
    return [*terms, *_steady_lacks(chosen), *substitution(chosen, STEADY_SUBSTITUTE), *care(chosen)]


def _steadily(chosen: Decisions, level: int, unit: int) -> list[Term]:
    """Return what is short of a level, the least of it weighing ``unit``."""
    terms = [(chosen.frame.wishes[index].weight, short) for index, short in chosen.short.items()
             if chosen.frame.wishes[index].level == level]  # fmt: skip
    least = min((weight for weight, _ in terms), default=1)
    return [(unit + round(unit * log10(weight / least)), short) for weight, short in terms]


def _steady_lacks(chosen: Decisions) -> list[Term]:
    """Return what boxes of a cycle lack, against a missing unit as in :func:`shortage`."""
    units = [chosen.frame.wishes[index].weight for found in chosen.box_wishes.values() for index in found]
    unit = 4 * max(units, default=1)
    return [(max(1, weight * CYCLE_UNIT // unit), lack) for weight, lack in chosen.box_terms]


def shortage(chosen: Decisions, level: int) -> Goal:
    """Return the value-weighted shortage of firm (level 1) or flexible (level 2) demand.

    What boxes lack of their value, kinds and wishes counts with the flexible demand.
    """
    wishes = chosen.frame.wishes
    terms = tuple((wishes[i].weight, short) for i, short in chosen.short.items() if wishes[i].level == level)
    lacks = tuple(chosen.box_terms) if level == 2 else ()
    return Goal(level=level, terms=(*terms, *lacks))


def cost(chosen: Decisions) -> Goal:
    """Return the cost of seed, units, work, space and waste, in thousandths of a hundredth of money."""
    terms = [*_seed_and_units(chosen), *_space(chosen), *_work(chosen), *_waste(chosen), *_lost(chosen)]
    terms += _takings(chosen)
    lot = chosen.farm.cost("lot")
    terms += [(lot * MILLI, used) for used in chosen.lots.values() if lot]
    return Goal(level=3, terms=tuple(term for term in terms if term[0]))


def simplicity(chosen: Decisions) -> Goal:
    """Return how much there is to look after, and the units of substitutes, each times its rank."""
    terms = (*care(chosen), *substitution(chosen, SUBSTITUTE))
    return Goal(level=5, terms=terms)


def substitution(chosen: Decisions, points: int) -> list[Term]:
    """Return the units given in place of what was ordered, each weighing so many points times its rank."""
    return [
        (points * chosen.parcels[number].rank, units)
        for (number, _), units in chosen.units.items()
        if chosen.parcels[number].rank
    ]


def care(chosen: Decisions) -> list[Term]:
    """Return what there is to look after: lots, trays, boards, rafts, and plants that are moved."""
    terms: list[Term] = [(200, used) for used in chosen.lots.values()]
    terms += [(40, count) for _, count in _first_counts(chosen)]
    terms += [(1, plants) for plants in chosen.board_plants.values()]
    terms += [(1, plants) for plants in chosen.raft_plants.values()]
    terms += [(4, rows) for rows in chosen.tray_rows.values()]
    terms += [(4, plants) for plants in chosen.bed_plants.values()]
    terms += [
        (max(1, day - queue.enters), v) for queue, days in chosen.queues.items() for day, v in days.items()
    ]
    return terms


def _first_counts(chosen: Decisions) -> list[tuple[str, IntVar]]:
    """Return each group of trays and boards once, with all its units, and its item."""
    found: list[tuple[str, IntVar]] = []
    for item, counts in (("tray", chosen.trays), ("board", chosen.boards)):
        seen = set()
        for (group, _), count in counts.items():
            if group not in seen and group.enters >= chosen.frame.start:
                seen.add(group)
                found.append((item, count))
    return found


def _seed_and_units(chosen: Decisions) -> list[Term]:
    farm = chosen.farm
    terms: list[Term] = []
    for out, rows in chosen.tray_rows.items():
        if out.growing < 0:
            crop = farm.crops[out.crop]
            cells = farm.equipment[crop.tray.unit].cells_per_row
            terms.append((cells * crop.handling.seeds_per_cell * crop.handling.seed_cost, rows))
    terms += [(farm.cost(item) * MILLI, count) for item, count in _first_counts(chosen)]
    raft = farm.cost("raft") * MILLI
    new = [queue for queue in chosen.queues if queue.raft_class.growing < 0]
    terms += [(raft, v) for queue in new for v in chosen.queues[queue].values()]
    return terms


def _space(chosen: Decisions) -> list[Term]:
    farm = chosen.farm
    terms: list[Term] = []
    for name, counts in (("tray_slot_day", chosen.trays), ("board_slot_day", chosen.boards)):
        price = farm.cost(name) * MILLI
        for parts in stays_of(counts, chosen.frame.start).values():
            kept = [part for part in parts if part[1] > chosen.frame.start]
            terms += [(price * (until - start), count) for start, until, count in kept]
    price = farm.cost("raft_slot_day") * MILLI
    for queue, days in chosen.queues.items():
        terms += [(price * (day - max(queue.enters, chosen.frame.start)), v) for day, v in days.items()]
    price = farm.cost("bed_slot_day") * MILLI
    terms += [(price * (option.free - option.day), plants) for option, plants in chosen.bed_plants.items()]
    return terms


def _work(chosen: Decisions) -> list[Term]:
    hour = chosen.farm.cost("hour")
    if not hour:
        return []
    return [
        (minutes * hour * MILLI // HOUR, amount)
        for parts in minutes_by_day(chosen).values()
        for minutes, amount in parts
    ]


def _takings(chosen: Decisions) -> list[Term]:
    """Return what is sold at outlets: what it brings is taken off the cost."""
    weeks = chosen.frame.outlets
    return [(-weeks[week].steps[step].price * MILLI, units) for (week, step), units in chosen.sold.items()]


def _lost(chosen: Decisions) -> list[Term]:
    """Return what substitutes bring less than what was ordered."""
    return [(chosen.parcels[number].lost * MILLI, units) for (number, _), units in chosen.units.items()]


def wasted_head(farm: Farm, crop: str) -> int:
    """Return what it costs to grow one head in vain, or a gram of an open tray, as :func:`cost` counts.

    Plants that are picked for weeks are not wasted by what is left of one picking.
    """
    if farm.crops[crop].picking is not None:
        return 0
    return farm.cost("wasted_plant") * MILLI // (farm.crops[crop].grams or 1)


def _waste(chosen: Decisions) -> list[Term]:
    farm = chosen.farm
    wasted, discarded = farm.cost("wasted_plant"), farm.cost("discarded_plant")
    terms: list[Term] = []
    if wasted:
        for out, rows in chosen.tray_rows.items():
            share = farm.crops[out.crop].heads_share * cells_of(farm, out)
            terms += [(wasted_head(farm, out.crop) * share // WHOLE_SHARE, rows) for _ in out.cuts]
        for (option, _), plants in chosen.cut_plants.items():
            terms.append((wasted * MILLI * farm.crops[option.crop].heads_share // WHOLE_SHARE, plants))
        terms += [(-wasted_head(farm, key[0].crop), heads) for key, heads in chosen.heads.items()]
    return [*terms, *_thrown(chosen, discarded * MILLI)] if discarded else terms


def _thrown(chosen: Decisions, price: int) -> list[Term]:
    """Return what plants of the first day cost that are thrown away on any day; those in rafts only at once.

    Of what stands in trays and boards all would be; what is cut there, or set out to where it will be, is
    taken off, with what boards lose on the way.
    """
    farm = chosen.farm
    terms: list[Term] = [(price, plants) for plants in chosen.thrown.values()]
    terms += [(-price, rows) for out, rows in chosen.tray_rows.items() if out.growing >= 0 and out.cuts]
    terms += [
        (-price * farm.growing[option.growing].plants, kept) for option, kept in chosen.bed_kept.items()
    ]
    set_out: list[tuple[RaftSet | BedSet, IntVar]] = [*chosen.raft_plants.items(), *chosen.bed_plants.items()]
    for option, plants in set_out:
        if option.source is not None and lot_of(option)[2] >= 0:
            board = farm.crops[option.crop].board if isinstance(option.source, BoardOut) else None
            terms.append((-price * WHOLE_SHARE // (board.survival if board else WHOLE_SHARE), plants))
    return terms

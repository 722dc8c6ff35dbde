"""Plants in beds: positions, and what each picking may give."""

from collections import defaultdict
from math import gcd

from ortools.sat.python.cp_model import CpModel, IntVar, LinearExprT

from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.model.options.bed_options import BedSet
from scheduler.model.variables.decisions import Decisions


def bed_positions(model: CpModel, chosen: Decisions) -> None:
    """Plants in a bed never exceed its open positions, on any day from setting in to the end of clean-up."""
    for pool in chosen.bed_pools:
        stays: list[tuple[int, int, LinearExprT, int]] = []
        for option, plants in chosen.bed_plants.items():
            if option.pool == pool.name:
                stays.append((option.day, option.free, plants, chosen.most(plants)))
        for option, kept in chosen.bed_kept.items():
            number = dict(option.positions).get(pool.name, 0)
            if number:
                cleared = chosen.frame.start + pool.clean_days
                stays.append((min(option.day, chosen.frame.start), cleared, number, number))
                stays.append((cleared, max(option.free, cleared), number * kept, number))
        copies = chosen.frame.copies
        for day in chosen.frame.check_days(
            {max(start, chosen.frame.start) for start, _, _, _ in stays}, set()
        ):
            chosen.pulse()
            standing = [
                (number, count, most)
                for start, free, count, most in stays
                if (number := copies(start, free, day))
            ]
            if sum(number * most for number, _, most in standing) > pool.positions:
                model.add(sum(number * count for number, count, _ in standing) <= pool.positions)


def bed_pickings(model: CpModel, chosen: Decisions) -> None:
    """What is picked in a bed up to any picking of a week is at most that part of what ripens in the week.

    Of the whole week that is no more than the curve gives, and no picking gives more than its even part,
    rounded up; what one week leaves is not there in the next.
    """
    taken: dict[BedSet, dict[int, IntVar]] = defaultdict(dict)
    for (option, number, _), heads in chosen.heads.items():
        if isinstance(option, BedSet):
            taken[option][number] = heads
    for option, by_number in taken.items():
        crop = chosen.farm.crops[option.crop]
        if crop.picking is None:
            continue
        week, gone, so_far = -1, 0, list[IntVar]()
        for pick in option.picks:
            if pick.week != week:
                # Of what grows already some parts of its week were picked before.
                week, gone, so_far = pick.week, pick.part - 1, []
            taken_now = by_number.get(pick.number)
            if taken_now is None:
                continue
            so_far.append(taken_now)
            gives = crop.picking.curve[pick.week] * crop.heads_share
            each = pick.parts * MILLI * WHOLE_SHARE
            _at_most(model, so_far, each, ((pick.part - gone) * gives, 0), _plants(chosen, option))
            if pick.part - gone > 1:
                _at_most(model, [taken_now], each, (gives, each - 1), _plants(chosen, option))


def _at_most(
    model: CpModel, taken: list[IntVar], each: int, gives: tuple[int, int], plants: LinearExprT
) -> None:
    """Add ``each * taken <= gives * plants + spare``, by the greatest common part of the numbers."""
    share, spare = gives
    part = gcd(each, share) or 1
    model.add(each // part * sum(taken) <= share // part * plants + spare // part)


def _plants(chosen: Decisions, option: BedSet) -> LinearExprT:
    if option.source is None:
        return chosen.farm.growing[option.growing].plants * chosen.bed_kept[option]
    return chosen.bed_plants[option]

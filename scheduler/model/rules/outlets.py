"""What outlets take, week by week."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.model.variables.decisions import Decisions


def outlets(model: CpModel, chosen: Decisions) -> None:
    """An outlet takes no more in a week than its steps, each at its price."""
    if not chosen.frame.outlets:
        return
    number_of = {wish.name: index for index, wish in enumerate(chosen.frame.wishes)}
    units: dict[int, list[IntVar]] = defaultdict(list)
    for (number, _), some in chosen.units.items():
        units[chosen.parcels[number].wish].append(some)
    for index, week in enumerate(chosen.frame.outlets):
        of_days = [some for stall in week.stalls for some in units[number_of[stall.name]]]
        at_prices = [chosen.sold[index, number] for number in range(len(week.steps))]
        model.add(sum(of_days) == sum(at_prices))

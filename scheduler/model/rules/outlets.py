"""What outlets take, week by week."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.model.options.frame import OUTLET
from scheduler.model.variables.decisions import MIXED, Decisions


def outlets(model: CpModel, chosen: Decisions) -> None:
    """An outlet takes no more in a week than its steps, each at its price, and no head that makes no unit."""
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
    _no_more_heads(model, chosen)


def _no_more_heads(model: CpModel, chosen: Decisions) -> None:
    """Take less than one head more of each crop than the units need: what is left over is not sold."""
    into: dict[tuple[int, str], list[IntVar]] = defaultdict(list)
    for (crop, _, number), fill in chosen.fills.items():
        if chosen.frame.wishes[chosen.parcels[number].wish].level == OUTLET:
            into[number, crop].append(fill)
    for (number, crop), heads in into.items():
        product = chosen.farm.products[chosen.parcels[number].product]
        part = next((part for part in product.parts if part.crop == crop), None)
        if part is None:
            each = product.sources[crop]
            model.add(MILLI * sum(heads) <= each * chosen.units[number, crop] + each - 1)
        else:
            most, each = part.most * product.weight, WHOLE_SHARE * part.grams
            model.add(each * sum(heads) <= most * chosen.units[number, MIXED] + each - 1)
    for number in sorted({number for number, _ in into}):
        product = chosen.farm.products[chosen.parcels[number].product]
        if product.parts:
            weighed = [
                part.grams * head for part in product.parts for head in into.get((number, part.crop), ())
            ]
            spare = sum(part.grams for part in product.parts)
            model.add(sum(weighed) <= product.weight * chosen.units[number, MIXED] + spare)

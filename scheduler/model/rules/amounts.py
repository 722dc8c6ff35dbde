"""No more heads than the units given take: what is left over is said, and hidden in no delivery."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.orders.mixes import trimmings
from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.model.variables.decisions import MIXED, Decisions


def amounts(model: CpModel, chosen: Decisions) -> None:
    """A delivery, target, place of a box or outlet takes of each crop the heads of its units, rounded up.

    Of a mix each part weighs at most its greatest share, rounded up to a head, and all together less than a
    head of each part more than the units. A steady week shares out nothing that is kept: it is held to none
    of this.
    """
    if chosen.frame.period:
        return
    into: dict[tuple[int, str], list[IntVar]] = defaultdict(list)
    for (crop, _, number), fill in chosen.fills.items():
        into[number, crop].append(fill)
    mixed: set[int] = set()
    for (number, crop), heads in into.items():
        product = chosen.farm.products[chosen.parcels[number].product]
        part = next((part for part in product.parts if part.crop == crop), None)
        if part is None:
            units = chosen.units[number, crop]
            model.add(MILLI * sum(heads) <= product.sources[crop] * units + MILLI - 1)
        else:
            mixed.add(number)
            most, each = part.most * product.weight, WHOLE_SHARE * part.grams
            model.add(each * sum(heads) <= most * chosen.units[number, MIXED] + each - 1)
    for number in sorted(mixed):
        product = chosen.farm.products[chosen.parcels[number].product]
        weighed = [part.grams * head for part in product.parts for head in into.get((number, part.crop), ())]
        spare = trimmings(product)
        model.add(sum(weighed) <= product.weight * chosen.units[number, MIXED] + spare)

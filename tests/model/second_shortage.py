"""What is short in the second planner: heads of each cut into deliveries, each variable a whole number."""

from collections import defaultdict

import highspy

MANY = 400


def shortage(model):
    """Return the value-weighted units of firm demand that nothing fills."""
    farm = model.farm
    sold = defaultdict(list)
    for (crop, _, _, _), parts in model.heads.items():
        days = sorted({day for day, _ in parts})
        taken = {day: model.whole() for day in days}
        share = farm.crops[crop].heads_share
        for day in days:
            cut = added([part for d, part in parts if d <= day])
            model.keep(10_000 * added([n for d, n in taken.items() if d <= day]) <= share * cut)
            of_day = added([part for d, part in parts if d == day])
            model.keep(10_000 * taken[day] <= share * of_day + 9_999)
            sold[crop, day].append(taken[day])
    for key, picked in model.picked.items():
        sold[key] += picked
    given = defaultdict(list)
    missing = []
    for demand in farm.demands:
        filled = []
        for product in (farm.products[name] for name in products_of(demand)):
            into = {crop: _fills(model, demand, crop, sold, given) for crop in product.sources}
            filled += _mixed(model, product, into) if product.parts else _any_of(model, product, into)
        short = model.whole()
        model.keep(added(filled) + short == demand.amount)
        if farm.rules.all_or_nothing and not demand.is_target:
            made = model.solver.addBinary()
            model.keep(added(filled) == demand.amount * made)
        if demand.firm:
            missing.append(short * (max(demand.price, 1) * 10 ** (5 - demand.priority)))
    for key, fills in given.items():
        model.keep(added(fills) <= added(sold[key]))
    return added(missing)


def _fills(model, demand, crop, sold, given):
    """Heads of a crop that go into a delivery, a variable for each day on which they may be cut."""
    found = []
    for day in range(demand.first - demand.max_age, demand.last + 1):
        if (crop, day) in sold:
            found.append(model.whole())
            given[crop, day].append(found[-1])
    return found


def _any_of(model, product, into):
    """Units of a product, a variable for each of its crops."""
    found = []
    for crop, fills in into.items():
        found.append(model.whole())
        model.keep(product.sources[crop] * found[-1] <= 1000 * added(fills))
    return found


def _mixed(model, mix, into):
    """Units of a mix: of each part so many grams go in, within its shares, and together the weight."""
    units = model.whole()
    grams = []
    for part in mix.parts:
        inside = model.solver.addVariable(0, MANY * mix.weight)
        model.keep(inside <= part.grams * added(into[part.crop]))
        model.keep(10_000 * inside >= part.least * mix.weight * units)
        model.keep(10_000 * inside <= part.most * mix.weight * units)
        grams.append(inside)
    model.keep(added(grams) == mix.weight * units)
    return [units]


def products_of(demand):
    """The product ordered and all that may stand in for it: for a shortage one is as good as another."""
    return [demand.product] + [each.product for each in demand.substitutes]


def added(parts):
    """Add up expressions; an empty sum is an expression as well."""
    total = highspy.highs.highs_linear_expression()
    for part in parts:
        total += part
    return total

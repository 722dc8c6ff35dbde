"""From one plan to another that is short of as much.

Where no part is better by itself, several may be in turn: among the plans that are short of the same some let
a delivery in that others have no room for. Parts are drawn around what is short and solved with other prices
of seed, work and space each time, drawn by chance; what comes of it is kept if it is no shorter of anything,
whatever it costs.
"""

import random

from ortools.sat.python.cp_model import CpModel, LinearExpr

from scheduler.model.goals import FLEXIBLE_TAIL

PRICES = (0.0, 0.5, 1.0, 2.0)
"""Times its weight that a term of the cost may have."""

DEAREST = FLEXIBLE_TAIL // 2
"""Weight of a term from which it is not about cost."""

LARGEST = 4
"""The largest size of a part: small ones are solved at once."""


def price_anew(model: CpModel, draw: random.Random) -> None:
    """Give the terms of cost in a part's goal other weights, drawn by chance."""
    goal = model.proto.objective
    weights = [
        weight if weight >= DEAREST else int(weight * draw.choice(PRICES)) for weight in list(goal.coeffs)
    ]
    variables = [model.get_int_var_from_proto_index(number) for number in list(goal.vars)]
    model.minimize(LinearExpr.weighted_sum(variables, weights))

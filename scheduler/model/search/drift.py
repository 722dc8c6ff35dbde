"""From one plan to another that is short of as much.

Where no part is better by itself, several may be in turn: among the plans that are short of the same some let
a delivery in that others have no room for. Parts are drawn around what is short, and around other deliveries,
whose batches may have to move first, and solved with other prices of seed, work and space each time, drawn by
chance; what comes of it is kept if it is no shorter of anything, whatever it costs.
"""

import random

from ortools.sat.python.cp_model import CpModel, LinearExpr

from scheduler.model.answers.reached import SHORTAGES
from scheduler.model.goals import FLEXIBLE_TAIL
from scheduler.model.search.draws import Draws

PRICES = (0.0, 0.5, 1.0, 2.0)
"""Times its weight that a term of the cost may have."""

DEAREST = FLEXIBLE_TAIL // 2
"""Weight of a term from which it is not about cost."""

LARGEST = 4
"""The largest size of a part: small ones are solved at once."""

ELSEWHERE = 0.5
"""Share of the draws that are around any delivery, not one that is short."""


class DriftDraws(Draws):
    """Draws parts around what is short and around other deliveries, as long as anything is short."""

    def _wish(self) -> int | None:
        """Draw a wish; None where nothing is short."""
        short = super()._wish()
        if short is None or self._random.random() >= ELSEWHERE:
            return short
        wishes = self._best.built.chosen.frame.wishes
        return self._random.choice([index for index, wish in enumerate(wishes) if wish.level in SHORTAGES])


def price_anew(model: CpModel, draw: random.Random) -> None:
    """Give the terms of cost in a part's goal other weights, drawn by chance."""
    goal = model.proto.objective
    weights = [
        weight if weight >= DEAREST else int(weight * draw.choice(PRICES)) for weight in list(goal.coeffs)
    ]
    variables = [model.get_int_var_from_proto_index(number) for number in list(goal.vars)]
    model.minimize(LinearExpr.weighted_sum(variables, weights))

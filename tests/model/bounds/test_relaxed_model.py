"""The planner's own model with fractions instead of whole numbers is never below the bound."""

import math
from dataclasses import replace

import highspy
import pytest
from bench.trials.highs import new_solver
from model.any_season import any_season
from ortools.sat import cp_model_pb2

from scheduler.model.bounds.bound import bounds
from scheduler.model.build import build
from scheduler.model.goals import shortage
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of

SAMPLE = range(800, 840)


def relaxed_shortage(farm, tmp_path):
    """Return the least firm shortage of the planner's model in fractions, and what all its values share.

    Rules that hold only under a condition are left out, so this is below what the model itself allows.
    """
    built = build(season(farm), bundles_of(farm))
    path = str(tmp_path / "model.pb")
    assert built.model.export_to_file(path)
    proto = cp_model_pb2.CpModelProto()
    with open(path, "rb") as file:  # noqa: PTH123
        proto.ParseFromString(file.read())
    solver = new_solver()
    columns = [solver.addVariable(variable.domain[0], variable.domain[-1]) for variable in proto.variables]
    for rule in proto.constraints:
        if rule.WhichOneof("constraint") == "linear" and rule.linear.vars and not rule.enforcement_literal:
            line = rule.linear
            total = sum(w * columns[v] for v, w in zip(line.vars, line.coeffs, strict=True))
            solver.addConstr(max(line.domain[0], -1e20) <= total <= min(line.domain[-1], 1e20))
    terms = shortage(built.chosen, 1).terms
    if not terms:
        return 0.0, 1
    solver.minimize(sum(weight * columns[variable.index] for weight, variable in terms))
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return solver.getObjectiveValue(), math.gcd(*(weight for weight, _ in terms))


def any_plain_season(seed):
    """A tiny farm without losses on rafts and without all or nothing.

    There the model in fractions is weaker than the bound, which knows that shortages are whole deliveries
    and that no day gives more heads than plants are cut.
    """
    farm = any_season(seed)
    crops = {}
    for name, crop in farm.crops.items():
        raft = replace(crop.finish, survival=10_000)
        crops[name] = replace(crop, route=(*crop.route[:-1], raft), saleable=10_000)
    return replace(farm, crops=crops, rules=replace(farm.rules, all_or_nothing=False))


@pytest.mark.parametrize("seed", SAMPLE)
def test_the_bound_is_no_tighter_than_the_planner_s_model_in_fractions(seed, tmp_path):
    farm = any_plain_season(seed)
    least, step = relaxed_shortage(farm, tmp_path)
    assert bounds(farm, season(farm), None, 60).firm <= math.ceil(least / step - 1e-6) * step


def test_the_bound_is_mostly_as_tight_as_the_planner_s_model_in_fractions(tmp_path):
    tight = 0
    for seed in SAMPLE:
        farm = any_plain_season(seed)
        least, step = relaxed_shortage(farm, tmp_path)
        tight += bounds(farm, season(farm), None, 60).firm == math.ceil(least / step - 1e-6) * step
    assert tight >= 0.9 * len(SAMPLE)

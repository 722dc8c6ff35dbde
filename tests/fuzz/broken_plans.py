"""Sound plans broken by every operator, and a score: what was caught, and which faults came with it."""

import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random

from fuzz.base_books import EXAMPLES, ROOT, base_book
from fuzz.forms import plain_folder
from fuzz.plan_mutations import OPERATORS, Operator

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.farm.farm import Farm
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.outputs.saved import open_plan
from scheduler.plan.audit import RULES, audit
from scheduler.plan.rows import Plan


@dataclass(kw_only=True)
class Score:
    """What became of the plans that one operator broke."""

    operator: Operator
    made: int = 0
    caught: int = 0
    with_others: int = 0
    missed: list[str] = field(default_factory=list)
    undeclared: list[str] = field(default_factory=list)


@cache
def sound_plan(name: str) -> tuple[Farm, Plan]:
    """Return the farm and the plan of a small book, or those saved beside an example."""
    if name in EXAMPLES:
        return open_plan(ROOT / "examples" / name / "plan")
    with tempfile.TemporaryDirectory() as folder:
        for file, data in plain_folder(base_book(name)).items():
            (Path(folder) / file).write_bytes(data)
        farm = build_farm(read_book(folder))
    plan = plan_farm(farm, SolveSettings(seconds=0.2, deterministic=True)).plan
    assert plan is not None
    return farm, plan


def scores(names: Iterable[str], seeds: Sequence[int]) -> list[Score]:
    """Break each plan by each operator, once for each seed, and let the audit judge what comes of it."""
    made = [Score(operator=operator) for operator in OPERATORS]
    for name in names:
        farm, plan = sound_plan(name)
        assert audit(farm, plan) == [], name
        for score in made:
            for seed in seeds:
                _judge(score, f"{name} {seed}", score.operator.broken(Random(f"{name} {seed}"), farm, plan))
    return made


def _judge(score: Score, where: str, broken: tuple[Farm, Plan] | None) -> None:
    if broken is None:
        return
    score.made += 1
    faults = audit(*broken)
    rules = {fault.rule for fault in faults}
    others = rules - {score.operator.rule}
    score.caught += score.operator.rule in rules
    score.with_others += bool(others)
    if score.operator.rule not in rules:
        score.missed.append(f"{score.operator.name} of {where}: {[str(fault) for fault in faults[:3]]}")
    strange = [str(fault) for fault in faults if fault.rule in others - score.operator.sides]
    if strange:
        score.undeclared.append(f"{score.operator.name} of {where}: {strange[:3]}")


def table(made: Iterable[Score]) -> list[tuple[str, int, int]]:
    """Return (rule, plans broken, of these with faults of other rules too) for each rule."""
    listed = list(made)
    return [
        (
            rule,
            sum(score.made for score in listed if score.operator.rule == rule),
            sum(score.with_others for score in listed if score.operator.rule == rule),
        )
        for rule in RULES
    ]

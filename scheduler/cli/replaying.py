"""Runs of one plan shared out: blocks of runs as items for processes or a cluster, added up again."""

from typing import Any

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan
from scheduler.stress.chances import Chances
from scheduler.stress.replay import BLOCK, Replay, Tally, total
from scheduler.sweep.executors import MakeExecutor
from scheduler.sweep.results import Results
from scheduler.sweep.run import Item, run_all


def replayed_block(farm: Farm, plan: Plan, chances: Chances, first: int, end: int) -> dict[str, Any]:
    """Return the tally of some runs, from ``first`` up to ``end``, in values that JSON has."""
    tally = Replay(farm, plan, chances).tally(range(first, end))
    return {"filled": list(tally.filled), "short": list(tally.short), "whole": tally.whole}


def shared_out(farm: Farm, plan: Plan, chances: Chances, runs: int, make: MakeExecutor) -> Tally:
    """Return the tally of all runs; the same as that of one process, whoever does them.

    Raises:
        Lost: workers were lost again and again.
        NoCluster: the cluster does not answer.
    """
    blocks = [(first, min(first + BLOCK, runs)) for first in range(0, runs, BLOCK)]
    items = [
        Item(
            key=str(first),
            name=f"runs {first} to {end - 1}",
            work=replayed_block,
            given=(farm, plan, chances, first, end),
        )
        for first, end in blocks
    ]
    answers = run_all(items, make, Results(None), lambda _: None)
    return total(
        Tally(
            runs=end - first,
            filled=tuple(answers[str(first)]["filled"]),
            short=tuple(answers[str(first)]["short"]),
            whole=dict(answers[str(first)]["whole"]),
        )
        for first, end in blocks
    )

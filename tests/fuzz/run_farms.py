"""Plan farms made for a hidden plan, each in a process of its own, and keep what came of it.

``python tests/fuzz/run_farms.py VERDICTS [FARMS]``: VERDICTS is a file of lines of JSON, one a farm; a run
that was stopped goes on. A farm in which something is short is planned again with more time. Ends with 1 when
a plan had a fault or was still short.
"""

import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

if __name__ == "__main__":
    ROOT = Path(__file__).resolve().parents[2]
    sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from forked import add_line, each_apart, lines_of, load_all
from fuzz.hidden_farms import hidden_farm

from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.audit import audit, fault_lines

UNITS = (0.5, 2.0, 8.0, 40.0)
"""The solver's own units of time that a farm gets, one after the other as long as something is short."""

SHORTAGES = (1, 2)
"""Levels of the goals that count what is short."""

FUSE = 600
"""Seconds of the processor after which the system ends the process of one farm."""


def told(seed: int) -> dict[str, Any]:
    """Plan the farm of a seed and return how it was filled."""
    farm = hidden_farm(seed)
    short: dict[str, int] = {}
    faults: list[str] = []
    units = UNITS[0]
    for units in UNITS:
        plan = plan_farm(farm, SolveSettings(seconds=units, deterministic=True)).plan
        if plan is None:
            short = {demand.name: demand.amount for demand in farm.demands}
            continue
        faults += fault_lines(audit(farm, plan))
        faults += [
            f"{goal.goal}: limit {goal.bound:g}, and a plan without shortage is known"
            for goal in plan.goals
            if goal.level in SHORTAGES and goal.bound
        ]
        short = {row.demand: row.amount - row.filled for row in plan.demands if row.filled < row.amount}
        if faults or not short:
            break
    return {
        "number": seed,
        "ordered": sum(demand.amount for demand in farm.demands),
        "units": units,
        "short": short,
        "faults": faults,
    }


def run_farms(seeds: Sequence[int], verdicts: Path) -> Iterator[dict[str, Any]]:
    """Plan the farms that the file has no verdict of yet, add theirs to the file, and yield it."""
    kept = {line["number"] for line in lines_of(verdicts)}
    for seed, answer, code in each_apart(told, [seed for seed in seeds if seed not in kept], FUSE):
        ended = {"number": seed, "ordered": 0, "units": 0, "short": {}, "faults": [f"ended with {code}"]}
        add_line(verdicts, answer or ended)
        yield answer or ended


def summary(verdicts: Iterable[dict[str, Any]]) -> str:
    """Return one line of what became of some farms."""
    listed = list(verdicts)
    filled = Counter(verdict["units"] for verdict in listed if not verdict["short"])
    short = [verdict for verdict in listed if verdict["short"]]
    return (
        f"{len(listed)} farms, {sum(bool(each['faults']) for each in listed)} with faults; filled within "
        + ", ".join(f"{units:g} units {number}" for units, number in sorted(filled.items()))
        + f"; short {len(short)}: {sum(sum(each['short'].values()) for each in short)} of "
        f"{sum(each['ordered'] for each in listed)} heads"
    )


def main(path: Path, farms: int) -> int:
    """Plan farms and say what was wrong."""
    load_all()
    for verdict in run_farms(range(farms), path):
        if verdict["faults"] or verdict["short"]:
            sys.stdout.write(f"{verdict['number']}: {verdict['faults']} {verdict['short']}\n")
            sys.stdout.flush()
    made = lines_of(path)
    sys.stdout.write(summary(made) + "\n")
    return int(any(verdict["faults"] or verdict["short"] for verdict in made))


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 2000))

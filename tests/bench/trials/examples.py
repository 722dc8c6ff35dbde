"""Plans every example for several times and prints what each run reaches."""

import resource
import sys
import time
from pathlib import Path

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.plan.audit import audit

EXAMPLES = Path(__file__).parents[3] / "examples"


def plan_examples(seconds: list[float]) -> None:
    """Plan each example for each of ``seconds`` and write one line a run."""
    columns = f"{'example':16}{'seconds':>8}{'took':>8}{'firm filled':>14}"
    head = f"{columns}{'units short':>13}{'faults':>8}{'MB':>7}\n"
    sys.stdout.write(head)
    for folder in sorted(EXAMPLES.iterdir()):
        farm = build_farm(read_book(folder / "book"))
        for limit in seconds:
            started = time.monotonic()
            plan = plan_farm(farm, SolveSettings(seconds=limit)).plan
            took = time.monotonic() - started
            if plan is None:
                sys.stdout.write(f"{folder.name:16}{limit:8.0f}{took:8.1f}   no plan\n")
                continue
            firm = [row for row in plan.demands if row.firm and row.reported]
            filled = sum(row.state == "filled" for row in firm)
            short = sum(row.amount - row.filled for row in firm if row.state == "short")
            memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
            share = f"{filled} of {len(firm)}"
            faults = len(audit(farm, plan))
            line = f"{folder.name:16}{limit:8.0f}{took:8.1f}{share:>14}{short:13}{faults:8}{memory:7}\n"
            sys.stdout.write(line)
            sys.stdout.flush()

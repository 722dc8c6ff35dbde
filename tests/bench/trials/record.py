"""One run: a contender plans one farm in a process of its own, and what came of it is one record."""

import json
import resource
import subprocess
import sys
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from scheduler.book.book import typed_book
from scheduler.farm.build import build_farm
from scheduler.model.settings import SolveSettings

from .books import book_of, mark_of
from .bounds import Bounds, bounds_for
from .contenders import CONTENDERS, farm_for
from .families import FAMILIES, Case, resized
from .judge import Score, judged

MEGABYTE = 1024
SCRIPT = Path(__file__).parents[1] / "bench.py"


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What came of one run.

    Attributes:
        took: seconds from the farm to the plan's rows, building of any model included.
        memory: most memory of the whole process, megabytes.
        score: None when there was no plan.
        bounds: limits of the score; None when not asked for.
        trace: (seconds, weighted firm shortage) each time that fell.
        book: mark of the farm's tables.
    """

    contender: str
    took: float
    memory: int
    score: Score | None
    bounds: Bounds | None
    trace: list[tuple[float, float]]
    note: str
    book: str


def run_here(case: Case, contender: str, settings: SolveSettings, bound_seconds: float) -> Record:
    """Plan in this process; ``bound_seconds`` is for each limit, 0 for none."""
    book = book_of(case)
    farm = farm_for(contender, build_farm(typed_book(book)))
    started = time.monotonic()
    result = CONTENDERS[contender](farm, settings)
    took = time.monotonic() - started
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // MEGABYTE
    score = judged(farm, result.plan) if result.plan else None
    return Record(
        contender=contender,
        took=round(took, 1),
        memory=memory,
        score=score,
        bounds=bounds_for(farm, score, bound_seconds) if score and bound_seconds else None,
        trace=[(round(seconds, 1), value) for seconds, value in result.trace],
        note=result.note,
        book=mark_of(book),
    )


def run_apart(case: Case, contender: str, settings: SolveSettings, bound_seconds: float) -> Record:
    """Plan in a process of its own, so that its memory is its own.

    Raises:
        RuntimeError: the process failed.
    """
    asked = {
        "family": case.family.name,
        "size": [case.family.weeks, len(case.family.rows), case.family.crops],
        "case": [case.load, case.orders, case.seed],
        "contender": contender,
        "settings": [settings.seconds, settings.workers, settings.seed],
        "bound_seconds": bound_seconds,
    }
    command = [sys.executable, str(SCRIPT), "--apart", json.dumps(asked)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(f"{contender} on {case.name}: {done.stderr.strip().splitlines()[-1:]}")
    return record_from(json.loads(done.stdout.splitlines()[-1]))


def run_asked(text: str) -> str:
    """Run what another process asked for, and return the record as one line."""
    asked = json.loads(text)
    load, orders, seed = asked["case"]
    seconds, workers, solver_seed = asked["settings"]
    family = resized(FAMILIES[asked["family"]], *asked["size"])
    case = Case(family=family, load=load, orders=orders, seed=seed)
    settings = SolveSettings(seconds=seconds, workers=workers, seed=solver_seed)
    return json.dumps(asdict(run_here(case, asked["contender"], settings, asked["bound_seconds"])))


def record_from(told: dict[str, Any]) -> Record:
    """Return a record that was written as JSON."""
    score, limits = told["score"], told["bounds"]
    return Record(
        contender=told["contender"],
        took=told["took"],
        memory=told["memory"],
        score=Score(**score) if score else None,
        bounds=Bounds(**limits) if limits else None,
        trace=[(seconds, value) for seconds, value in told["trace"]],
        note=told["note"],
        book=told["book"],
    )

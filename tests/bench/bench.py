"""The benchmark: invented farms of stated load, planned in several ways; ``bench.py --help`` tells how.

Figures depend on the machine and on what else it does; nothing here is asserted.
"""

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path

from trials.books import write_book
from trials.examples import plan_examples
from trials.options import bound_seconds_of, cases_of, parser, runs_of
from trials.presets import Runs
from trials.record import Record, run_apart, run_asked
from trials.store import keep_if_better
from trials.table import LEGEND, heading, line_of
from trials.told import read_told, table_of

from scheduler.model.settings import SolveSettings

REFERENCE = "hand-repaired"
"""Whose shortage a plan must not exceed to be usable."""


def main(arguments: list[str]) -> None:
    """Do what the command line asks for and write a line for each run."""
    given = parser().parse_args(arguments)
    if given.apart:
        _say(run_asked(given.apart))
    elif given.table:
        _say(table_of(read_told(Path(name) for name in given.table)))
    elif given.examples is not None:
        plan_examples(given.examples or [20, 60, 120])
    elif given.book:
        for case in cases_of(given):
            _say(str(write_book(case, Path(given.book))))
    else:
        _say(heading())
        for runs in runs_of(given):
            _run(given, runs)
        _say(f"\n{LEGEND}")


def _run(given: argparse.Namespace, runs: Runs) -> None:
    """Let all contenders plan one farm; the reference comes early, for the others are held against it."""
    settings = SolveSettings(seconds=runs.seconds, workers=given.workers, seed=given.solver_seed)
    reference: float | None = None
    for contender in sorted(runs.contenders, key=lambda name: name != REFERENCE):
        try:
            record = run_apart(runs.case, contender, settings, bound_seconds_of(given, runs.case))
        except RuntimeError as failed:
            _say(f"    {failed}")
            continue
        if contender == REFERENCE and record.trace:
            reference = record.trace[-1][1]
        _say(line_of(runs.case, record, reference))
        _tell_more(given, runs, record)


def _tell_more(given: argparse.Namespace, runs: Runs, record: Record) -> None:
    if given.trace:
        for seconds, value in record.trace:
            _say(f"    {seconds:8.1f} s  {value:,.0f}")
        if record.note:
            _say(f"    {record.note}")
    if given.json:
        with Path(given.json).open("a", encoding="utf-8") as file:
            told = {"farm": runs.case.name, "seconds": runs.seconds} | asdict(record)
            file.write(f"{json.dumps(told)}\n")
    if given.best and keep_if_better(runs.case, record):
        _say(f"    {runs.case.name}: the best known")


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1:])

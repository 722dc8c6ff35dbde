"""The command line of the benchmark."""

import argparse
from collections.abc import Iterator
from dataclasses import replace

from .contenders import CONTENDERS
from .families import FAMILIES, LOADS, SHAPES, Case, resized
from .presets import Runs, full, growth, quick

BOUND_SECONDS = 60.0
NO_BOUNDS = ("huge",)
"""Families too large for limits in that time."""

DEFAULT_SECONDS = 60.0


def parser() -> argparse.ArgumentParser:
    """Return what reads the command line."""
    reader = argparse.ArgumentParser(
        prog="bench.py",
        description="Plans invented farms in several ways and compares what comes of it. "
        "Without a family or a set of runs the quick set is run.",
    )
    add = reader.add_argument
    add("--quick", action="store_true", help="a set that takes less than ten minutes")
    add("--full", action="store_true", help="a set that takes hours")
    add("--growth", action="store_true", help="farms with more weeks, rows and crops")
    add("--family", action="append", choices=[*FAMILIES, "all"], help="kind of farm; may be repeated")
    add("--load", action="append", type=int, help=f"percent of a full week; usual are {LOADS}")
    add("--orders", action="append", choices=SHAPES, help="how orders run over the season")
    add("--seed", action="append", type=int, help="which farm of the family")
    add("--contender", action="append", choices=[*CONTENDERS, "all"], help="who plans; may be repeated")
    add("--seconds", type=float, help="time for each run, in place of that of a set")
    add("--workers", type=int, default=2, help="threads for each run")
    add("--solver-seed", type=int, default=1, help="seed of the solver's own choices")
    add("--weeks", type=int, help="weeks planned, other than the family's")
    add("--rows", type=int, help="rows of rafts, other than the family's")
    add("--crops", type=int, help="crops grown, other than the family's")
    add("--bound-seconds", type=float, help="time for each limit; 0 for none, as huge farms have")
    add("--best", action="store_true", help="store plans that are better than the best known")
    add("--json", metavar="FILE", help="append every record to this file, one a line")
    add("--table", metavar="FILE", nargs="+", help="print records of such files as a table, and plan nothing")
    add("--trace", action="store_true", help="tell when the shortage fell, and notes")
    add("--book", metavar="FOLDER", help="write the books into this folder, and plan nothing")
    add("--examples", nargs="*", type=float, metavar="SECONDS", help="plan the example books instead")
    add("--apart", help=argparse.SUPPRESS)
    return reader


def runs_of(given: argparse.Namespace) -> Iterator[Runs]:
    """Yield the farms, contenders and times that are asked for."""
    if given.full or given.growth or given.quick or not given.family:
        named = full() if given.full else growth(DEFAULT_SECONDS) if given.growth else quick()
        for runs in named:
            yield replace(runs, seconds=given.seconds) if given.seconds else runs
    else:
        for case in cases_of(given):
            yield Runs(
                case=case,
                contenders=_contenders_of(given),
                seconds=given.seconds or DEFAULT_SECONDS,
            )


def cases_of(given: argparse.Namespace) -> list[Case]:
    """Return the farms that are asked for."""
    names = given.family or ["micro"]
    return [
        Case(
            family=resized(FAMILIES[name], given.weeks, given.rows, given.crops),
            load=load,
            orders=orders,
            seed=seed,
        )
        for name in (FAMILIES if "all" in names else names)
        for load in given.load or [85]
        for orders in given.orders or ["steady"]
        for seed in given.seed or [1]
    ]


def _contenders_of(given: argparse.Namespace) -> tuple[str, ...]:
    names = given.contender or ["raftway"]
    return tuple(CONTENDERS) if "all" in names else tuple(names)


def bound_seconds_of(given: argparse.Namespace, case: Case) -> float:
    """Return the time for each limit of a case."""
    if given.bound_seconds is not None:
        return float(given.bound_seconds)
    return 0.0 if case.family.name in NO_BOUNDS else BOUND_SECONDS

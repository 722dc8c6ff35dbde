"""Records of earlier runs as one small Markdown table, a line for each farm and contender."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

REFERENCE = ("hand-repaired", "hand")
"""Whose firm shortage makes a plan usable; the first of them that planned the farm."""

HEADINGS = ("farm", "who", "s", "firm short", "no plan below", "flexible short", "cost over bound", "usable")

FOOT = """\
Firm and flexible short are heads left out of reported deliveries, in percent of all heads that are wanted.
Usable: seconds until the plan was no worse for firm demand than that of the hand rule."""


def read_told(files: Iterable[Path]) -> list[dict[str, Any]]:
    """Return the records of some files written by ``--json``; of one farm and contender the last one."""
    found: dict[tuple[str, str, float], dict[str, Any]] = {}
    for file in files:
        for line in file.read_text(encoding="utf-8").splitlines():
            told = json.loads(line)
            found[told["farm"], told["contender"], told["seconds"]] = told
    return list(found.values())


def table_of(told: Iterable[dict[str, Any]]) -> str:
    """Return records as a Markdown table, farm by farm, with what its figures mean below."""
    told = sorted(told, key=lambda one: (one["farm"], one["contender"], one["seconds"]))
    usable = _usable_from(told)
    lines = [_line(HEADINGS), _line([":--", ":--", *("--:" for _ in HEADINGS[2:])])]
    lines += [_line(_cells(one, usable.get(one["farm"]))) for one in told]
    return "\n".join([*lines, "", FOOT])


def _usable_from(told: Iterable[dict[str, Any]]) -> dict[str, float]:
    """Return farm -> weighted firm shortage of its reference."""
    found: dict[str, tuple[int, float]] = {}
    for one in told:
        if one["contender"] in REFERENCE and one["trace"]:
            rank = REFERENCE.index(one["contender"]), one["trace"][-1][1]
            found[one["farm"]] = min(rank, found.get(one["farm"], rank))
    return {farm: value for farm, (_, value) in found.items()}


def _cells(one: dict[str, Any], usable: float | None) -> list[str]:
    name = [one["farm"], one["contender"], f"{one['took']:.0f}"]
    score, bounds = one["score"], one["bounds"] or {}
    if score is None:
        return [*name, "no plan", "", "", "", ""]
    if score["faults"]:
        return [*name, f"{score['faults']} faults", "", "", "", ""]
    heads = score["ordered"]
    return [
        *name,
        _percent(score["short_firm"], heads),
        _percent(bounds.get("firm"), heads),
        _percent(score["short_flexible"], heads),
        _percent(_over(score["cost"], bounds.get("cost")), score["cost"]),
        _when(one["trace"], usable),
    ]


def _over(value: float, bound: float | None) -> float | None:
    return None if bound is None else value - bound


def _percent(part: float | None, whole: float) -> str:
    return "" if part is None or not whole else f"{100 * part / whole:.1f} %"


def _when(trace: list[list[float]], usable: float | None) -> str:
    if usable is None:
        return ""
    return next((f"{seconds:.0f} s" for seconds, value in trace if value <= usable), "never")


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"

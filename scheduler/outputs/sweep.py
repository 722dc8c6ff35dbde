"""What many farms come to: a line each, in the terminal and as a table."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rich.console import Console
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.guarded import csv_bytes
from scheduler.outputs.screen import Column, Listed, heading, narrowed, print_listed
from scheduler.outputs.words import plain, some

NO_PLAN, UNSOUND, PLANNED = "no plan", "breaks a rule", "planned"
"""States of a farm: what became of its search."""

WITHOUT_MEMORY = "without_memory"
"""Whether it was for want of memory, not of time, that a search gave no plan: a key of its answer."""

MOST_NAMED = 6
"""Farms named in one sentence."""

COLUMNS = (
    *("farm", "state", "firm", "firm_filled", "flexible", "flexible_filled", "short", "brought", "paid"),
    *("runs", "chance", "short_on_average"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One farm of a sweep.

    Attributes:
        name: what it is called.
        state: PLANNED, NO_PLAN or UNSOUND.
        told: what its best plan comes to, as a worker told it; empty without one.
        without_memory: whether it was for want of memory that there is none.
    """

    name: str
    state: str
    told: Mapping[str, Any]
    without_memory: bool = False

    @property
    def chance(self) -> float | None:
        """The chance of a firm delivery on average, or of any where none is firm; None if not replayed."""
        if not self.told.get("replayed"):
            return None
        return float(self.told["hits"] / (self.told["runs"] * self.told["replayed"]))


def best_of_seeds(farms: Sequence[tuple[str, Sequence[Mapping[str, Any]]]]) -> list[Line]:
    """Return a line for each farm: its best plan by the order of goals, the first of equals."""
    lines = []
    for name, answers in farms:
        sound = [answer for answer in answers if answer["state"] == PLANNED]
        broken = [answer for answer in answers if answer["state"] == UNSOUND]
        if broken or not sound:
            without_memory = any(answer.get(WITHOUT_MEMORY) for answer in answers)
            state = UNSOUND if broken else NO_PLAN
            lines.append(Line(name=name, state=state, told={}, without_memory=without_memory))
        else:
            lines.append(Line(name=name, state=PLANNED, told=min(sound, key=lambda each: each["score"])))
    return lines


def print_sweep(console: Console, farm: Farm, lines: Sequence[Line]) -> None:
    """Print a line for each farm, in their order."""
    narrowed(console).print(heading(plain(farm.name)), highlight=False)
    headings = ("firm filled", "flexible", "short", "sure %", "brings", "costs")
    columns = [Column(words=True, wide=True), *(Column(heading=heading) for heading in headings)]
    rows = [(plain(line.name), *_cells(line)) for line in lines]
    print_listed(console, Listed(columns=columns, rows=rows))
    currency = f" in {plain(farm.currency)}" if farm.currency else ""
    money = f"Brings and costs{currency}: deliveries, and seed, filling and hours."
    console.print(Text(f"{money} Sure: the chance of a firm delivery, on average."), highlight=False)
    if told := _luck(lines):
        console.print(Text(told), highlight=False)


def _luck(lines: Sequence[Line]) -> str:
    """Say which farms are worse than the best one by no more than the search leaves open; else nothing."""
    planned = [line for line in lines if line.told]
    best = min(planned, key=_firm_short, default=None)
    if best is None:
        return ""
    worse = [
        line
        for line in planned
        if _firm_short(line) > _firm_short(best) and (line.told.get("least") or 0) <= best.told["score"][0]
    ]
    if not worse:
        return ""
    names = some([f"'{plain(line.name)}'" for line in worse], MOST_NAMED)
    return (
        f"For all that is proven {names} could be short of as little of the firm deliveries, by "
        f"price and priority, as '{plain(best.name)}': give more --seconds, or compare the few best with "
        "raftway compare."
    )


def _firm_short(line: Line) -> int:
    """Return what of firm deliveries is short, by price and priority; answers of old files have it in all."""
    return int(line.told.get("firm_short", line.told["score"][0]))


def _cells(line: Line) -> tuple[str, ...]:
    told = line.told
    if not told:
        return line.state, "", "", "", "", ""
    return (
        f"{told['firm_filled']:,} of {told['firm']:,}",
        f"{told['flexible_filled']:,} of {told['flexible']:,}",
        f"{told['short']:,}",
        "-" if line.chance is None else f"{100 * line.chance:.1f}",
        f"{told['brought'] / CENT:,.0f}",
        f"{told['paid'] / CENT:,.0f}",
    )


def sweep_csv(lines: Sequence[Line]) -> bytes:
    """Return the table of a sweep."""
    rows: list[Sequence[object]] = [COLUMNS]
    for line in lines:
        told = {**line.told, "farm": line.name, "state": line.state}
        for name in ("brought", "paid"):
            if name in told:
                told[name] = f"{told[name] / CENT:.2f}"
        if line.chance is not None:
            told["chance"] = f"{line.chance:.4f}"
        rows.append([told.get(name) for name in COLUMNS])
    return csv_bytes(rows)

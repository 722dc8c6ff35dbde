"""Entries told to a small farm, for the tests of the records.

    farm = small(tmp_path)
    log = tell(farm, [], sown(), moved(units=1))
    state = now(log)

The farm is that of ``helpers.py``: two tiers of four trays, a board zone of four boards, two rows of four
rafts; trays of 98 cells, boards of 72 and rafts of 36 holes; Butterhead, that goes over boards, and Basil,
that goes straight onto rafts and is cut three times.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from helpers import farm_of

from scheduler.book.faults import BookFaults
from scheduler.book.place import Cell
from scheduler.farm.farm import Farm
from scheduler.records.drafts import Told
from scheduler.records.entries import Logged
from scheduler.records.recording import judge
from scheduler.records.state import State, replay

FIRST = date(2026, 3, 2)
LAST = date(2027, 3, 1)
"""Today, in tests that do not ask for another: nothing lies after it."""

CROPS = (
    "crop,code,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,cuts,cut_interval,"
    "germination_percent,survival_tray_percent,survival_board_percent,survival_raft_percent\n"
    "Butterhead,BUT,14,3,14,3,21,7,,,95,90,97,97\n"
    "Basil,BAS,14,3,0,,21,7,3,14,90,90,,97\n"
)
PRODUCTS = "product,crop\nButterhead head,Butterhead\nBasil,Basil\n"


def small(folder: Path, **tables: str | bytes | None) -> Farm:
    """Return the small farm, some of its tables replaced."""
    return farm_of(folder, **{"crops": CROPS, "products": PRODUCTS, **tables})


def on(day: int) -> str:
    """Return the date of a day number as text."""
    return (FIRST + timedelta(days=day)).isoformat()


_number = 0


def told(what: str, day: int, op: str = "", **given: Any) -> Told:
    """Return one entry as it is told."""
    global _number  # a name of its own for each
    _number += 1
    words = {"what": what, "when": on(day), **given}
    words = {name: value for name, value in words.items() if value is not None}
    cells = {name: Cell(f"--{name}") for name in words}
    return Told(op=op or f"op {_number}", given=words, where=Cell(what), cells=cells)


def sown(day: int = 0, **given: Any) -> Told:
    """A tray of 98 cells of Butterhead, unless told otherwise."""
    return told("sown", day, **{"crop": "Butterhead", "to": "Shelf A 1", "plants": 98, **given})


def boarded(day: int = 14, **given: Any) -> Told:
    """72 of them on a board, none left."""
    wanted = {"lot": "BUT-260302", "to": "North trough boards", "plants": 72, "left": 0}
    return told("moved", day, **{**wanted, **given})


def rafted(day: int = 28, **given: Any) -> Told:
    """70 of them on two rafts, none left."""
    wanted = {"lot": "BUT-260302", "to": "North trough 1", "plants": 70, "left": 0}
    return told("moved", day, **{**wanted, **given})


def cut(day: int = 49, **given: Any) -> Told:
    """36 plants cut, 34 heads."""
    return told("cut", day, **{"lot": "BUT-260302", "plants": 36, "heads": 34, **given})


GROWN = (sown, boarded, rafted)
"""From the seed to two rafts in North trough 1, 36 and 34 plants."""


def grown() -> list[Told]:
    """Return the entries of :data:`GROWN`."""
    return [make() for make in GROWN]


def tell(farm: Farm, log: Sequence[Logged], *entries: Told, today: date = LAST) -> list[Logged]:
    """Return the log with some entries more; their faults are raised."""
    new = judge(farm, log, entries, today).new
    start = len(log) + 1
    return [
        *log,
        *(
            Logged(number=number, entry=entry, written=f"2026-01-01T00:00:{number % 60:02d}Z", source="test")
            for number, entry in enumerate(new, start=start)
        ),
    ]


def now(log: Sequence[Logged], until: date | None = None) -> State:
    """Return the state of a log."""
    return replay(((each.number, each.entry) for each in log), until)


def refused(farm: Farm, log: Sequence[Logged], *entries: Told, today: date = LAST) -> list[str]:
    """Return the faults of some entries as text."""
    try:
        tell(farm, log, *entries, today=today)
    except BookFaults as faults:
        return [str(fault) for fault in faults.faults]
    return []


def stands(state: State) -> list[tuple[str, int, str, int]]:
    """Return (place, slot, lot, plants) of all that stands; an empty raft has no lot."""
    found = []
    for unit in state.units:
        found += [(unit.place, unit.slot, each.lot, each.plants) for each in unit.contents]
        if not unit.contents:
            found.append((unit.place, unit.slot, "", 0))
    return found

"""Scenarios put on a book: its tables as they would be, with every fault told at the key that brings it."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import groupby

from scheduler.book.book import Book, typed_book
from scheduler.book.faults import BookFaults, FaultLog, quoted
from scheduler.book.keys import ALSO_NAMED_IN
from scheduler.book.names import meant
from scheduler.book.place import Cell
from scheduler.book.raw import RawBook
from scheduler.scenario.beds import add_bed, remove_bed
from scheduler.scenario.crew import change_crew
from scheduler.scenario.crop_list import add_crop, drop_crop, keep_crops
from scheduler.scenario.fish import add_fish_tank
from scheduler.scenario.kinds import load_kinds, refers_to, table_names
from scheduler.scenario.losses import change_losses
from scheduler.scenario.nursery import (
    add_equipment,
    add_shelf,
    add_tiers,
    keep_tiers,
    other_holes,
    remove_shelf,
)
from scheduler.scenario.orders import change_orders
from scheduler.scenario.outlets import add_outlets, change_outlets, end_outlet
from scheduler.scenario.rows import add_row, drop_row, set_row
from scheduler.scenario.scenario import Change, Scenario, in_order
from scheduler.scenario.shares import add_share, change_shares, end_share
from scheduler.scenario.substitutes import add_substitute, drop_substitute
from scheduler.scenario.tables import Origins, Tables, said
from scheduler.scenario.troughs import add_trough, lengthen_trough, remove_trough, widen_trough
from scheduler.scenario.zones import add_board_zone, close_board_zone, move_boards

MAKERS: Mapping[str, Callable[[Tables, Change], None]] = {
    "add row": add_row,
    "set": set_row,
    "add trough": add_trough,
    "add shelf": add_shelf,
    "add crop": add_crop,
    "widen trough": widen_trough,
    "lengthen trough": lengthen_trough,
    "add tiers": add_tiers,
    "move boards": move_boards,
    "add board zone": add_board_zone,
    "close board zone": close_board_zone,
    "remove trough": remove_trough,
    "remove shelf": remove_shelf,
    "add equipment": add_equipment,
    "other holes": other_holes,
    "keep crops": keep_crops,
    "drop crop": drop_crop,
    "drop row": drop_row,
    "add fish tank": add_fish_tank,
    "add bed": add_bed,
    "remove bed": remove_bed,
    "keep tiers": keep_tiers,
    "add substitute": add_substitute,
    "drop substitute": drop_substitute,
    "end outlet": end_outlet,
    "add share": add_share,
    "shares": change_shares,
    "end share": end_share,
}
"""Kind of change -> what makes one of them."""

ALL_AT_ONCE: Mapping[str, Callable[[Tables, Sequence[Change]], None]] = {
    "orders": change_orders,
    "add outlet": add_outlets,
    "outlets": change_outlets,
    "crew": change_crew,
    "losses": change_losses,
}
"""Kind of change -> what makes all of them at once: amounts multiply, and rows have an order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """A book as it would be.

    Attributes:
        raw: its grids.
        origins: the key behind each cell that a scenario wrote.
    """

    raw: RawBook
    origins: Origins

    def book(self) -> Book:
        """Return the book, parsed and checked like any other.

        Raises:
            BookFaults: with every fault; one of a cell that a scenario wrote is told at its key.
        """
        with self.told():
            return typed_book(self.raw)

    @contextmanager
    def told(self) -> Iterator[None]:
        """Tell the faults of what is done with the book at the keys that bring them."""
        try:
            yield
        except BookFaults as damaged:
            faults = [replace(fault, place=self.place_of(fault.place)) for fault in damaged.faults]
            raise BookFaults(faults, more_may_show=damaged.more_may_show) from None

    def place_of(self, cell: Cell) -> Cell:
        """Return the key that wrote a cell, or the cell itself where no scenario did."""
        exact = self.origins.get((cell.table, cell.row, cell.column))
        return exact or self.origins.get((cell.table, cell.row, 0)) or cell


def changed(raw: RawBook, scenarios: Sequence[Scenario]) -> Changed:
    """Put scenarios on the grids of a book that has no fault; their order does not matter.

    Raises:
        BookFaults: with every fault of the scenarios that shows before the book is read.
    """
    log = FaultLog()
    tables = Tables(raw, log)
    for kind, group in groupby(in_order(scenarios), key=lambda change: change.kind):
        if kind in ALL_AT_ONCE:
            known = [change for change in group if _names_are_known(tables, change, log)]
            ALL_AT_ONCE[kind](tables, known)
            continue
        for change in group:
            if _names_are_known(tables, change, log):
                MAKERS[kind](tables, change)
    log.raise_if_any()
    edited, origins = tables.raw()
    return Changed(raw=edited, origins=origins)


def _names_are_known(tables: Tables, change: Change, log: FaultLog) -> bool:
    """Check the names a change uses against the tables as they are by then."""
    sound = True
    for key, rule in load_kinds()[change.kind].keys.items():
        table = refers_to(rule)
        if not table:
            continue
        names = list(table_names()) if table == "tables" else _names(tables, table)
        for word in change.words(key) or ((change.text(key),) if change.text(key) else ()):
            if said(word) not in names:
                log.add(change.at(key), quoted(word), meant(word, names), "unknown-name")
                sound = False
    return sound


def _names(tables: Tables, table: str) -> list[str]:
    """Return the names that a key may use, as a cell of a book may: products and mixes, for one."""
    return [name for each in (table, *ALSO_NAMED_IN.get(table, ())) for name in tables.names(each)]

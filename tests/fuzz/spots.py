"""Cells of the tables of a book with their rules, and what a mutation did to them."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from fuzz.base_books import Tables

from scheduler.book.place import Cell
from scheduler.book.schema import CellRule, CellType, load_schema

SCHEMA = load_schema()


@dataclass(frozen=True, kw_only=True)
class Touch:
    """What a mutation did: the tables it touched, and the cell it spoilt for certain, if any."""

    tables: frozenset[str]
    spoilt: Cell | None = None


Mutation = Callable[[Random, Tables], Touch | None]


@dataclass(frozen=True, kw_only=True)
class Spot:
    """One cell of a table, with the rule of what it may hold; rows and columns from 0, row 0 the heading."""

    table: str
    row: int
    column: int
    rule: CellRule

    @property
    def cell(self) -> Cell:
        return Cell(self.table, self.row + 1, self.column + 1)


def touched(table: str, spoilt: Cell | None = None) -> Touch:
    return Touch(tables=frozenset({table}), spoilt=spoilt)


def rule_at(table: str, heading: list[str], row: list[str], column: int) -> CellRule | None:
    """Return the rule of a cell; that of a setting stands behind its name."""
    if table not in SCHEMA.tables or column >= len(heading):
        return None
    if table == "settings":
        return SCHEMA.settings.get(row[0]) if column == 1 else None
    return next((each for each in SCHEMA.tables[table].columns if each.name == heading[column]), None)


def spots(tables: Tables, *types: CellType, filled: bool = False) -> list[Spot]:
    """Return the cells of some types, or all; those of beyond the heading have none."""
    found = []
    for table, grid in tables.items():
        for number, row in enumerate(grid[1:], start=1):
            for column, text in enumerate(row):
                rule = rule_at(table, grid[0], row, column)
                if rule and (not types or rule.type in types) and (text or not filled):
                    found.append(Spot(table=table, row=number, column=column, rule=rule))
    return found


def put(tables: Tables, spot: Spot, text: str) -> None:
    tables[spot.table][spot.row][spot.column] = text


def text_of(tables: Tables, spot: Spot) -> str:
    return tables[spot.table][spot.row][spot.column]


def any_filled_table(draw: Random, tables: Tables) -> str | None:
    filled = sorted(table for table, grid in tables.items() if len(grid) > 1 and grid[0])
    return draw.choice(filled) if filled else None

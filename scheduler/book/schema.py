"""The tables of a book as ``shared/schema`` has them: the one source of columns, types and defaults."""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from scheduler.reference import shared_folder


class CellType(StrEnum):
    """What a cell may hold."""

    TEXT = "text"
    WHOLE = "whole"
    NUMBER = "number"
    DATE = "date"
    YESNO = "yesno"
    CHOICE = "choice"
    LIST = "list"
    WEEKDAYS = "weekdays"


@dataclass(frozen=True, slots=True, kw_only=True)
class CellRule:
    """What one cell must hold, whether it stands in a column of its own or behind a setting.

    Attributes:
        name: name of the column or the setting.
        type: how the text is read.
        unit: unit in words, empty for none.
        required: whether it must be filled.
        default: text taken for a blank cell, empty for none.
        allowed: ``low..high`` for numbers, choices with ``|`` between for choices and lists, or empty.
        description, example: for messages and for the printed tables.
    """

    name: str
    type: CellType
    unit: str
    required: bool
    default: str
    allowed: str
    description: str
    example: str

    @property
    def choices(self) -> tuple[str, ...]:
        """The words that may stand there; empty when any may."""
        return tuple(self.allowed.split("|")) if self.allowed and ".." not in self.allowed else ()

    @property
    def bounds(self) -> tuple[Fraction, Fraction] | None:
        """Lowest and highest number that may stand there; None when any may."""
        if ".." not in self.allowed:
            return None
        low, high = self.allowed.split("..")
        return Fraction(low), Fraction(high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column(CellRule):
    """A column of a table; ``refers_to`` is ``key``, or where its names must be known from, or empty."""

    table: str
    refers_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(CellRule):
    """A row of the settings table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table of the book, its columns in the order they are written."""

    name: str
    required: bool
    order: int
    title: str
    description: str
    columns: tuple[Column, ...]

    def column(self, name: str) -> Column:
        """Return a column by name.

        Raises:
            KeyError: the table has no such column.
        """
        for column in self.columns:
            if column.name == name:
                return column
        raise KeyError(f"{self.name} has no column {name}")

    @property
    def key(self) -> str:
        """Name of the column other tables refer to: the key, else the first."""
        return next((c.name for c in self.columns if c.refers_to == "key"), self.columns[0].name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Schema:
    """All tables in order, and all settings."""

    tables: Mapping[str, Table]
    settings: Mapping[str, Setting]

    def order_of(self, table: str) -> int:
        """Return the place of a table among all; names that are no table come last."""
        found = self.tables.get(table)
        return found.order if found else len(self.tables) + 1


@cache
def load_schema() -> Schema:
    """Read the schema once.

    Raises:
        FileNotFoundError: the installation lacks its ``shared`` folder.
    """
    folder = shared_folder() / "schema"
    columns = [
        Column(table=row["table"], name=row["column"], refers_to=row["refers_to"], **rule_in(row))
        for row in _read(folder / "columns.csv")
    ]
    tables = sorted((_table(row, columns) for row in _read(folder / "tables.csv")), key=lambda t: t.order)
    settings = [Setting(name=row["setting"], **rule_in(row)) for row in _read(folder / "settings.csv")]
    return Schema(
        tables={table.name: table for table in tables},
        settings={setting.name: setting for setting in settings},
    )


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def _table(row: dict[str, str], columns: Iterable[Column]) -> Table:
    return Table(
        name=row["table"],
        required=row["required"] == "yes",
        order=int(row["order"]),
        title=row["title"],
        description=row["description"],
        columns=tuple(column for column in columns if column.table == row["table"]),
    )


def rule_in(row: Mapping[str, str]) -> dict[str, Any]:
    """Return what a row of the schema says of its cell, by the attributes of CellRule, the name aside."""
    texts = {name: row[name] for name in ("unit", "default", "allowed", "description", "example")}
    return {"type": CellType(row["type"]), "required": row["required"] == "yes", **texts}

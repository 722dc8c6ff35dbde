"""The kinds of change a scenario may hold, as ``shared/schema`` has them: their keys, types and defaults."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from scheduler.book.schema import CellRule, CellType, load_schema, rule_in
from scheduler.reference import shared_folder

FILE = ""
"""What stands for the file's own keys in the place of a kind of change."""

DATED = CellRule(
    name="from",
    type=CellType.DATE,
    unit="",
    required=False,
    default="",
    allowed="",
    description="Day from which it holds; blank means from the start",
    example="2026-06-01",
)
PRICED = CellRule(
    name="cost",
    type=CellType.NUMBER,
    unit="money",
    required=False,
    default="0",
    allowed="0..1000000000",
    description="Price of this change",
    example="4200",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Key(CellRule):
    """One key of a change; ``refers_to`` names the table whose names it must be from, or is empty."""

    refers_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of change.

    Attributes:
        name: such as ``add trough``; empty for the file itself.
        order: changes are made in this order, whatever the order they stand in.
        dated: whether it can hold from a day on.
        description: what it does.
        keys: its keys by name, ``from`` and ``cost`` included.
    """

    name: str
    order: int
    dated: bool
    description: str
    keys: Mapping[str, CellRule]

    @property
    def columns_of(self) -> str | None:
        """The table whose columns may stand beside its keys; ``*`` for the one a key names, None for none."""
        return {"add crop": "crops", "add share": "box_shares", "add row": "*", "set": "*"}.get(self.name)


@cache
def load_kinds() -> Mapping[str, Kind]:
    """Return every kind of change by name, in the order they are made; the file's own keys under ``FILE``.

    Raises:
        FileNotFoundError: the installation lacks its ``shared`` folder.
    """
    keys: dict[str, dict[str, CellRule]] = {}
    for row in _read("scenario_keys.csv"):
        key = Key(name=row["key"], refers_to=row["refers_to"], **rule_in(row))
        keys.setdefault(row["change"], {})[key.name] = key
    kinds = {FILE: Kind(name=FILE, order=0, dated=False, description="the file", keys=keys[FILE])}
    for row in _read("scenario_changes.csv"):
        dated = row["dated"] == "yes"
        own = keys[row["change"]] | ({"from": DATED} if dated else {}) | {"cost": PRICED}
        kinds[row["change"]] = Kind(
            name=row["change"],
            order=int(row["order"]),
            dated=dated,
            description=row["description"],
            keys=own,
        )
    return kinds


def told_kinds() -> list[str]:
    """Return every kind of change in words, one line each, and a line for each of its keys."""
    lines = [
        "Beside [[change]], a file may hold:",
        *(_told(rule) for rule in load_kinds()[FILE].keys.values()),
    ]
    for kind in load_kinds().values():
        if kind.name != FILE:
            lines += ["", f'do = "{kind.name}"', f"  {kind.description}."]
            lines += [_told(rule) for rule in kind.keys.values()]
            if kind.columns_of:
                table = "the table" if kind.columns_of == "*" else kind.columns_of
                lines.append(f"  and any column of {table}")
    return lines


def _told(rule: CellRule) -> str:
    example = f'"{rule.example}"' if rule.type in WORDS else rule.example
    if rule.type is CellType.LIST:
        example = "[" + ", ".join(f'"{word}"' for word in rule.example.split(";")) + "]"
    must = "" if rule.required else " (may be left out)"
    return f"  {rule.name} = {example}{must}: {rule.description}"


WORDS = (CellType.TEXT, CellType.CHOICE, CellType.WEEKDAYS)


def refers_to(rule: CellRule) -> str:
    """Return the table a key's names must be from; empty where any text will do."""
    return rule.refers_to if isinstance(rule, Key) else ""


def table_names() -> tuple[str, ...]:
    """Return the names of all tables of a book."""
    return tuple(load_schema().tables)


def _read(name: str) -> list[dict[str, str]]:
    path = shared_folder() / "schema" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))

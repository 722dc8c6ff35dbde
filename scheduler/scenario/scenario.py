"""A scenario as it is read: changes with typed keys, each of which knows where it stands."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from scheduler.book.parse import Value
from scheduler.book.place import Cell
from scheduler.farm.calendar import WEEKDAYS
from scheduler.scenario.kinds import load_kinds


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change.

    Attributes:
        kind: name of its kind.
        place: where it stands, such as ``east.toml: change 2 (add trough)``.
        values: key -> value, defaults included; None where blank.
        columns: column -> text, for changes that name columns of a table.
        given: names of the keys that were written.
        start: day from which it holds; None from the start.
    """

    kind: str
    place: str
    values: Mapping[str, Value]
    columns: Mapping[str, str]
    given: frozenset[str]
    start: date | None

    def at(self, key: str) -> Cell:
        """Return where a key stands."""
        return Cell(f"{self.place}, {key}")

    def text(self, key: str) -> str:
        """Return the text of a key; empty when blank."""
        value = self.values.get(key)
        return value if isinstance(value, str) else ""

    def words(self, key: str) -> tuple[str, ...]:
        """Return the words of a list; none when blank."""
        value = self.values.get(key)
        return value if isinstance(value, tuple) else ()

    def number(self, key: str) -> Fraction | None:
        """Return a number exactly as written; None when blank."""
        value = self.values.get(key)
        return Fraction(value) if isinstance(value, (int, Fraction)) else None

    def weekdays(self, key: str) -> str:
        """Return days of the week as a book writes them; empty when blank."""
        value = self.values.get(key)
        return said_value(value) if isinstance(value, frozenset) else ""

    def day(self, key: str) -> date | None:
        """Return a date; None when blank."""
        value = self.values.get(key)
        return value if isinstance(value, date) else None

    @property
    def told(self) -> str:
        """The change in one line, as it was asked for: ``widen trough: trough North trough, width 6``."""
        parts = [
            f"{key.replace('_', ' ')} {said_value(value)}"
            for key, value in self.values.items()
            if key in self.given and value is not None and key != "from"
        ]
        parts += [f"{column.replace('_', ' ')} {text}" for column, text in self.columns.items()]
        parts += [f"from {self.start}"] if self.start else []
        return f"{self.kind}: {', '.join(parts)}"

    @property
    def rank(self) -> tuple[object, ...]:
        """What changes are sorted by before they are made: kind, what it is about, day; never its file."""
        order = load_kinds()[self.kind].order
        about = sorted((key, str(value)) for key, value in self.values.items() if value is not None)
        return order, (self.start or date.min).isoformat(), about, sorted(self.columns.items()), self.place


def said_value(value: Value) -> str:
    """Return a value in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " and ".join(value)
    if isinstance(value, frozenset):
        return " ".join(WEEKDAYS[day] for day in sorted(value))
    return f"{float(value):g}" if isinstance(value, Fraction) else str(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """Named changes to a book.

    Attributes:
        name: what it is called where farms are compared.
        source: the file it was read from, or ``command line``.
        changes: its changes as they stand there.
        cost: what it costs once, hundredths of money; 0 where no price is given.
        cost_per_week: what it costs every week from its first day, hundredths of money.
    """

    name: str
    source: str
    changes: tuple[Change, ...]
    cost: int
    cost_per_week: int

    @property
    def start(self) -> date | None:
        """The first day on which anything is changed; None from the start.

        Changes that can have no day, such as rafts that are bought, do not count beside those that can.
        """
        days = [change.start for change in self.changes if load_kinds()[change.kind].dated]
        return None if None in days or not days else min(day for day in days if day is not None)


def in_order(scenarios: Iterable[Scenario]) -> list[Change]:
    """Return all changes in the order they are made, the same in whatever order scenarios are given."""
    return sorted((change for each in scenarios for change in each.changes), key=lambda each: each.rank)


def together(scenarios: Iterable[Scenario]) -> Scenario:
    """Return several scenarios as one."""
    parts = sorted(scenarios, key=lambda each: (each.name, each.source))
    return Scenario(
        name=" + ".join(each.name for each in parts),
        source=", ".join(each.source for each in parts),
        changes=tuple(change for each in parts for change in each.changes),
        cost=sum(each.cost for each in parts),
        cost_per_week=sum(each.cost_per_week for each in parts),
    )

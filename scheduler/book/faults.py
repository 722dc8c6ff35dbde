"""What is wrong with a book, and what is merely odd, each with its cell."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from scheduler.book.place import Cell
from scheduler.book.schema import load_schema


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault of a book; ``code`` and ``place`` stay the same when the wording changes."""

    place: Cell
    found: str
    expected: str
    code: str

    def __str__(self) -> str:
        return f"{self.place}: found {self.found}; expected {self.expected}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something a grower would want to know that does not stop the planning."""

    place: Cell
    text: str
    code: str

    def __str__(self) -> str:
        return f"{self.place}: {self.text}"


class BookFaults(Exception):  # the word is the message: these are the faults of the book
    """Faults of a book, in the order of its tables, rows and columns.

    Attributes:
        faults: every fault that could be seen, each once.
        more_may_show: whether tables were not yet held against each other, so that others may follow.
    """

    def __init__(self, faults: Iterable[Fault], *, more_may_show: bool = False) -> None:
        """Keep the faults in order, each once."""
        self.more_may_show = more_may_show
        self.faults: tuple[Fault, ...] = tuple(sorted(set(faults), key=_sort_key))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def in_order(notes: Iterable[Note]) -> list[Note]:
    """Return notes in the order of the book's tables, rows and columns, each once."""
    return sorted(set(notes), key=_sort_key)


class FaultLog:
    """Collects faults while a book is read, so that all are told at once."""

    def __init__(self) -> None:
        """Start without faults."""
        self._faults: list[Fault] = []

    def add(self, place: Cell, found: str, expected: str, code: str) -> None:
        """Note one fault; signs that cannot be seen are shown as question marks."""
        fault = Fault(place=place, found=_visible(found), expected=_visible(expected), code=code)
        self._faults.append(fault)

    def extend(self, faults: Iterable[Fault]) -> None:
        """Note faults that were found elsewhere."""
        self._faults += faults

    def __iter__(self) -> Iterator[Fault]:
        return iter(self._faults)

    def __len__(self) -> int:
        return len(self._faults)

    def raise_if_any(self) -> None:
        """Raise the faults, if there are any.

        Raises:
            BookFaults: with every fault noted so far.
        """
        if self._faults:
            raise BookFaults(self._faults)


def _sort_key(item: Fault | Note) -> tuple[int, Cell, str]:
    return load_schema().order_of(item.place.table), item.place, str(item)


def quoted(text: str, most: int = 60) -> str:
    """Return text between quotation marks as a message shows it; long text is cut short."""
    shown = text if len(text) <= most else text[: most - 3] + "..."
    return f"'{_visible(shown)}'"


def _visible(text: str) -> str:
    return text if text.isprintable() else "".join(char if char.isprintable() else "?" for char in text)

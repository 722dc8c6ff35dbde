"""Water and rafts of a book as rows and slots, exact to the last fraction of a millimetre."""

from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.book.words import counted
from scheduler.farm.places import TroughShape, trough_shape
from scheduler.farm.units import MM_PER, SQUARE_MM_PER_M2


@dataclass(frozen=True, slots=True, kw_only=True)
class Trough:
    """One trough as measured.

    Attributes:
        row: its row of the book.
        rows, slots: rows side by side, and slots in each from intake end to harvest end.
        spare_width, spare_length: water left over, in the book's unit of length.
        raft_area: square metres of one raft or board.
        holds_boards: boards float there instead of rafts.
    """

    row: Row
    rows: int
    slots: int
    spare_width: Fraction
    spare_length: Fraction
    raft_area: Fraction
    holds_boards: bool

    @property
    def name(self) -> str:
        """Its name in the book."""
        return self.row.text("trough")

    def row_names(self) -> list[str]:
        """Names of its rows, from the left hand at the intake end."""
        return [f"{self.name} {number}" for number in range(1, self.rows + 1)]

    @property
    def boards_name(self) -> str:
        """Name of the place its boards stand in."""
        return f"{self.name} boards"


def measure_troughs(book: Book, log: FaultLog) -> dict[str, Trough]:
    """Lay out every trough; one that takes no raft is a fault and is left out."""
    unit = book.settings.text("length_unit")
    measured = {}
    for row in book.rows("troughs"):
        trough = _measure(row, MM_PER[unit])
        if trough.rows and trough.slots:
            measured[trough.name] = trough
            continue
        for name, count in (("width", trough.rows), ("length", trough.slots)):
            if not count:
                found = f"{float(row.number_of(name)):g} {unit}"
                expected = f"a {name} that takes at least one raft as it lies"
                log.add(row.cell(name), found, expected, "small-trough")
    return measured


def _measure(row: Row, mm_per: Fraction) -> Trough:
    lengths = [row.number_of(name) * mm_per for name in ("width", "length", "raft_width", "raft_length")]
    # Whole numbers of a fraction of a millimetre: 24 ft must take six rafts of 4 ft, 23.99 ft only five.
    parts = lcm(*(length.denominator for length in lengths))
    width, length, short, long = (int(length * parts) for length in lengths)
    shape: TroughShape = trough_shape(width, length, (short, long), along=row.text("lie") == "along")
    return Trough(
        row=row,
        rows=shape.rows,
        slots=shape.slots,
        spare_width=Fraction(shape.spare_width, parts) / mm_per,
        spare_length=Fraction(shape.spare_length, parts) / mm_per,
        raft_area=lengths[2] * lengths[3] / SQUARE_MM_PER_M2,
        holds_boards=row.text("holds") == "boards",
    )


def describe_troughs(book: Book) -> list[str]:
    """Say in words, one line a trough, how many rafts fit and what water stays open."""
    unit = book.settings.text("length_unit")
    return [_describe(trough, unit) for trough in measure_troughs(book, FaultLog()).values()]


def _describe(trough: Trough, unit: str) -> str:
    what = "board" if trough.holds_boards else "raft"
    rows, each = counted(trough.rows, "row"), counted(trough.slots, what)
    spare = [
        f"{_rounded(length)} {unit} {where}"
        for length, where in (
            (trough.spare_width, "beside the rows"),
            (trough.spare_length, "behind the last slot"),
        )
        if length
    ]
    rest = " and ".join(spare) + " stay open" if spare else "no water stays open"
    return f"{trough.name}: {rows} of {each}, {trough.rows * trough.slots:,} in all; {rest}"


def _rounded(length: Fraction) -> str:
    """Return a length to the nearest hundredth, but never 0 for some water."""
    return f"{float(length):.2f}".rstrip("0").rstrip(".") if length >= Fraction(1, 200) else "under 0.01"

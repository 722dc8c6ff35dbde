"""Figures of a crop: the grower's own where given, else those of its card."""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil

from crops.library import Card, card
from scheduler.book.decimals import decimal_text
from scheduler.book.faults import FaultLog
from scheduler.book.rows import Row
from scheduler.farm.units import hundredths_up

CARD_FIGURES: Mapping[str, tuple[str, int]] = {
    "seeds_per_cell": ("seeds_per_cell", 1),
    "germination_percent": ("germination_percent_typical", 1),
    "survival_tray_percent": ("survival_tray", 100),
    "survival_board_percent": ("survival_board", 100),
    "survival_raft_percent": ("survival_raft", 100),
    "saleable_percent": ("saleable_share", 100),
    "days_tray": ("days_tray", 1),
    "wait_tray": ("wait_tray", 1),
    "days_board": ("days_board", 1),
    "wait_board": ("wait_board", 1),
    "days_raft": ("days_raft", 1),
    "harvest_window": ("harvest_window", 1),
    "cuts": ("cuts", 1),
    "cut_interval": ("cut_interval", 1),
    "soak_hours": ("soak_hours", 1),
    "dark_days": ("dark_days", 1),
    "dome_days": ("dome_days", 1),
    "thin_day": ("thin_day", 1),
    "keeping_days": ("keeping_days", 1),
    "sow_minutes": ("minutes_sow_tray", 1),
    "board_minutes": ("minutes_plant_board", 1),
    "raft_minutes": ("minutes_plant_raft", 1),
    "cut_minutes": ("minutes_cut_plant", 1),
    "wash_minutes": ("minutes_wash_unit", 1),
    "heat_limit": ("bolting_temp", 1),
    "heads_per_crate": ("heads_per_case", 1),
    "seed_per_tray": ("seed_per_tray", 1),
    "yield_per_tray": ("yield_per_tray", 1),
    "days_bed": ("days_bed", 1),
    "survival_bed_percent": ("survival_bed", 100),
}
"""Column of the crops table -> figure of a card, and what to multiply that by; masses of cards are grams."""

GRAMS = {"kg": Fraction(1000), "lb": Fraction("453.59237")}
"""Grams in one unit of mass of a book; the pound is exact by definition."""

OF_BEDS = ("pick_weeks", "picks_a_week", "yield_per_plant", "bed_minutes", "pick_minutes", "clear_minutes")
"""Columns of crops that end in a bed, for which no card has a figure of that name."""

WITHOUT = {
    "seeds_per_cell": 1,
    "saleable_percent": 100,
    "cuts": 1,
    "soak_hours": 0,
    "dark_days": 0,
    "dome_days": 0,
    "thin_day": 0,
    "keeping_days": 0,
    "sow_minutes": 0,
    "board_minutes": 0,
    "raft_minutes": 0,
    "cut_minutes": 0,
    "wash_minutes": 0,
}
"""What is taken when neither row nor card has a figure; the others must be there."""

OWN_FIGURES = (*CARD_FIGURES, "plants_per_board", "plants_per_raft", *OF_BEDS)


class Figures:
    """The figures of one row of the crops table."""

    def __init__(self, row: Row, log: FaultLog) -> None:
        """Take a row; its card is looked up in the library."""
        self.row = row
        self.card: Card | None = card(row.text("card")) if row.text("card") else None
        self._log = log

    @property
    def is_of_no_bed(self) -> bool:
        """Whether it has a card, and that is for a crop that stands in no bed: lettuce, greens and herbs."""
        return self.card is not None and "bed" not in self.card.route

    def of_card(self, figure: str) -> Fraction | None:
        """Return the typical value of a card's figure, exactly as printed; None without one."""
        value = self.card.value(figure) if self.card else None
        return None if value is None else Fraction(str(value))

    def find(self, column: str) -> Fraction | None:
        """Return the row's own figure, else the card's, else None."""
        own = self.row.number_or_none(column)
        if own is not None:
            return own
        figure, times = CARD_FIGURES[column]
        value = self.of_card(figure)
        return None if value is None else value * times

    def number(self, column: str) -> Fraction:
        """Return a figure; when neither row nor card has it, that is a fault and 1 stands in for it."""
        value = self.find(column)
        if value is not None:
            return value
        if column in WITHOUT:
            return Fraction(WITHOUT[column])
        where = f", and card {self.card.name} has none" if self.card else " and no card"
        expected = f"{column} of {self.row.text('crop')}" + ("" if self.card else ", or a card that has it")
        self._log.add(self.row.cell(column), f"no {column}{where}", expected, "missing-figure")
        return Fraction(1)

    def days(self, column: str) -> int:
        """Return days of growth as a whole number, rounded up: never cut too young."""
        return ceil(self.number(column))

    def whole(self, column: str) -> int:
        """Return a whole number, rounded down: waits, windows and cuts are never stretched."""
        return self.number(column) // 1

    def hundredths(self, column: str) -> int:
        """Return minutes, hours, money or percent in whole hundredths, rounded up to the next for work."""
        return hundredths_up(self.number(column))

    def own_hundredths(self, column: str) -> int:
        """Return minutes for which no card has a figure in whole hundredths, rounded up."""
        return hundredths_up(self.row.number_of(column))

    def hundredths_or_none(self, column: str) -> int | None:
        """Return a figure that need not be there in whole hundredths, rounded down; None without one."""
        value = self.find(column)
        return None if value is None else value * 100 // 1

    def grams(self, column: str, mass_unit: str) -> Fraction | None:
        """Return a mass in grams, exact: the row's in the book's unit, else the card's, else None."""
        own = self.row.number_or_none(column)
        return self.find(column) if own is None else own * GRAMS[mass_unit]

    def share(self, column: str) -> int:
        """Return a percentage in parts of ten thousand, rounded down."""
        return self.number(column) * 100 // 1

    def own(self) -> tuple[tuple[str, str], ...]:
        """Return the name of every figure the grower gave and its value in the book, in units of the book."""
        given = ((name, self.row.number_or_none(name)) for name in OWN_FIGURES if self.row.is_given(name))
        return tuple((name, decimal_text(value)) for name, value in given if value is not None)

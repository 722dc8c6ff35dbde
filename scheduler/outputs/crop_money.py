"""Money by crop as text and whole hundredths, the same on paper, in the workbook and in the terminal."""

from collections.abc import Iterator
from fractions import Fraction

from scheduler.farm.units import CENT, nearest
from scheduler.outputs.words import hours_in_text
from scheduler.plan.views.crop_money import CropMoney, MoneyByCrop

REST, WHOLE = "not of one crop", "all"
LARGE = 100_000 * CENT
"""From here on money is told in whole units, in hundredths."""

COUNTED = (
    "Counted on the days of the plan: what grew before is not paid again, and what is filled near the end "
    "is paid although it is sold later."
)
SLOTS = "Slot-weeks are of slots whose area is not known, such as those of trays on shelves."
NOT_SPLIT = "Not of one crop: chores of the house, and lifting rafts that several crops share."
NO_PRICES = "The book has no price for what is sold: only hours and space are told."


def is_large(found: MoneyByCrop) -> bool:
    """Say whether amounts are so large that hundredths are left out."""
    lines = (*found.crops, found.rest, found.whole)
    return any(abs(amount) >= LARGE for line in lines for amount in (line.brought, line.paid, line.left))


def money_text(amount: Fraction | None, *, large: bool = False) -> str:
    """Return hundredths of money as ``1,204.50``, or ``1,205`` where amounts are large; empty for None."""
    if amount is None:
        return ""
    return f"{nearest(amount / CENT):,}" if large else f"{nearest(amount) / CENT:,.2f}"


def hours_text(minutes: int) -> str:
    """Return hundredths of a minute as hours with one decimal; empty for none."""
    return hours_in_text(minutes) if minutes else ""


def weeks_text(weeks: Fraction) -> str:
    """Return square metre-weeks or slot-weeks with one decimal; empty for none."""
    return f"{float(weeks):,.1f}" if weeks else ""


def named_lines(found: MoneyByCrop) -> Iterator[tuple[str, CropMoney]]:
    """Yield every line with its name: the crops, and what is not of one crop if there is any."""
    for line in found.crops:
        yield line.crop, line
    if not found.rest.is_empty:
        yield REST, found.rest


def notes(found: MoneyByCrop) -> Iterator[str]:
    """Yield what a reader must know of the lines that are there."""
    yield COUNTED if found.priced else NO_PRICES
    if found.whole.slots:
        yield SLOTS
    if not found.rest.is_empty:
        yield NOT_SPLIT

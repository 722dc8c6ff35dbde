"""Losses of plants that change by so many percent: of 10 lost in a hundred, 20 percent more make 12."""

from collections.abc import Sequence
from fractions import Fraction

from crops.library import card, card_names
from scheduler.book.decimals import decimal_text
from scheduler.farm.from_book.figures import CARD_FIGURES
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import times
from scheduler.scenario.tables import Line, Tables, said

BEFORE = ("germination_percent", "survival_tray_percent")
"""Shares of what stays until plants leave their trays; plugs have them from their row alone."""

SHARES = (
    *BEFORE,
    "survival_board_percent",
    "survival_raft_percent",
    "survival_bed_percent",
    "saleable_percent",
)
"""Columns of the crops table that say how much stays; the rest of a hundred is lost."""

WHOLE = Fraction(100)


def change_losses(tables: Tables, changes: Sequence[Change]) -> None:
    """Write the shares of each crop, its own or its card's, with other losses; all changes at once."""
    for line in tables.lines("crops"):
        held = [change for change in changes if _is_for(change, line)]
        for column in SHARES if held else ():
            stays = _stays(line, column)
            if stays is not None and stays < WHOLE:
                lost = (WHOLE - stays) * times(held)
                tables.write(line, column, decimal_text(WHOLE - lost), held[0].at("percent"))


def _stays(line: Line, column: str) -> Fraction | None:
    """Return the percent that stay by the row, else by its card; None where neither says."""
    own, name = line.value(column), line.text("card")
    if isinstance(own, (int, Fraction)):
        return Fraction(own)
    if name not in card_names() or (line.text("start") == "plugs" and column in BEFORE):
        return None
    figure, of_hundred = CARD_FIGURES[column]
    value = card(name).value(figure)
    return None if value is None else Fraction(str(value)) * of_hundred


def _is_for(change: Change, line: Line) -> bool:
    crops = {said(name) for name in change.words("crop")}
    return not crops or line.text("crop") in crops

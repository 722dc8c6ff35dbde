"""Notes on work that would take no time, where the hours of a crew are counted."""

from collections.abc import Iterator

from scheduler.book.book import Book
from scheduler.book.faults import FaultLog, Note
from scheduler.book.rows import Row
from scheduler.book.words import listed
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.from_book.figures import CARD_FIGURES, Figures

SETTING = {StageKind.BOARD: "board_minutes", StageKind.RAFT: "raft_minutes", StageKind.BED: "bed_minutes"}
"""Stage that plants are set into -> the column for that work."""

GIVING = {StageKind.BED: ("pick_minutes", "clear_minutes")}
"""Last stage of a crop -> the columns for its harvest; of all others they are cut."""


def work_notes(farm: Farm, book: Book) -> Iterator[Note]:
    """Tell of crops some of whose work has no minutes of their own nor of a card: it takes none of the hours.

    A farm without hours of a crew is told nothing, for nothing in its plan goes by them.
    """
    if farm.crew is None:
        return
    sold = {crop for product in farm.products.values() for crop in product.sources}
    for row in book.rows("crops"):
        name = row.text("crop")
        missing = _without_minutes(farm, farm.crops[name], row) if name in sold else []
        if missing:
            text = (
                f"'{name}' has no {listed(missing, 'or')}, so this work takes none of the crew's hours; "
                "0 says that it is meant"
            )
            yield Note(place=row.cell(missing[0]), text=text, code="no-minutes")


def _without_minutes(farm: Farm, crop: Crop, row: Row) -> list[str]:
    """Return the columns for work that a crop needs and neither its row nor its card tells."""
    figures = Figures(row, FaultLog())
    columns = ["sow_minutes"]
    columns += [SETTING[stage.kind] for stage in crop.route[1:]]
    columns += GIVING.get(crop.finish.kind, ("cut_minutes",))
    if any(stage.unit in farm.equipment and farm.equipment[stage.unit].wash_days for stage in crop.route):
        columns.append("wash_minutes")
    return [name for name in columns if not _is_told(figures, name, crop)]


def _is_told(figures: Figures, column: str, crop: Crop) -> bool:
    if figures.row.is_given(column):
        return True
    if crop.bought and column == "sow_minutes":  # no card knows what it takes to unpack plugs
        return False
    return column in CARD_FIGURES and figures.find(column) is not None

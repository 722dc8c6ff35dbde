"""What the records show of the crops' figures: on the terminal, and as a table."""

from collections.abc import Iterator, Sequence
from dataclasses import fields
from fractions import Fraction

from rich.text import Text

from scheduler.outputs.guarded import csv_bytes
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, row, table, titled
from scheduler.outputs.words import counted, plain
from scheduler.records.accepted import in_tenths
from scheduler.records.learned import LEAST, WEIGHT, Learned

NAMES = {
    "germination_percent": "germination",
    "survival_tray_percent": "move on from the tray",
    "survival_board_percent": "survive the board",
    "survival_raft_percent": "survive the raft",
    "saleable_percent": "saleable of what is cut",
    "days_tray": "days in the tray",
    "days_board": "days on the board",
    "days_raft": "days on the raft",
    "days_bed": "days in the bed",
}

COLUMNS = tuple(field.name for field in fields(Learned))


def learned_page(farm: str, told: Sequence[Learned]) -> Iterator[Part]:
    """Yield the parts of the page."""
    yield heading(f"{plain(farm)}: what the records show of its crops")
    if not told:
        yield Text("Nothing yet: no batch is through with a stage of which something was counted.")
        return
    yield Text(
        f"Proposed: ({WEIGHT} x card + all batches) / ({WEIGHT} + batches), from {LEAST} batches on; "
        "days are card days until plants were ready, what the plan kept waiting left out"
    )
    for crop in dict.fromkeys(each.crop for each in told):
        yield titled(plain(crop))
        lines = table("name", "number", "rest")
        row(lines, "", "proposed", "counted, and what card and book say")
        for each in told:
            if each.crop == crop:
                row(lines, *_line(each))
        yield lines


def _line(each: Learned) -> tuple[str, str, str]:
    unit = " %" if each.figure.endswith("percent") else ""
    seen = f"{in_tenths(each.mean)}{unit} +- {each.spread:.1f} in {counted(each.batches, 'batch')}"
    if each.season or each.place:
        return f"  {each.season} {each.place}".rstrip(), "", seen
    said = [seen]
    if each.card is not None:
        said.append(f"card {in_tenths(each.card)}{unit}")
    if each.book is not None and each.book != each.card:
        said.append(f"book {in_tenths(each.book)}{unit}")
    proposed = "" if each.proposed is None else f"{in_tenths(each.proposed)}{unit}"
    if not proposed:
        said.append("too few to propose one")
    return NAMES[each.figure], proposed, ", ".join(said)


def learned_csv(told: Sequence[Learned]) -> bytes:
    """Return all of it as a CSV table."""
    return csv_bytes([COLUMNS, *([_cell(getattr(each, name)) for name in COLUMNS] for each in told)])


def _cell(value: object) -> object:
    if isinstance(value, Fraction):
        return in_tenths(value)
    return f"{value:.1f}" if isinstance(value, float) else value

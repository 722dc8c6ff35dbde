"""What a box lacks, in words: the same in the report, the workbook and the terminal."""

from scheduler.farm.units import CENT
from scheduler.outputs.words import counted, plain
from scheduler.plan.rows_boxes import BoxRow
from scheduler.plan.views.box_days import BoxPage


def lacking(page: BoxPage, currency: str) -> list[str]:
    """Return what is missing or was missed, one phrase each; none for a box that has all."""
    row = page.row
    return [*_missing(page), *_aims(row, currency)]


def _missing(page: BoxPage) -> list[str]:
    said = []
    for line in page.lines:
        if line.short:
            what = "empty" if not line.row.product else f"{counted(line.short, 'unit')} short"
            said.append(f"{plain(line.row.slot)} {what}")
    if said and page.row.state in ("too early", "out of reach"):
        why = "too early for any sowing" if page.row.state == "too early" else "no harvest day near enough"
        said[-1] += f" ({why})"
    return said


def _aims(row: BoxRow, currency: str) -> list[str]:
    said = []
    if row.below:
        said.append(f"worth {row.below / CENT:,.2f} {plain(currency)}".strip() + " too little")
    if row.kinds_short:
        said.append(f"{counted(row.kinds_short, 'kind')} too few")
    if row.missed:
        said.append(f"without {plain(row.missed.replace('; ', ', '))}")
    if row.disliked:
        said.append(f"with {plain(row.disliked.replace('; ', ', '))}, which is not liked")
    return said

"""Positions of a bed as a spot of a work sheet, and those of what is thrown away on the first day."""

from collections import defaultdict
from collections.abc import Sequence

from scheduler.farm.places import PlaceKind
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.bed_tally import thrown_plantings
from scheduler.plan.positions import positions_in
from scheduler.plan.views.ledger import Ledger, Spot


def thrown_beds(ledger: Ledger, lot: str) -> tuple[Spot, ...]:
    """Return where plants of a lot stood in beds that are thrown away on the first day."""
    rows: dict[str, list[PlantingRow]] = defaultdict(list)
    for row in thrown_plantings(ledger.farm, ledger.plan):
        if row.lot == lot:
            rows[row.bed].append(row)
    return tuple(bed_spot(ledger, bed, those) for bed, those in rows.items())


def bed_spot(ledger: Ledger, bed: str, rows: Sequence[PlantingRow]) -> Spot:
    """Return the positions of some plantings of one bed."""
    taken = {position for row in rows for position in positions_in(row.positions) or ()}
    return Spot(
        place=bed,
        owner=ledger.places[bed].belongs_to,
        kind=PlaceKind.BED,
        number=1,
        slots=tuple(sorted(taken)),
    )

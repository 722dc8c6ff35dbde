"""Each line of a work sheet as one row of a table: what, how many, from where, where to, and what to mind."""

from scheduler.farm.farm import Farm
from scheduler.outputs.report import nursery_rows, supply_rows, trough_rows
from scheduler.outputs.report.bed_rows import bed_row
from scheduler.outputs.report.row import Row
from scheduler.plan.views.lines import (
    Care,
    Chore,
    Cutting,
    Delivery,
    Discarding,
    Line,
    Moving,
    Ordering,
    Picking,
    PullingOut,
    SettingIn,
    SettingOut,
    Soaking,
    Sowing,
    TakingOut,
    Washing,
)


def row_of(line: Line, farm: Farm) -> Row:
    """Return the row that says a line."""
    match line:
        case Sowing() | Soaking() | Care() | Moving():
            return _nursery(line, farm)
        case SettingOut() if line.turns:
            return trough_rows.onto_rafts(line, farm)
        case SettingOut():
            return nursery_rows.onto_boards(line, farm)
        case Cutting():
            return trough_rows.cutting(line, farm)
        case SettingIn() | Picking() | PullingOut():
            return bed_row(line, farm)
        case TakingOut():
            return trough_rows.taking_out(line, farm)
        case Discarding():
            return trough_rows.discarding(line, farm)
        case Washing() | Delivery() | Ordering() | Chore():
            return _around(line, farm)


def _around(line: Washing | Delivery | Ordering | Chore, farm: Farm) -> Row:
    match line:
        case Washing():
            return supply_rows.washing(line, farm)
        case Delivery():
            return supply_rows.delivery(line, farm)
        case Ordering():
            return supply_rows.ordering(line, farm)
        case Chore():
            return supply_rows.chore(line, farm)


def _nursery(line: Sowing | Soaking | Care | Moving, farm: Farm) -> Row:
    match line:
        case Sowing():
            return nursery_rows.sowing(line, farm)
        case Soaking():
            return nursery_rows.soaking(line, farm)
        case Care():
            return nursery_rows.care(line, farm)
        case Moving():
            return nursery_rows.moving(line, farm)

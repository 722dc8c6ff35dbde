"""Work in hundredths of a minute, worked out per plant so that planner and audit count alike.

The book gives minutes for a whole tray, board or raft; each is spread over its cells or plants and
rounded up to a hundredth of a minute, so a part-filled unit counts for the part it holds.
"""

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Equipment
from scheduler.farm.units import ceil_div


def sow_per_cell(crop: Crop, tray: Equipment) -> int:
    """Work to sow one cell."""
    return ceil_div(crop.minutes.sow, tray.holes)


def set_on_board_per_plant(crop: Crop) -> int:
    """Work to set one plant on a transplant board; 0 for a crop without boards."""
    return ceil_div(crop.minutes.board, crop.board.plants_per_unit) if crop.board else 0


def set_on_raft_per_plant(crop: Crop) -> int:
    """Work to set one plant on a raft, pushing the raft in included."""
    return ceil_div(crop.minutes.raft, crop.finish.plants_per_unit)


def cut_per_plant(crop: Crop) -> int:
    """Work to cut and pack one plant."""
    return crop.minutes.cut


def wash_tray_per_cell(crop: Crop, tray: Equipment) -> int:
    """Washing of the tray, counted on the day its cells are emptied."""
    return ceil_div(crop.minutes.wash, tray.holes) if tray.wash_days else 0


def wash_board_per_plant(crop: Crop, board: Equipment) -> int:
    """Washing of the board, counted on the day its holes are emptied."""
    return ceil_div(crop.minutes.wash, board.holes) if board.wash_days else 0


def wash_raft_per_plant(crop: Crop, raft: Equipment) -> int:
    """Washing of the raft, counted on the day of its last cut."""
    return ceil_div(crop.minutes.wash, raft.holes) if raft.wash_days else 0


def set_in_bed_per_plant(crop: Crop) -> int:
    """Work to set one plant into a bed."""
    return crop.minutes.bed


def pick_per_plant(crop: Crop) -> int:
    """Work to pick one plant once and pack what it gives."""
    return crop.minutes.pick


def clear_per_plant(crop: Crop) -> int:
    """Work to pull one plant out of its bed and clean up its place."""
    return crop.minutes.clear

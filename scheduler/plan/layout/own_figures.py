"""Figures the grower gave over a card's own, written as the book writes them."""

from collections.abc import Callable, Mapping

from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.plan.rows import FigureRow

WITHOUT_STAGE = "0"
"""What a crop that skips a stage has for days in it."""


def figure_rows(farm: Farm) -> list[FigureRow]:
    """Return every figure the grower gave, crops in the order of the book."""
    return [
        FigureRow(crop=crop.name, figure=name, value=VALUES[name](crop) if name in VALUES else "")
        for crop in farm.crops.values()
        for name in crop.own_figures
    ]


def decimal(hundredths: int) -> str:
    """Write hundredths as a decimal number without idle zeros: 1250 as ``12.5``."""
    text = f"{hundredths // CENT}.{hundredths % CENT:02d}"
    return text.rstrip("0").rstrip(".")


def _of_stage(kind: StageKind, read: Callable[[Stage], str]) -> Callable[[Crop], str]:
    def value(crop: Crop) -> str:
        stage = crop.stage(kind)
        return WITHOUT_STAGE if stage is None else read(stage)

    return value


def _good_seedlings(crop: Crop) -> str:
    """Germination, seeds per cell and survival in trays are kept as one share."""
    return f"with the crop's other figures {decimal(crop.seed_share)} percent of cells give a good seedling"


VALUES: Mapping[str, Callable[[Crop], str]] = {
    "seeds_per_cell": lambda crop: str(crop.handling.seeds_per_cell),
    "germination_percent": _good_seedlings,
    "survival_tray_percent": _good_seedlings,
    "survival_board_percent": _of_stage(StageKind.BOARD, lambda stage: decimal(stage.survival)),
    "survival_raft_percent": _of_stage(StageKind.RAFT, lambda stage: decimal(stage.survival)),
    "saleable_percent": lambda crop: decimal(crop.saleable),
    "days_tray": _of_stage(StageKind.TRAY, lambda stage: str(stage.days)),
    "wait_tray": _of_stage(StageKind.TRAY, lambda stage: str(stage.wait)),
    "days_board": _of_stage(StageKind.BOARD, lambda stage: str(stage.days)),
    "wait_board": _of_stage(StageKind.BOARD, lambda stage: str(stage.wait)),
    "days_raft": _of_stage(StageKind.RAFT, lambda stage: str(stage.days)),
    "harvest_window": _of_stage(StageKind.RAFT, lambda stage: str(stage.wait)),
    "cuts": lambda crop: str(crop.cuts),
    "cut_interval": lambda crop: str(crop.cut_interval),
    "soak_hours": lambda crop: decimal(crop.handling.soak_hours),
    "dark_days": lambda crop: str(crop.handling.dark_days),
    "dome_days": lambda crop: str(crop.handling.dome_days),
    "thin_day": lambda crop: str(crop.handling.thin_day),
    "keeping_days": lambda crop: str(crop.handling.keeping_days),
    "sow_minutes": lambda crop: decimal(crop.minutes.sow),
    "board_minutes": lambda crop: decimal(crop.minutes.board),
    "raft_minutes": lambda crop: decimal(crop.minutes.raft),
    "cut_minutes": lambda crop: decimal(crop.minutes.cut),
    "wash_minutes": lambda crop: decimal(crop.minutes.wash),
    "plants_per_board": _of_stage(StageKind.BOARD, lambda stage: str(stage.plants_per_unit)),
    "plants_per_raft": _of_stage(StageKind.RAFT, lambda stage: str(stage.plants_per_unit)),
}
"""Name of a figure in the crops table -> how the farm has it."""

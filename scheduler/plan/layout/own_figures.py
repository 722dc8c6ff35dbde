"""Figures the grower gave over a card's own, written as the book writes them."""

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.plan.rows import FigureRow


def figure_rows(farm: Farm) -> list[FigureRow]:
    """Return every figure the grower gave, crops in the order of the book."""
    return [
        FigureRow(crop=crop.name, figure=name, value=value)
        for crop in farm.crops.values()
        for name, value in crop.own_figures
    ]


def decimal(hundredths: int) -> str:
    """Write hundredths as a decimal number without idle zeros: 1250 as ``12.5``."""
    text = f"{hundredths // CENT}.{hundredths % CENT:02d}"
    return text.rstrip("0").rstrip(".")

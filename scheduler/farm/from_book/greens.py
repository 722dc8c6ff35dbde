"""Crops that are cut in the trays they were sown in: microgreens, and herbs sold as they stand.

An open tray has one cell. Seed is broadcast over it and weighed, and what is cut from it is weighed too; a
crop that gives no mass is sold by the cell or the open tray.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from scheduler.book.faults import FaultLog
from scheduler.farm.farm import Equipment
from scheduler.farm.from_book.figures import Figures

WHOLE = Fraction(100)
"""Percent of the trays that turn out well where neither row nor card knows better."""

FOR_SEED = (
    "days_tray",
    "germination_percent",
    "seeds_per_cell",
    "soak_hours",
    "dark_days",
    "dome_days",
    "thin_day",
)
"""Columns that say nothing of plugs: they come grown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayFigures:
    """What one cell of a crop takes and gives.

    Attributes:
        seeds: seeds in one cell; grams in one open tray where they are weighed.
        weighed: whether seed is weighed.
        grams: grams that one open tray gives at a cut; 0 where plants are counted.
    """

    seeds: int
    weighed: bool = False
    grams: int = 0


def is_cut_in_trays(figures: Figures) -> bool:
    """Say whether a crop is cut in its trays: the row decides, then the card's route."""
    finish = figures.row.text("finish")
    return finish == "tray" if finish else figures.card is not None and figures.card.route == "tray"


def comes_as_plugs(figures: Figures) -> bool:
    """Say whether a crop is bought in as plugs."""
    return figures.row.text("start") == "plugs"


def is_bought(figures: Figures, log: FaultLog) -> bool:
    """Say whether a crop comes as plugs; what only seed needs is refused there."""
    row = figures.row
    if not comes_as_plugs(figures):
        return False
    if is_cut_in_trays(figures):
        found = f"plugs of '{row.text('crop')}', which is cut in its trays"
        log.add(row.cell("start"), found, "seed, or another finish", "not-for-plugs")
    for column in FOR_SEED:
        if row.is_given(column):
            found = f"{column} of '{row.text('crop')}', which comes as plugs"
            log.add(row.cell(column), found, "a blank cell, or start seed", "not-for-plugs")
    return True


def is_carded(figures: Figures) -> bool:
    """Say whether the card is of a crop that is finished as the row says, so that its days hold."""
    return figures.card is not None and (figures.card.route == "tray") is is_cut_in_trays(figures)


def tray_figures(figures: Figures, tray: Equipment | None, mass_unit: str, log: FaultLog) -> TrayFigures:
    """Return what a cell takes and gives; seed rounds up and yield down to a gram.

    Faults: a crop sold by mass in trays with cells, masses of a crop that is not cut in its trays.
    """
    row = figures.row
    if comes_as_plugs(figures):
        return TrayFigures(seeds=1)
    if not is_cut_in_trays(figures):
        for column in ("seed_per_tray", "yield_per_tray"):
            if row.is_given(column):
                found = f"{column} of '{row.text('crop')}', which goes on from its trays"
                log.add(row.cell(column), found, "a blank cell, or finish tray", "not-in-trays")
        return TrayFigures(seeds=figures.whole("seeds_per_cell"))
    mass = figures.grams("yield_per_tray", mass_unit) or Fraction(0)
    if tray is not None and tray.holes > 1 and mass:
        cell = row.cell("yield_per_tray" if row.is_given("yield_per_tray") else "tray")
        found = f"{tray.holes} cells in '{tray.name}' for '{row.text('crop')}', which is sold by mass"
        expected = "a tray of 1 cell (an open tray), or yield_per_tray 0 to sell it by the cell"
        log.add(cell, found, expected, "not-open")
    seed = figures.grams("seed_per_tray", mass_unit)
    if tray is not None and tray.holes > 1 and row.is_given("seed_per_tray"):
        found = f"seed_per_tray for '{tray.name}' with {tray.holes} cells"
        log.add(row.cell("seed_per_tray"), found, "seeds_per_cell, or a tray of 1 cell", "not-open")
    is_open = tray is not None and tray.holes == 1
    if seed is not None and is_open and not row.is_given("seeds_per_cell"):
        return TrayFigures(seeds=ceil(seed), weighed=True, grams=int(mass // 1))
    return TrayFigures(seeds=figures.whole("seeds_per_cell"), grams=int(mass // 1))


def fitting_trays(figures: Figures, trays: Sequence[Equipment]) -> list[Equipment]:
    """Return the trays that a crop which names none may be sown in.

    What goes on from its trays needs cells, where any has them. What is sold or sown by mass needs an open
    tray; what is sold as it stands goes into either.
    """
    if not is_cut_in_trays(figures):
        return [tray for tray in trays if tray.holes > 1] or list(trays)
    if figures.find("yield_per_tray") or figures.row.is_given("seed_per_tray"):
        return [tray for tray in trays if tray.holes == 1]
    return list(trays)


def good_share(figures: Figures, found: TrayFigures) -> tuple[Fraction, Fraction]:
    """Return percent of seed that comes up and percent that turns out well.

    In an open tray sown by mass single seeds do not matter: the yield already counts what comes up. Plugs
    have come up, and all are good unless the row says otherwise.
    """
    if comes_as_plugs(figures):
        return WHOLE, figures.row.number_or_none("survival_tray_percent") or WHOLE
    if not is_cut_in_trays(figures):
        return figures.number("germination_percent"), figures.number("survival_tray_percent")
    survival = figures.find("survival_tray_percent")
    germination = WHOLE if found.weighed or found.grams else figures.number("germination_percent")
    return germination, WHOLE if survival is None else survival

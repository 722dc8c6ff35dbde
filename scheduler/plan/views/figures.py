"""The figures each crop is planned with, and where each one comes from: the grower, a card, or nobody.

Values are in the units of the book's ``crops`` table. What is worked out from a card's spacing says so.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from crops.library import Card, card, figure_names
from scheduler.book.decimals import decimal_text
from scheduler.book.schema import load_schema
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.from_book.figures import CARD_FIGURES, WITHOUT

OWN = "OWN"
"""Mark of a figure the grower gave."""

NONE = "NONE"
"""Mark of a figure that neither the grower nor a card gave."""

_AT_TIMES = ("soak_hours", "dark_days", "dome_days", "thin_day")
"""Work that many crops do not need; left out where a card says 0."""

_PLANTS = {
    StageKind.BOARD: "plants on one board",
    StageKind.RAFT: "plants on one raft",
    StageKind.BED: "plants in one position",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedFigure:
    """One figure as it is used.

    Attributes:
        label: a few words of the trade.
        value, low, high: as written in a book; bounds are empty where the card has none or the value is own.
        unit: unit of all three, in words.
        mark: ``OWN``, ``NONE``, or the evidence mark of the card's figure.
        source_id: the source of the card's figure; empty for other marks.
        of_card: what the card has, where the grower's own figure stands in its place; else empty.
    """

    label: str
    value: str
    low: str
    high: str
    unit: str
    mark: str
    source_id: str
    of_card: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CropFigures:
    """One crop: its card (title and name, empty without one), what is sown on top, and its figures."""

    crop: str
    card: str
    card_title: str
    margin: int
    figures: tuple[UsedFigure, ...]


def crop_figures(farm: Farm) -> tuple[CropFigures, ...]:
    """Return the figures of every crop, in the order of the book."""
    return tuple(_crop(crop, farm.mass_unit) for crop in farm.crops.values())


def _crop(crop: Crop, mass_unit: str) -> CropFigures:
    found = card(crop.card) if crop.card else None
    return CropFigures(
        crop=crop.name,
        card=crop.card,
        card_title=found.title if found else "",
        margin=crop.margin,
        figures=tuple(_figures(crop, found, mass_unit)),
    )


def _figures(crop: Crop, found: Card | None, mass_unit: str) -> Iterator[UsedFigure]:
    own = dict(crop.own_figures)
    for column, (name, times) in CARD_FIGURES.items():
        if column in _idle(crop):
            continue
        figure = _figure(column, (name, times), own.get(column), found)
        if figure is not None and figure.unit == MASS:
            figure = _weighed(figure, mass_unit)
        if figure is not None and not (column in _AT_TIMES and figure.value == "0" and figure.mark != OWN):
            yield figure
    for stage in crop.route[1:]:
        yield _plants(crop, stage.kind, own.get(f"plants_per_{stage.kind}"), found)


MASS = "mass"
"""Unit of the columns that a book gives in its own unit of mass, and a card in grams."""


def _weighed(figure: UsedFigure, mass_unit: str) -> UsedFigure:
    """Return a figure of mass in the unit its value is in; a card's stands in grams."""
    if figure.mark != OWN:
        return replace(figure, unit="g")
    of_card = f"{figure.of_card} g" if figure.of_card and mass_unit != "g" else figure.of_card
    return replace(figure, unit=mass_unit, of_card=of_card)


def _idle(crop: Crop) -> set[str]:
    """Return the columns that change nothing for a crop of this route."""
    idle = set()
    if crop.board is None:
        idle |= {"days_board", "wait_board", "survival_board_percent", "board_minutes"}
    if crop.cuts == 1:
        idle.add("cut_interval")
    if crop.crating is None:
        idle.add("heads_per_crate")
    return idle


def _figure(column: str, of: tuple[str, int], own: str | None, found: Card | None) -> UsedFigure | None:
    """Return one figure; None where 0 is taken because nobody gave one."""
    name, times = of
    of_card = found.figures.get(name) if found else None
    low, value, high = (
        _text(bound, times)
        for bound in ((of_card.low, of_card.typical, of_card.high) if of_card else (None,) * 3)
    )
    said = {"label": figure_names()[name].label, "unit": _unit(column)}
    if own is not None:
        return UsedFigure(**said, value=own, low="", high="", mark=OWN, source_id="", of_card=value)
    if of_card is not None:
        return UsedFigure(
            **said,
            value=value,
            low=low,
            high=high,
            mark=of_card.evidence,
            source_id=of_card.source_id,
            of_card="",
        )
    taken = WITHOUT.get(column, 0)
    if not taken:
        return None
    return UsedFigure(**said, value=str(taken), low="", high="", mark=NONE, source_id="", of_card="")


def _plants(crop: Crop, kind: StageKind, own: str | None, found: Card | None) -> UsedFigure:
    stage = crop.stage(kind)
    spacing = found.figures.get(f"plants_per_m2_{kind}") if found else None
    from_card = spacing if own is None else None
    per_m2 = f"{_text(spacing.typical, 1)} plants/m²" if spacing else ""
    return UsedFigure(
        label=_PLANTS[kind] + (f", from {per_m2}" if from_card else ""),
        value=str(stage.plants_per_unit if stage else 0),
        low="",
        high="",
        unit="plants",
        mark=OWN if own is not None else from_card.evidence if from_card else NONE,
        source_id=from_card.source_id if from_card else "",
        of_card=per_m2 if own is not None else "",
    )


def _text(value: float | None, times: int) -> str:
    return "" if value is None else decimal_text(Fraction(str(value)) * times)


def _unit(column: str) -> str:
    return load_schema().tables["crops"].column(column).unit

"""The figures of a crop as a card on paper: value, bounds, and where it comes from."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from crops.rows import READ_MARKS
from scheduler.book.words import as_read
from scheduler.outputs.report.say import own
from scheduler.plan.layout.own_figures import decimal
from scheduler.plan.views.figures import NONE, OWN, CropFigures, UsedFigure


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLine:
    """One figure; ``mine`` for one the grower gave."""

    label: str
    value: str
    bounds: str
    origin: str
    mine: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The figures of one crop."""

    crop: Markup
    card: str
    margin: str
    lines: tuple[CardLine, ...]


def crop_card(crop: CropFigures, numbers: Mapping[str, int]) -> Card:
    """Return a crop's card.

    Args:
        crop: its figures.
        numbers: source id -> the number it has on the page.
    """
    return Card(
        crop=own(crop.crop),
        card=f"{crop.card_title} ({crop.card})" if crop.card else "without a card of the library",
        margin=f"{decimal(crop.margin)} percent",
        lines=tuple(_line(figure, numbers) for figure in crop.figures),
    )


def _line(figure: UsedFigure, numbers: Mapping[str, int]) -> CardLine:
    bounds = [bound for bound in (figure.low, figure.high) if bound]
    return CardLine(
        label=figure.label,
        value=f"{figure.value} {_unit(figure)}",
        bounds=f"{bounds[0]} to {bounds[-1]}" if len(set(bounds)) > 1 else "",
        origin=_origin(figure, numbers),
        mine=figure.mark == OWN,
    )


def _unit(figure: UsedFigure) -> str:
    """Return the unit as it is read beside the value: ``1 seed``, ``24 °C``."""
    return figure.unit.removesuffix("s") if figure.value == "1" else as_read(figure.unit)


def _origin(figure: UsedFigure, numbers: Mapping[str, int]) -> str:
    if figure.mark == OWN:
        return f"your own; card {figure.of_card}" if figure.of_card else "your own"
    if figure.mark == NONE:
        return "neither yours nor a card's"
    if figure.mark in READ_MARKS:
        return f"{figure.mark} [{numbers[figure.source_id]}]"
    number = numbers.get(figure.source_id)
    return figure.mark if number is None else f"{figure.mark} [{number}]"

"""What the records show of a crop's figures: days, germination and survival, held against its card.

A figure that is proposed lies between the card and what was seen: ``(WEIGHT x card + sum of the batches) /
(WEIGHT + batches)``. For shares this is the mean of a beta distribution whose prior is the card with the
weight of as many batches, for days the mean of a normal one; every batch counts once, however large it was.
What a batch shows at all is told in :mod:`scheduler.records.seen`.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.units import WHOLE_SHARE, nearest
from scheduler.records.entries import InForce
from scheduler.records.seen import PERCENT, Seen, figure_of_card, seen, share_of_book
from scheduler.records.state import State

WEIGHT = 10
"""Batches that the card counts for (estimate)."""

LEAST = 4
"""Batches from which on a figure is proposed (estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """One figure of a crop, of all its batches or of those of a season in a place.

    Attributes:
        crop, figure: what.
        season, place: which batches; empty for all.
        batches: how many.
        mean, spread, least, most: of their values; the spread is the standard deviation.
        card: the card's figure, else that of the book; None where neither has one.
        book: the figure the book plans with.
        proposed: the figure between card and batches; None for too few batches, and for parts of them.
    """

    crop: str
    figure: str
    season: str
    place: str
    batches: int
    mean: Fraction
    spread: float
    least: Fraction
    most: Fraction
    card: Fraction | None
    book: Fraction | None
    proposed: Fraction | None


def learned(farm: Farm, happened: Iterable[InForce], state: State) -> list[Learned]:
    """Return what is known of each crop and figure, all batches first, then by season and place.

    Args:
        farm: the farm of the book.
        happened: entries in force, in order.
        state: what stands after them: what is still on its way is not counted.
    """
    groups: dict[tuple[str, str], list[Seen]] = defaultdict(list)
    for each in seen(farm, happened, state):
        groups[each.crop, each.figure].append(each)
    found: list[Learned] = []
    order = list(farm.crops), list(FIGURES)
    for (crop, figure), those in sorted(
        groups.items(), key=lambda item: (order[0].index(item[0][0]), order[1].index(item[0][1]))
    ):
        found.append(_learned(farm.crops[crop], figure, ("", ""), those))
        parts: dict[tuple[str, str], list[Seen]] = defaultdict(list)
        for one in those:
            parts[one.season, one.place].append(one)
        if len(parts) > 1:
            found += [_learned(farm.crops[crop], figure, part, parts[part]) for part in sorted(parts)]
    return found


def shrunk(prior: Fraction, values: Iterable[Fraction]) -> Fraction:
    """Return the figure between a prior and what was seen; see the module's text."""
    told = list(values)
    return (WEIGHT * prior + sum(told)) / (WEIGHT + len(told))


def _learned(crop: Crop, figure: str, part: tuple[str, str], those: list[Seen]) -> Learned:
    values = [each.value for each in those]
    mean = sum(values, Fraction(0)) / len(values)
    variance = sum(((value - mean) ** 2 for value in values), Fraction(0)) / len(values)
    book = FIGURES[figure](crop)
    of_card = figure_of_card(crop, figure)
    prior = book if of_card is None else of_card
    told = not any(part) and len(values) >= LEAST and prior is not None
    return Learned(
        crop=crop.name,
        figure=figure,
        season=part[0],
        place=part[1],
        batches=len(values),
        mean=mean,
        spread=float(variance) ** 0.5,
        least=min(values),
        most=max(values),
        card=prior,
        book=book,
        proposed=Fraction(nearest(shrunk(prior, values) * 10), 10) if told and prior is not None else None,
    )


def _named(figure: str) -> Callable[[Crop], Fraction | None]:
    return lambda crop: share_of_book(crop, figure)


def _saleable(crop: Crop) -> Fraction | None:
    return Fraction(crop.saleable * PERCENT, WHOLE_SHARE)


def _share(kind: StageKind) -> Callable[[Crop], Fraction | None]:
    def share(crop: Crop) -> Fraction | None:
        stage = crop.stage(kind)
        return None if stage is None else Fraction(stage.survival * PERCENT, WHOLE_SHARE)

    return share


def _days(kind: StageKind) -> Callable[[Crop], Fraction | None]:
    def days(crop: Crop) -> Fraction | None:
        stage = crop.stage(kind)
        return None if stage is None else Fraction(stage.days)

    return days


FIGURES: Mapping[str, Callable[[Crop], Fraction | None]] = {
    "germination_percent": _named("germination_percent"),
    "survival_tray_percent": _named("survival_tray_percent"),
    "survival_board_percent": _share(StageKind.BOARD),
    "survival_raft_percent": _share(StageKind.RAFT),
    "saleable_percent": _saleable,
    "days_tray": _days(StageKind.TRAY),
    "days_board": _days(StageKind.BOARD),
    "days_raft": _days(StageKind.RAFT),
    "days_bed": _days(StageKind.BED),
}
"""Column of the crops table -> what the book plans with."""

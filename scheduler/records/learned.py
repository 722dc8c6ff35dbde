"""What the records show of a crop's figures: days, germination and survival, held against its card.

A figure that is proposed lies between the card and what was seen: ``(WEIGHT x card + sum of the batches) /
(WEIGHT + batches)``. For shares this is the mean of a beta distribution whose prior is the card with the
weight of as many batches, for days the mean of a normal one; every batch counts once, however large it was.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from crops.library import card
from scheduler.farm.build_figures import CARD_FIGURES
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.units import WHOLE_SHARE
from scheduler.records import entries as kinds
from scheduler.records.entries import InForce
from scheduler.records.state import State

WEIGHT = 10
"""Batches that the card counts for (estimate)."""

LEAST = 4
"""Batches from which on a figure is proposed (estimate)."""

SEASONS = ("Dec-Feb", "Mar-May", "Jun-Aug", "Sep-Nov")
PERCENT = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One figure of one batch.

    Attributes:
        crop, lot: whose.
        figure: column of the crops table.
        season: three months in which it began.
        place: shelf or trough.
        value: percent or days.
    """

    crop: str
    lot: str
    figure: str
    season: str
    place: str
    value: Fraction


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
    of_card = _of_card(crop, figure)
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
        proposed=_tenths(shrunk(prior, values)) if told and prior is not None else None,
    )


def _tenths(value: Fraction) -> Fraction:
    return Fraction((value * 20 + 1) // 2, 10)


def _of_card(crop: Crop, figure: str) -> Fraction | None:
    name, times = CARD_FIGURES[figure]
    value = card(crop.card).value(name) if crop.card else None
    return None if value is None else Fraction(str(value)) * times


def _germination(crop: Crop) -> Fraction | None:
    own = dict(crop.own_figures).get("germination_percent")
    return Fraction(own) if own is not None else _of_card(crop, "germination_percent")


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
    "germination_percent": _germination,
    "survival_board_percent": _share(StageKind.BOARD),
    "survival_raft_percent": _share(StageKind.RAFT),
    "days_tray": _days(StageKind.TRAY),
    "days_board": _days(StageKind.BOARD),
    "days_raft": _days(StageKind.RAFT),
    "days_bed": _days(StageKind.BED),
}
"""Column of the crops table -> what the book plans with."""


@dataclass(slots=True)
class _Batch:
    """What happened to one lot; days are weighed by the plants of each entry."""

    crop: str
    sown: date | None = None
    cells: int = 0
    seedlings: int | None = None
    into: dict[str, list[tuple[date, int]]] = field(default_factory=lambda: defaultdict(list))
    places: dict[str, str] = field(default_factory=dict)
    cut: int = 0
    heads: int = 0
    first_cut: date | None = None
    lost_afloat: int = 0
    taken_out: bool = False

    def day_into(self, stage: str) -> Fraction | None:
        """Return the mean day, as an ordinal, on which plants came into a stage."""
        told = [(day, plants) for day, plants in self.into.get(stage, ()) if plants]
        total = sum(plants for _, plants in told)
        return Fraction(sum(day.toordinal() * plants for day, plants in told), total) if total else None

    def plants_into(self, stage: str) -> int:
        """Return the plants that came into a stage."""
        return sum(plants for _, plants in self.into.get(stage, ()))


def seen(farm: Farm, happened: Iterable[InForce], state: State) -> Iterator[Seen]:
    """Yield every figure that the records show of a batch that is through with it.

    Lots of which something was taken out on purpose show no survival. Days are those that plants stood, waits
    included.
    """
    owners = {place.name: place.belongs_to for place in farm.places}
    batches: dict[str, _Batch] = {}
    for each in happened:
        if each.entry.lot and each.entry.crop in farm.crops:
            batches.setdefault(each.entry.lot, _Batch(each.entry.crop))
        batch = batches.get(each.entry.lot)
        if batch is not None:
            _take(batch, each, owners)
    for lot, batch in batches.items():
        stands = {unit.item for unit in state.holding(lot)}
        yield from _seen_of(farm.crops[batch.crop], lot, batch, stands)


def _take(batch: _Batch, each: InForce, owners: Mapping[str, str]) -> None:
    entry = each.entry
    match entry.what:
        case kinds.SOWN:
            batch.sown, batch.cells = entry.day, batch.cells + (entry.plants or 0)
            _note_place(batch, "tray", entry.to, owners)
        case kinds.GERMINATED:
            batch.seedlings = entry.plants
        case kinds.MOVED if entry.stage in ("board", "raft", "bed") and any(put.plants for put in entry.to):
            batch.into[entry.stage].append((entry.day, sum(put.plants for put in entry.to)))
            _note_place(batch, entry.stage, entry.to, owners)
        case kinds.CUT:
            batch.cut += entry.plants or 0
            batch.heads += entry.heads or 0
            batch.first_cut = min(batch.first_cut or entry.day, entry.day)
        case kinds.LOST if batch.into.get("raft"):
            batch.lost_afloat += entry.plants or 0
        case kinds.CULLED | kinds.DISCARDED:
            batch.taken_out = True
        case _:
            pass


def _note_place(batch: _Batch, stage: str, puts: Iterable[kinds.Put], owners: Mapping[str, str]) -> None:
    for put in puts:
        batch.places.setdefault(stage, owners.get(put.place, put.place))


def _seen_of(crop: Crop, lot: str, batch: _Batch, stands: set[str]) -> Iterator[Seen]:
    def one(figure: str, stage: str, began: Fraction, value: Fraction) -> Seen:
        month = date.fromordinal(int(began)).month
        return Seen(
            crop=crop.name,
            lot=lot,
            figure=figure,
            season=SEASONS[month % 12 // 3],
            place=batch.places.get(stage, ""),
            value=value,
        )

    sown = None if batch.sown is None else Fraction(batch.sown.toordinal())
    board, raft = batch.day_into("board"), batch.day_into("raft")
    if sown is not None and batch.seedlings is not None and crop.handling.seeds_per_cell == 1 and batch.cells:
        yield one("germination_percent", "tray", sown, Fraction(PERCENT * batch.seedlings, batch.cells))
    bed = batch.day_into("bed")
    onto = bed if crop.picking is not None else board if crop.board is not None else raft
    if sown is not None and onto is not None and "tray" not in stands:
        yield one("days_tray", "tray", sown, onto - sown)
    if board is not None and raft is not None and "board" not in stands:
        yield one("days_board", "board", board, raft - board)
        share = Fraction(PERCENT * batch.plants_into("raft"), batch.plants_into("board"))
        if not batch.taken_out and share <= PERCENT:
            yield one("survival_board_percent", "board", board, share)
    if bed is not None and batch.first_cut is not None:
        yield one("days_bed", "bed", bed, batch.first_cut.toordinal() - bed)
    if raft is not None and batch.first_cut is not None:
        yield one("days_raft", "raft", raft, batch.first_cut.toordinal() - raft)
        counted = batch.cut + batch.lost_afloat
        if "raft" not in stands and not batch.taken_out and counted and crop.saleable:
            share = Fraction(PERCENT * batch.heads * WHOLE_SHARE, counted * crop.saleable)
            yield one("survival_raft_percent", "raft", raft, min(Fraction(PERCENT), share))

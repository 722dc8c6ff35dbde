"""What the records show of single batches: which figure of the crop a batch tells of, and which it cannot.

Days are told only from a move or first cut that happened because the plants were ready, in card days: days at
pace 1, by the pace of the place. What the plan kept waiting is no sign of it. Shares are told only of what
was counted; where more was there than was wanted, the rest may have been as good.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from crops.library import card
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.from_book.figures import CARD_FIGURES
from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.records import entries as kinds
from scheduler.records.entries import InForce
from scheduler.records.ground import ITEM_OF
from scheduler.records.state import State

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
        value: percent, or card days.
    """

    crop: str
    lot: str
    figure: str
    season: str
    place: str
    value: Fraction


@dataclass(frozen=True, slots=True)
class _Event:
    """Plants that came into a stage, or were cut first, on a day; ``due`` is the day a plan had for it."""

    day: date
    plants: int
    due: date | None


@dataclass(slots=True)
class _Batch:
    """What happened to one lot.

    Attributes:
        crop: whose.
        sown, cells: day and cells; None and 0 for what was found.
        seedlings: cells with a seedling as counted last; None where never.
        into: stage -> plants that came into it.
        places: stage -> shelf or trough of the first of them.
        first_cuts: of the first day on which any of it was cut.
        cut, heads: plants cut, heads of all cuts.
        lost: stage -> plants told as lost in it, of trays since its seedlings were counted.
        short: whether fewer plants left the trays than the plan wanted.
        taken_out: whether anything was taken out on purpose.
    """

    crop: str
    sown: date | None = None
    cells: int = 0
    seedlings: int | None = None
    into: dict[str, list[_Event]] = field(default_factory=dict)
    places: dict[str, str] = field(default_factory=dict)
    first_cuts: list[_Event] = field(default_factory=list)
    cut: int = 0
    heads: int = 0
    lost: dict[str, int] = field(default_factory=dict)
    short: bool = False
    taken_out: bool = False

    def plants_into(self, stage: str) -> int:
        """Return the plants that came into a stage."""
        return sum(event.plants for event in self.into.get(stage, ()))

    def day_into(self, stage: str) -> date | None:
        """Return the day on which plants came into a stage: the mean of them, rounded down; None for none."""
        if stage == "tray":
            return self.sown
        events = self.into.get(stage, ())
        total = sum(event.plants for event in events)
        return _mean_day(events, total) if total else None

    @property
    def stage(self) -> str:
        """The last stage it has come into."""
        return next((stage for stage in ("bed", "raft", "board") if stage in self.into), "tray")


def _mean_day(events: Iterable[_Event], total: int) -> date:
    return date.fromordinal(sum(event.day.toordinal() * event.plants for event in events) // total)


def seen(farm: Farm, happened: Iterable[InForce], state: State) -> Iterator[Seen]:
    """Yield every figure that the records show of a batch that is through with it.

    Lots of which something was taken out on purpose show no survival.

    Args:
        farm: the farm of the book, whose pace and figures count.
        happened: entries in force, in order.
        state: what stands after them.
    """
    places = _Places(
        owners={place.name: place.belongs_to for place in farm.places},
        stages={place.name: ITEM_OF[place.kind] for place in farm.places if place.kind in ITEM_OF},
    )
    batches: dict[str, _Batch] = {}
    for each in happened:
        if each.entry.lot and each.entry.crop in farm.crops:
            batches.setdefault(each.entry.lot, _Batch(each.entry.crop))
        batch = batches.get(each.entry.lot)
        if batch is not None:
            _take(batch, each.entry, places)
    for lot, batch in batches.items():
        stands = {unit.item for unit in state.holding(lot)}
        reader = _Reader(farm, lot, batch)
        yield from reader.days(stands)
        yield from reader.shares(stands)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Places:
    """Shelf or trough of each place, and the stage of plants that stand there."""

    owners: Mapping[str, str]
    stages: Mapping[str, str]


def _take(batch: _Batch, entry: kinds.Entry, places: _Places) -> None:
    plants = entry.plants or 0
    match entry.what:
        case kinds.SOWN:
            batch.sown, batch.cells = entry.day, batch.cells + plants
            _note_place(batch, "tray", entry.to, places.owners)
        case kinds.GERMINATED | kinds.THINNED if entry.plants is not None:
            batch.seedlings = entry.plants
            batch.lost.pop("tray", None)
        case kinds.MOVED if entry.stage in ("board", "raft", "bed") and any(put.plants for put in entry.to):
            if next(iter(batch.into), entry.stage) == entry.stage:
                batch.short |= entry.wanted is not None and plants < entry.wanted
            event = _Event(entry.day, sum(put.plants for put in entry.to), entry.due)
            batch.into.setdefault(entry.stage, []).append(event)
            _note_place(batch, entry.stage, entry.to, places.owners)
        case kinds.CUT:
            if not batch.first_cuts or entry.day == batch.first_cuts[0].day:
                batch.first_cuts.append(_Event(entry.day, plants, entry.due))
            batch.cut += plants
            batch.heads += entry.heads or 0
        case kinds.LOST:
            stage = next(
                (places.stages[spot.place] for spot in entry.place if spot.place in places.stages),
                batch.stage,
            )
            batch.lost[stage] = batch.lost.get(stage, 0) + plants
        case kinds.CULLED | kinds.DISCARDED:
            batch.taken_out = True
        case _:
            pass


def _note_place(batch: _Batch, stage: str, puts: Iterable[kinds.Put], owners: Mapping[str, str]) -> None:
    for put in puts:
        batch.places.setdefault(stage, owners.get(put.place, put.place))


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads the figures of one batch."""

    farm: Farm
    lot: str
    batch: _Batch

    @property
    def crop(self) -> Crop:
        """Its crop."""
        return self.farm.crops[self.batch.crop]

    def days(self, stands: set[str]) -> Iterator[Seen]:
        """Yield the days of each stage that it has left."""
        route = [stage.kind for stage in self.crop.route]
        for kind, onto in zip(route, [*route[1:], None], strict=True):
            events = self.batch.into.get(onto.value, []) if onto else self.batch.first_cuts
            if events and (onto is None or kind.value not in stands):
                value = self._days_in(kind, events)
                if value is not None:
                    yield self._one(f"days_{kind.value}", kind.value, value)

    def _days_in(self, kind: StageKind, events: Iterable[_Event]) -> Fraction | None:
        """Return card days in a stage, the mean of the plants that left it when they were ready."""
        began, stage = self.batch.day_into(kind.value), self.crop.stage(kind)
        if began is None or stage is None:
            return None
        told = [(self._days_until(kind, began, event), event.plants) for event in events if event.plants]
        counted = [(days, plants) for days, plants in told if days is not None]
        total = sum(plants for _, plants in counted)
        return sum((days * plants for days, plants in counted), Fraction(0)) / total if total else None

    def _days_until(self, kind: StageKind, began: date, event: _Event) -> Fraction | None:
        """Return the card days after which plants were ready; None where they waited for the plan.

        On the first day on which the book's days are over, and before it, they were ready; that day counts
        as the book's days. Later than the plan had it they were not ready before: only the wait that the
        plan itself had is taken off. What no plan asked for was done because they were ready.
        """
        stage = self.crop.stage(kind)
        assert stage is not None
        place, calendar = self.batch.places.get(kind.value, ""), self.farm.calendar
        first, day = calendar.day_of(began), calendar.day_of(event.day)
        ready = self.farm.pace.first_day_reached(place, first, stage.days)
        grown = Fraction(self.farm.pace.grown(place, first, day), MILLI)
        if day <= ready:
            return min(grown, Fraction(stage.days))
        if event.due is None:
            return grown
        due = calendar.day_of(event.due)
        if day <= due:
            return None
        waited = self.farm.pace.grown(place, ready, max(ready, due))
        return grown - Fraction(waited, MILLI)

    def shares(self, stands: set[str]) -> Iterator[Seen]:
        """Yield germination, what survives each stage it is through with, and what of the cut was sold."""
        batch, crop = self.batch, self.crop
        if batch.sown is None or crop.bought:
            pass
        elif batch.seedlings is not None and crop.handling.seeds_per_cell == 1 and batch.cells:
            share = Fraction(PERCENT * batch.seedlings, batch.cells)
            yield self._one("germination_percent", "tray", share)
            if "tray" not in stands and batch.into and not batch.taken_out and batch.seedlings:
                yield self._one("survival_tray_percent", "tray", self._off_trays(batch.seedlings))
        if "raft" in batch.into and "board" in batch.into and "board" not in stands and not batch.taken_out:
            share = Fraction(PERCENT * batch.plants_into("raft"), batch.plants_into("board"))
            if share <= PERCENT:
                yield self._one("survival_board_percent", "board", share)
        if batch.first_cuts and "raft" in batch.into and "raft" not in stands and not batch.taken_out:
            yield from self._off_rafts()

    def _off_trays(self, seedlings: int) -> Fraction:
        """Return the share of seedlings that were good enough to move on.

        Where all that went is told, it is what moved. Else the rest may have been left because it was not
        wanted, and the share is no less than the book's.
        """
        batch = self.batch
        moved = batch.plants_into(self.crop.route[1].kind.value)
        share = min(Fraction(PERCENT), Fraction(PERCENT * moved, seedlings))
        if batch.short or moved + batch.lost.get("tray", 0) >= seedlings:
            return share
        book = share_of_book(self.crop, "survival_tray_percent")
        return share if book is None else max(share, book)

    def _off_rafts(self) -> Iterator[Seen]:
        """Yield what survived the rafts and what of it could be sold.

        Where no plant was told as lost the two cannot be told apart: all that is missing counts as lost.
        """
        batch, crop = self.batch, self.crop
        lost = batch.lost.get("raft", 0)
        if lost and batch.cut:
            share = Fraction(PERCENT * batch.cut, batch.cut + lost)
            yield self._one("survival_raft_percent", "raft", share)
            sold = Fraction(PERCENT * batch.heads, batch.cut)
            yield self._one("saleable_percent", "raft", min(Fraction(PERCENT), sold))
        elif batch.cut and crop.saleable:
            share = Fraction(PERCENT * batch.heads * WHOLE_SHARE, batch.cut * crop.saleable)
            yield self._one("survival_raft_percent", "raft", min(Fraction(PERCENT), share))

    def _one(self, figure: str, stage: str, value: Fraction) -> Seen:
        began = self.batch.day_into(stage)
        assert began is not None
        return Seen(
            crop=self.crop.name,
            lot=self.lot,
            figure=figure,
            season=SEASONS[began.month % 12 // 3],
            place=self.batch.places.get(stage, ""),
            value=value,
        )


def share_of_book(crop: Crop, figure: str) -> Fraction | None:
    """Return a percentage that a book gives by name, else its card's; None where neither has one."""
    own = dict(crop.own_figures).get(figure)
    return Fraction(own) if own is not None else figure_of_card(crop, figure)


def figure_of_card(crop: Crop, figure: str) -> Fraction | None:
    """Return the figure of a crop's card in the unit of the book's column; None without one."""
    name, times = CARD_FIGURES[figure]
    value = card(crop.card).value(name) if crop.card else None
    return None if value is None else Fraction(str(value)) * times

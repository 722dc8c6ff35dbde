"""Lots followed through the records: back to their seed, and forward to everyone who got some of them."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.records import entries as kinds
from scheduler.records.applying import apply
from scheduler.records.entries import Entry, InForce, Logged, in_force, seed_lots_of
from scheduler.records.state import LotFacts, Standing, State, state_of
from scheduler.records.yard import Unit, Yard

OF_PLACES = (kinds.TREATED, kinds.QUARANTINED, kinds.CLOSED, kinds.RELEASED)
"""Kinds of entry that may be for all that stands in a place."""

GONE = (kinds.LOST, kinds.CULLED, kinds.DISCARDED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One entry about a lot.

    Attributes:
        number, entry: the entry.
        root: number of the entry it stands in for, else its own.
        written, source: as in the log.
        plants: plants it was about; of what was discarded, those that stood there.
    """

    number: int
    entry: Entry
    root: int
    written: str
    source: str
    plants: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTrace:
    """A lot from seed to customers.

    Attributes:
        facts: what is known of it.
        variety: variety of its crop in the book; empty where the book has none.
        events: every entry about it or about all that stood beside it, in the order they happened.
        stands: units that hold some of it now.
    """

    facts: LotFacts
    variety: str
    events: tuple[Event, ...]
    stands: tuple[Standing, ...]

    def of(self, *what: str) -> tuple[Event, ...]:
        """Return its events of some kinds."""
        return tuple(event for event in self.events if event.entry.what in what)

    @property
    def cut(self) -> tuple[int, int]:
        """Plants cut and heads counted, over all cuts."""
        cuts = self.of(kinds.CUT)
        return sum(each.plants or 0 for each in cuts), sum(each.entry.heads or 0 for each in cuts)

    @property
    def gone(self) -> int:
        """Plants lost, culled or thrown away; of trays these are cells or seedlings."""
        return sum(each.plants or 0 for each in self.of(*GONE) if each.entry.heads is None)

    @property
    def thrown_heads(self) -> int:
        """Heads thrown away after they were cut."""
        return sum(each.entry.heads or 0 for each in self.of(kinds.DISCARDED))

    @property
    def delivered(self) -> int:
        """Heads that went to customers."""
        return sum(each.entry.heads or 0 for each in self.of(kinds.DELIVERED))

    @property
    def standing(self) -> int:
        """Plants that stand now, of trays cells or seedlings."""
        return sum(unit.of(self.facts.lot) for unit in self.stands)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """Some lots, and what was asked.

    Attributes:
        asked: what was asked, such as ``delivery HT-1 2026-04-21``.
        lots: the lots it leads to, in the order they were sown.
        delivery: name of the delivery that was asked about; empty for none.
    """

    asked: str
    lots: tuple[LotTrace, ...]
    delivery: str

    def deliveries(self) -> list[tuple[LotTrace, Event]]:
        """Return every delivery of the lots, by day; of a delivery that was asked about only itself."""
        found = [
            (lot, event)
            for lot in self.lots
            for event in lot.of(kinds.DELIVERED)
            if self.delivery in ("", event.entry.delivery)
        ]
        return sorted(found, key=lambda pair: (pair[1].entry.day, pair[1].entry.customer, pair[1].number))


class Untraced(Exception):  # it is an answer, not an error of the program
    """There is nothing of that name in the records; ``known`` are names there are."""

    def __init__(self, what: str, name: str, known: Iterable[str]) -> None:
        """Keep what was asked."""
        super().__init__(f"{what} {name}")
        self.what, self.name, self.known = what, name, tuple(dict.fromkeys(known))


def trace_delivery(farm: Farm, log: Sequence[Logged], name: str) -> Trace:
    """Return the lots that went into a delivery.

    Raises:
        Untraced: no such delivery is recorded.
    """
    delivered = [each.entry for each in _holding(log) if each.entry.what == kinds.DELIVERED]
    lots = [entry.lot for entry in delivered if entry.delivery == name]
    if not lots:
        raise Untraced("delivery", name, (entry.delivery for entry in delivered if entry.delivery))
    return Trace(asked=f"delivery {name}", lots=_traced(farm, log, lots), delivery=name)


def trace_lot(farm: Farm, log: Sequence[Logged], lot: str) -> Trace:
    """Return one lot.

    Raises:
        Untraced: no such lot is recorded.
    """
    known = [each.entry.lot for each in _holding(log) if each.entry.lot]
    if lot not in known:
        raise Untraced("lot", lot, known)
    return Trace(asked=f"lot {lot}", lots=_traced(farm, log, [lot]), delivery="")


def trace_seed_lot(farm: Farm, log: Sequence[Logged], seed_lot: str) -> Trace:
    """Return the lots that were sown with a lot of seed.

    Raises:
        Untraced: no such lot of seed is recorded.
    """
    named = [(name, each.entry.lot) for each in _holding(log) for name in seed_lots_of(each.entry.seed_lot)]
    lots = [lot for name, lot in named if name == seed_lot]
    if not lots:
        raise Untraced("seed lot", seed_lot, (name for name, _ in named))
    return Trace(asked=f"seed lot {seed_lot}", lots=_traced(farm, log, lots), delivery="")


def _holding(log: Sequence[Logged]) -> list[InForce]:
    return in_force((each.number, each.entry) for each in log)


def _traced(farm: Farm, log: Sequence[Logged], lots: Sequence[str]) -> tuple[LotTrace, ...]:
    logged = {each.number: each for each in log}
    events: dict[str, list[Event]] = {lot: [] for lot in lots}
    yard = Yard()
    for each in _holding(log):
        touched = dict(_touched(yard, each.entry))
        for lot, plants in touched.items():
            if lot in events:
                written = logged[each.number]
                events[lot].append(
                    Event(
                        number=each.number,
                        entry=each.entry,
                        root=each.root,
                        written=written.written,
                        source=written.source,
                        plants=plants,
                    )
                )
        apply(yard, each.entry, each.number)
    state = state_of(yard)
    traced = [_lot(farm, state, lot, tuple(those)) for lot, those in events.items()]
    return tuple(sorted(traced, key=lambda lot: (lot.facts.sown or lot.facts.began, lot.facts.lot)))


def _lot(farm: Farm, state: State, lot: str, events: tuple[Event, ...]) -> LotTrace:
    facts = state.lots[lot]
    crop = farm.crops.get(facts.crop)
    return LotTrace(
        facts=facts, variety=crop.variety if crop else "", events=events, stands=state.holding(lot)
    )


def _touched(yard: Yard, entry: Entry) -> Iterator[tuple[str, int | None]]:
    """Yield the lots an entry is about and the plants of each, before it happens."""
    if entry.lot and entry.what != kinds.DISCARDED:
        yield entry.lot, entry.plants
        return
    if entry.heads is not None:
        yield entry.lot, None
        return
    if entry.what not in (*OF_PLACES, kinds.DISCARDED):
        return
    plants: dict[str, int] = {}
    for unit in yard.units():
        if _is_at(yard, unit, entry):
            for held in unit.held:
                if entry.lot in ("", held.lot):
                    plants[held.lot] = plants.get(held.lot, 0) + held.plants
    yield from plants.items()


def _is_at(yard: Yard, unit: Unit, entry: Entry) -> bool:
    """Say whether a unit stands where an entry is about; anywhere where it tells no place.

    One whose slot is not known stands in any that is named with its lot.
    """
    return not entry.place or any(
        unit.place == spot.place
        and (
            not spot.slots
            or yard.slot_of(unit) in spot.slots
            or (unit.guessed and (bool(entry.lot) or unit.slot in spot.slots))
        )
        for spot in entry.place
    )

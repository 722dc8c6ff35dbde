"""What an earlier plan has for each lot, as amounts of a model's options: a lot stays whole or falls out.

Plants that stand go the way the earlier plan has for their lot, as far as there are so many of them, on the
days of that plan or, where the model has none such, on the nearest.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Growing
from scheduler.farm.units import WHOLE_SHARE, share_down
from scheduler.model.again.planted import into_beds, plantings_ahead
from scheduler.model.answers.portions import Chain, portions
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.options import BoardOut, RaftSet, TrayOut
from scheduler.model.variables.decisions import Decisions
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.earlier import Earlier, Held, lot_at_large
from scheduler.plan.layout.lots import lot_code
from scheduler.plan.positions import positions_in

Source = TrayOut | BoardOut
Out = TypeVar("Out", TrayOut, BoardOut, Source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Afloat:
    """Plants on one raft of the earlier plan: what option they are now, their cuts, and where they stand."""

    option: RaftSet
    plants: int
    chain: Chain
    unit: str
    place: str

    @property
    def emptied(self) -> int:
        """The day of their last cut."""
        return self.chain[-1][1]


@dataclass(slots=True, kw_only=True)
class Party:
    """One lot: its amounts by option.

    Attributes:
        lot: lot at large.
        day: day it is sown; one that stands already comes before all.
        trays: option -> rows (growing: plants). boards: option -> plants.
        afloat: its plants on rafts. planted: option -> plants set into a bed.
        growing: the growing rows it stands in.
    """

    lot: str
    day: int
    trays: dict[TrayOut, int] = field(default_factory=lambda: defaultdict(int))
    boards: dict[BoardOut, int] = field(default_factory=lambda: defaultdict(int))
    afloat: list[Afloat] = field(default_factory=list)
    planted: dict[BedSet, int] = field(default_factory=lambda: defaultdict(int))
    growing: tuple[int, ...] = ()


def parties_of(chosen: Decisions, before: Earlier) -> tuple[list[Party], list[str]]:
    """Return the lots of an earlier plan that can go on in a model, and those of which nothing can.

    Lots that stand and that the earlier plan does not have are left out of both.
    """
    finder = _Finder(chosen, before)
    found, lost = [], []
    names = {row.lot for row in chosen.farm.growing}
    standing: dict[str, list[int]] = defaultdict(list)
    for index, row in enumerate(chosen.farm.growing):
        standing[lot_at_large(row.lot, names)].append(index)
    for lot, rows in standing.items():
        party = finder.standing(lot, rows)
        if party.trays or party.boards or party.afloat:
            found.append(party)
    for planned in before.plan.lots:
        if planned.sown is not None and planned.sown >= chosen.farm.today and planned.origin == "sown":
            sown = finder.sown(planned.lot, planned.sown)
            if sown is None:
                lost.append(planned.lot)
            else:
                found.append(sown)
    return found, lost


class _Finder:
    """Looks up a model's options by where plants come from."""

    def __init__(self, chosen: Decisions, before: Earlier) -> None:
        self._chosen, self._before, self._farm = chosen, before, chosen.farm
        self._new_trays: dict[tuple[str, int], list[TrayOut]] = defaultdict(list)
        self._old_trays: dict[int, list[TrayOut]] = defaultdict(list)
        for out in chosen.tray_rows:
            if out.growing < 0:
                self._new_trays[out.crop, out.sown].append(out)
            else:
                self._old_trays[out.growing].append(out)
        self._boards: dict[TrayOut, list[BoardOut]] = defaultdict(list)
        self._old_boards: dict[int, list[BoardOut]] = defaultdict(list)
        for board in chosen.board_plants:
            if board.source is None:
                self._old_boards[board.growing].append(board)
            else:
                self._boards[board.source].append(board)
        self._rafts: dict[Source, list[RaftSet]] = defaultdict(list)
        self._old_rafts: dict[int, RaftSet] = {}
        for option in chosen.raft_plants:
            if option.source is None:
                self._old_rafts[option.growing] = option
            else:
                self._rafts[option.source].append(option)
        self._beds: dict[Source, list[BedSet]] = defaultdict(list)
        for planting in chosen.bed_plants:
            if planting.source is not None:
                self._beds[planting.source].append(planting)
        self._pool_of = {place.name: bundle.pool for bundle in chosen.bundles for place in bundle.places}

    def sown(self, lot: str, day: int) -> Party | None:
        """Return a lot that is to be sown as the earlier plan has it; None where no option fits."""
        crop = self._farm.crops.get(self._before.crop_of[lot])
        outs = self._new_trays.get((crop.name, day), []) if crop else []
        if crop is None or not outs or lot_code(self._farm, crop.name, day, -1) != lot:
            return None
        flow = _Flow(Party(lot=lot, day=day))
        for held in self._before.of(lot, "tray"):
            out = _nearest(outs, held.content.leaves, self._reach)
            flow.party.trays[out] += held.content.rows
            flow.met["tray", held.content.leaves].append(out)
        cells = self._farm.equipment[crop.tray.unit].cells_per_row
        for out, rows in flow.party.trays.items():
            flow.supply[out] = share_down(rows * cells, crop.tray.survival)
        self._go_on(crop, flow)
        return flow.party if flow.party.afloat or flow.party.planted or crop.ends_in(StageKind.TRAY) else None

    def _reach(self, out: TrayOut) -> bool:
        return bool(self._boards.get(out) or self._rafts.get(out) or self._beds.get(out))

    def standing(self, lot: str, rows: Sequence[int]) -> Party:
        """Return what stands of a lot, on the way the earlier plan has for it."""
        growing = self._farm.growing
        crop = self._farm.crops[growing[rows[0]].crop]
        flow = _Flow(Party(lot=lot, day=self._farm.today - 1, growing=tuple(rows)))
        if crop.ends_in(StageKind.TRAY):
            self._leave(flow, rows, StageKind.TRAY, self._standing_in(lot, "tray"))
        else:
            onto = "board" if crop.board else "raft"
            wanted = into_beds(self._farm, self._before, lot) if crop.picking else self._wanted(lot, onto)
            self._leave(flow, rows, StageKind.TRAY, wanted)
            self._leave(flow, rows, StageKind.BOARD, self._standing_in(lot, "board"))
        self._go_on(crop, flow)
        for index in rows:
            if growing[index].stage is StageKind.RAFT:
                self._afloat(flow, index)
        return flow.party

    def _wanted(self, lot: str, item: str) -> dict[int, int]:
        """Return day -> plants of a lot that the earlier plan sets into units of a kind on it."""
        wanted: dict[int, int] = defaultdict(int)
        for held in self._ahead(lot, item):
            wanted[held.content.enters] += held.content.plants
        return wanted

    def _ahead(self, lot: str, item: str) -> Iterator[Held]:
        """Yield what the earlier plan sets into units of a kind from today on, and today what is overdue."""
        today, rows = self._farm.today, self._before.of(lot, item)
        stand = sum(row.plants for row in self._growing_of(lot) if row.stage.value == item)
        past = [held for held in rows if held.content.enters < today <= held.content.leaves]
        overdue = sum(held.content.plants for held in past) - stand
        for held in reversed(past):
            if overdue > 0:
                plants = min(overdue, held.content.plants)
                overdue -= plants
                yield replace(held, content=replace(held.content, enters=today, plants=plants))
        yield from (held for held in rows if held.content.enters >= today)

    def _growing_of(self, lot: str) -> Iterator[Growing]:
        names = {row.lot for row in self._farm.growing}
        yield from (row for row in self._farm.growing if lot_at_large(row.lot, names) == lot)

    def _standing_in(self, lot: str, item: str) -> dict[int, int]:
        """Return day -> plants of a lot that leave the units of a kind in which they stand now."""
        wanted: dict[int, int] = defaultdict(int)
        for held in self._before.of(lot, item):
            if held.content.enters < self._farm.today <= held.content.leaves:
                wanted[held.content.leaves] += held.content.plants
        return wanted

    def _leave(self, flow: "_Flow", rows: Sequence[int], stage: StageKind, wanted: dict[int, int]) -> None:
        """Let what stands in trays or on boards leave on the days wanted; the last of them takes the rest."""
        growing = self._farm.growing
        left = {index: growing[index].plants for index in rows if growing[index].stage is stage}
        options = {index: self._outs(index, stage) for index in left}
        left = {index: plants for index, plants in left.items() if options[index]}
        days = sorted(wanted)
        for day in days:
            need = wanted[day]
            for index in left:
                now = left[index] if day == days[-1] else min(left[index], need)
                if now:
                    out = _nearest(options[index], day, self._goes_on)
                    flow.take(out, now)
                    flow.met[stage.value, day].append(out)
                    need, left[index] = max(0, need - now), left[index] - now
        self._supply(flow)

    def _outs(self, index: int, stage: StageKind) -> Sequence[Source]:
        return self._old_trays[index] if stage is StageKind.TRAY else self._old_boards[index]

    def _goes_on(self, out: Source) -> bool:
        return bool(self._rafts.get(out) or self._beds.get(out)) or (
            isinstance(out, TrayOut) and bool(self._boards.get(out))
        )

    def _supply(self, flow: "_Flow") -> None:
        for out, plants in flow.party.trays.items():
            flow.supply[out] = plants
        for board, plants in flow.party.boards.items():
            stage = self._farm.crops[board.crop].board
            flow.supply[board] = share_down(plants, stage.survival if stage else WHOLE_SHARE)

    def _go_on(self, crop: Crop, flow: "_Flow") -> None:
        """Set out on boards and rafts what the stage before gives."""
        lot = flow.party.lot
        for planting, day, plants in plantings_ahead(self._farm, self._before, lot):
            self._into_bed(flow, planting, day, plants)
        if crop.board is not None:
            for held in self._ahead(lot, "board"):
                self._onto_boards(flow, held)
            for board, plants in flow.party.boards.items():
                if board.source is not None:
                    flow.supply[board] = share_down(plants, crop.board.survival)
        for raft, rows in self._rafts_of(lot):
            self._onto_raft(flow, crop, raft, rows)

    def _into_bed(self, flow: "_Flow", planting: PlantingRow, day: int, wanted: int) -> None:
        """Set plants into the positions of the earlier plan, or others that are alike."""
        first = min(positions_in(planting.positions) or [0])
        pools = [pool.name for pool in self._chosen.bed_pools if pool.holds(planting.bed, first)]
        for source in flow.sources("tray", day):
            options = [each for each in self._beds.get(source, ()) if each.pool in pools]
            now = min(wanted, flow.supply[source])
            if options and now > 0:
                flow.party.planted[options[0]] += now
                flow.supply[source] -= now
                wanted -= now

    def _rafts_of(self, lot: str) -> Iterator[tuple[Held, list[Held]]]:
        """Yield the rafts the earlier plan fills with a lot, the one emptied first first."""
        by_unit: dict[str, list[Held]] = defaultdict(list)
        for held in self._ahead(lot, "raft"):
            by_unit[held.unit.unit].append(held)
        for rows in sorted(by_unit.values(), key=lambda rows: (rows[0].content.enters, rows[0].unit.emptied)):
            yield rows[0], rows

    def _onto_boards(self, flow: "_Flow", held: Held) -> None:
        wanted = held.content.plants
        for source in flow.sources("tray", held.content.enters):
            boards = self._boards.get(source, []) if isinstance(source, TrayOut) else []
            boards = [board for board in boards if self._rafts.get(board)]
            now = min(wanted, flow.supply[source])
            if boards and now > 0:
                board = min(boards, key=lambda each: _off(each.day, held.content.leaves))
                flow.party.boards[board] += now
                flow.supply[source] -= now
                flow.met["board", held.content.leaves].append(board)
                wanted -= now

    def _onto_raft(self, flow: "_Flow", crop: Crop, raft: Held, rows: Sequence[Held]) -> None:
        """Fill a raft of the earlier plan with what there is, the plants that leave it first first."""
        found = self._portions(raft.unit.unit, flow.party.lot, rows)
        before = "board" if crop.board else "tray"
        for plants, chain in found:
            wanted = plants
            for source in flow.sources(before, raft.content.enters):
                option = self._raft_option(source, raft.place)
                if option is None:
                    continue
                room = self._chosen.most(self._chosen.raft_plants[option]) - flow.placed[option]
                now = min(wanted, flow.supply[source], room)
                fitted = fitted_chain(option, chain)
                if now > 0 and fitted:
                    flow.float(option, (now, fitted), raft)
                    flow.supply[source] -= now
                    wanted -= now

    def _raft_option(self, source: Source, place: str) -> RaftSet | None:
        options = self._rafts.get(source, [])
        pool = self._pool_of.get(place)
        return next((each for each in options if each.pool == pool), options[0] if options else None)

    def _portions(self, unit: str, lot: str, rows: Iterable[Held]) -> list[tuple[int, Chain]]:
        """Return plants of a lot on a raft with the days of their cuts, those that leave first first.

        What is only thrown away comes last. ``rows`` have all plants on that raft; what has left is left out.
        """
        leaving: dict[int, int] = defaultdict(int)
        for held in rows:
            leaving[held.content.leaves] += held.content.plants
        cuts: dict[int, dict[int, int]] = defaultdict(dict)
        for cut in self._before.cuts.get((unit, lot), ()):
            cuts[cut.number][cut.day] = cuts[cut.number].get(cut.day, 0) + cut.plants
        if not (found := portions(cuts, leaving)):
            return [(sum(leaving.values()), ())]
        found.sort(key=lambda each: (not each[1], each[2]))
        return [(plants, chain) for plants, chain, day in found if day >= self._farm.today]

    def _afloat(self, flow: "_Flow", index: int) -> None:
        """Cut rafts that stand as the earlier plan has it, in the order of their row."""
        row, option = self._farm.growing[index], self._old_rafts.get(index)
        if option is None or not option.cuttings:
            return
        today, known = self._farm.today, list(self._before.of(flow.party.lot, "raft"))
        rafts = [held for held in known if held.content.enters < today <= held.content.leaves]
        rafts.sort(key=lambda held: (held.place != row.place, held.unit.enters, held.unit.emptied))
        found: list[tuple[int, Chain, Held, str]] = []
        for name in dict.fromkeys(held.unit.unit for held in rafts):
            rows = [held for held in known if held.unit.unit == name]
            for plants, chain in self._portions(name, flow.party.lot, rows):
                found.append((plants, chain, rows[0], name))
        # of a raft on which some were cut oftener than others, those cut as often as these come first
        found.sort(key=lambda each: sum(day < today for _, day in each[1]) != row.cuts_done)
        left = row.plants
        for plants, chain, raft, name in found:
            now = min(left, plants - flow.used[name, chain])
            fitted = fitted_chain(option, chain)
            if now > 0 and fitted:
                flow.float(option, (now, fitted), raft)
                flow.used[name, chain] += now
                left -= now
        if left:
            flow.rest(option, left, row.place, fitted_chain(option, found[-1][1] if found else ()))


@dataclass(slots=True)
class _Flow:
    """One lot while it is led through the stages.

    ``met`` says which options stand for those that leave a stage on a day of the earlier plan; ``supply`` is
    what may still go on from each; ``placed`` what each raft option has.
    """

    party: Party
    supply: dict[Source, int] = field(default_factory=lambda: defaultdict(int))
    met: dict[tuple[str, int], list[Source]] = field(default_factory=lambda: defaultdict(list))
    placed: dict[RaftSet, int] = field(default_factory=lambda: defaultdict(int))
    used: dict[tuple[str, Chain], int] = field(default_factory=lambda: defaultdict(int))

    def take(self, out: Source, plants: int) -> None:
        if isinstance(out, TrayOut):
            self.party.trays[out] += plants
        else:
            self.party.boards[out] += plants

    def sources(self, stage: str, day: int) -> list[Source]:
        return list(dict.fromkeys(self.met.get((stage, day), ())))

    def float(self, option: RaftSet, portion: tuple[int, Chain], raft: Held) -> None:
        plants, chain = portion
        self.placed[option] += plants
        self.party.afloat.append(
            Afloat(option=option, plants=plants, chain=chain, unit=raft.unit.unit, place=raft.place)
        )

    def rest(self, option: RaftSet, plants: int, place: str, chain: Chain) -> None:
        if chain:
            self.placed[option] += plants
            self.party.afloat.append(Afloat(option=option, plants=plants, chain=chain, unit="", place=place))


def fitted_chain(option: RaftSet, chain: Chain) -> Chain:
    """Return the cuts an option has that lie nearest to those of a chain.

    Cuts the plants have had are left out; with nothing left of the chain every cut is on its first day.
    """
    wanted = dict(chain)
    first = min((step.number for step in option.cuttings), default=0)
    last = max((number for number in wanted if number >= first), default=0)
    made: list[tuple[int, int]] = []
    number, after = first, None
    while True:
        steps = [step.day for step in option.cuttings if (step.number, step.after) == (number, after)]
        if not steps or (last and number > last):
            return tuple(made)
        day = min(steps, key=lambda day: _off(day, wanted.get(number, steps[0])))
        made.append((number, day))
        number, after = number + 1, day


def _nearest(outs: Sequence[Out], day: int, goes_on: Callable[[Out], bool]) -> Out:
    """Return the option that leaves nearest to a day, one that leads somewhere before one that does not."""
    return min(outs, key=lambda out: (not goes_on(out), *_off(out.day, day)))


def _off(day: int, wanted: int) -> tuple[int, bool]:
    return abs(day - wanted), day < wanted

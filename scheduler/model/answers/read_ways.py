"""Which option of a model each piece of a plan is: the way it went from tray to raft.

Where several options would do (pools of unlike pace, growing rows of one lot), whole units are given to
those that still have plants enough for them.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.units import WHOLE_SHARE, share_down
from scheduler.model.answers.portions import Chain, portions
from scheduler.model.answers.read_beds import BedWays, bed_ways
from scheduler.model.answers.read_rows import NotReadBack, Piece, PlanRows
from scheduler.model.options.options import BoardOut, RaftSet, TrayOut
from scheduler.model.variables.decisions import Decisions, entered_before, lot_of
from scheduler.plan.layout.lots import lot_code

Source = TrayOut | BoardOut
Option = TypeVar("Option", BoardOut, RaftSet)
Given = list[tuple[Piece, int, Option]]
"""Piece, plants of it, option they are given to."""


@dataclass(slots=True)
class Ways:
    """Amounts by option, and what is in each unit.

    Attributes:
        trays, boards, rafts: option -> rows (growing: plants moved on), plants, plants.
        thrown: index of a growing row of trays or boards -> plants thrown away.
        inside: unit -> the options its plants belong to.
        afloat: (piece, plants of it, option) of every raft.
        strangers: growing rafts that the plan does not have.
        beds: what stands in beds.
    """

    trays: dict[TrayOut, int] = field(default_factory=lambda: defaultdict(int))
    boards: dict[BoardOut, int] = field(default_factory=lambda: defaultdict(int))
    rafts: dict[RaftSet, int] = field(default_factory=lambda: defaultdict(int))
    thrown: dict[int, int] = field(default_factory=lambda: defaultdict(int))
    inside: dict[str, list[TrayOut | BoardOut | RaftSet]] = field(default_factory=lambda: defaultdict(list))
    afloat: list[tuple[Piece, int, RaftSet]] = field(default_factory=list)
    strangers: list[RaftSet] = field(default_factory=list)
    beds: BedWays = field(default_factory=BedWays)


def code_of(farm: Farm, option: TrayOut | BoardOut | RaftSet) -> str:
    """Return the code of the lot an option is part of."""
    crop, sown, growing = lot_of(option)
    return lot_code(farm, crop, sown, growing)


def find_ways(chosen: Decisions, rows: PlanRows) -> Ways:
    """Return the options of a plan's pieces and how much of each.

    Raises:
        NotReadBack: a piece went a way that is not among the model's options.
    """
    return _Finder(chosen, rows).ways


class _Finder:
    """Goes through the stages in order; ``_supply`` holds what may still go on from each option."""

    def __init__(self, chosen: Decisions, rows: PlanRows) -> None:
        self._chosen, self._rows, self._farm = chosen, rows, chosen.farm
        self._supply: dict[Source, int] = {}
        self._today_left: dict[int, int] = defaultdict(int)
        self.ways = Ways()
        self._trays()
        self._boards()
        self._rafts()
        self.ways.beds = bed_ways(chosen, rows, self._supply)
        self._throw_away()

    def _trays(self) -> None:
        new = {
            (out.crop, out.sown, out.pool, out.day): out for out in self._chosen.tray_rows if out.growing < 0
        }
        old = {(out.growing, out.day): out for out in self._chosen.tray_rows if out.growing >= 0}
        self._cut_trays()
        for piece in self._rows.trays:
            crop = self._rows.crop(piece.lot)
            if crop.is_cut_in_trays:
                continue
            if piece.growing >= 0:
                self._growing(piece, old.get((piece.growing, piece.leaves)))
                continue
            out = new.get((crop.name, piece.enters, piece.pool, piece.leaves))
            if out is None:
                raise self._no_way(piece, "trays")
            self._add(self.ways.trays, out, piece)
        for out, rows in self.ways.trays.items():
            if out.cuts:
                continue
            tray = self._farm.crops[out.crop].tray
            cells = rows * self._farm.equipment[tray.unit].cells_per_row
            self._supply[out] = rows if out.growing >= 0 else share_down(cells, tray.survival)

    def _cut_trays(self) -> None:
        """Find the way of each tray that is cut as it stands by the days of its cuts."""
        ways = {
            (out.crop, out.sown if out.growing < 0 else None, out.growing, out.pool, out.numbered_cuts): out
            for out in self._chosen.tray_rows
            if out.cuts
        }
        held: dict[tuple[str, str], list[Piece]] = defaultdict(list)
        for piece in self._rows.trays:
            if self._rows.crop(piece.lot).is_cut_in_trays:
                held[piece.unit, piece.lot].append(piece)
        for (unit, lot), pieces in held.items():
            first, crop = pieces[0], self._rows.crop(lot)
            each = self._farm.equipment[crop.tray.unit].cells_per_row if first.growing < 0 else 1
            for cells, chain in self._chains(unit, lot, pieces, each):
                if not chain and first.growing >= 0:
                    continue  # thrown away on the first day
                sown = first.enters if first.growing < 0 else None
                out = ways.get((crop.name, sown, first.growing, first.pool, chain))
                if out is None or cells % each:
                    raise self._no_way(first, "trays")
                self.ways.trays[out] += cells // each
                self.ways.inside[unit].append(out)

    def _chains(self, unit: str, lot: str, pieces: Sequence[Piece], each: int) -> list[tuple[int, Chain]]:
        """Return the cells of a lot in a tray by the cuts they get."""
        leaving: dict[int, int] = defaultdict(int)
        for piece in pieces:
            leaving[piece.leaves] += piece.amount * each
        cuts: dict[int, dict[int, int]] = defaultdict(lambda: defaultdict(int))
        for row in self._rows.cuts.get((unit, lot), ()):
            cuts[row.number][row.day] += row.plants
        found = portions(cuts, leaving)
        if found is None:
            raise self._no_way(pieces[0], "trays")
        return [(cells, chain) for cells, chain, _ in found]

    def _growing(self, piece: Piece, out: TrayOut | BoardOut | None) -> None:
        """Take what grew in trays or on boards; of what leaves today some may be thrown away."""
        if piece.leaves == self._farm.today:
            self._today_left[piece.growing] += piece.amount
        if out is None:
            if piece.leaves != self._farm.today:
                raise self._no_way(piece, f"{self._farm.growing[piece.growing].stage}s")
        elif isinstance(out, TrayOut):
            self._add(self.ways.trays, out, piece)
        else:
            self._add(self.ways.boards, out, piece)

    def _boards(self) -> None:
        new: dict[tuple[str, int, int, str], list[BoardOut]] = defaultdict(list)
        old: dict[tuple[int, int], BoardOut] = {}
        for board in self._chosen.board_plants:
            if board.source is None:
                old[board.growing, board.day] = board
            else:
                new[code_of(self._farm, board), board.board_day, board.day, board.pool].append(board)
        fresh = [piece for piece in self._rows.boards if piece.growing < 0]
        ways = {id(piece): new[piece.lot, piece.enters, piece.leaves, piece.pool] for piece in fresh}
        for piece, plants, board in self._shared(fresh, ways, lambda option: option.source):
            self.ways.boards[board] += plants
            self.ways.inside[piece.unit].append(board)
        for piece in self._rows.boards:
            if piece.growing >= 0:
                self._growing(piece, old.get((piece.growing, piece.leaves)))
        for board, plants in self.ways.boards.items():
            stage = self._farm.crops[board.crop].board
            self._supply[board] = share_down(plants, stage.survival if stage else WHOLE_SHARE)

    def _rafts(self) -> None:
        new: dict[tuple[str, int, int, str], list[RaftSet]] = defaultdict(list)
        old: dict[int, RaftSet] = {}
        for option in self._chosen.raft_plants:
            if option.source is None:
                old[option.growing] = option
            else:
                key = (code_of(self._farm, option), entered_before(option), option.day, option.pool)
                new[key].append(option)
        fresh = [piece for piece in self._rows.rafts if piece.growing < 0]
        ways = {
            id(piece): new.get((piece.lot, piece.from_day or 0, piece.enters, piece.pool), [])
            for piece in fresh
        }
        given = self._shared(fresh, ways, lambda option: option.source)
        given += [(p, p.amount, old[p.growing]) for p in self._rows.rafts if p.growing >= 0]
        for piece, plants, option in given:
            self.ways.rafts[option] += plants
            self.ways.inside[piece.unit].append(option)
        self.ways.afloat = given

    def _shared(
        self,
        pieces: Sequence[Piece],
        ways: Mapping[int, Sequence[Option]],
        source: Callable[[Option], Source | None],
    ) -> "Given[Option]":
        """Give each piece to an option whose source has plants enough for it, large pieces first."""
        given: Given[Option] = []
        for piece in sorted(pieces, key=lambda piece: (-piece.amount, piece.unit)):
            options = list(ways[id(piece)])
            if not options:
                raise self._no_way(piece, f"{self._rows.units[piece.unit].item}s")
            given += self._split(piece, options, [source(option) for option in options])
        return given

    def _split(self, piece: Piece, options: list[Option], sources: list[Source | None]) -> "Given[Option]":
        left = [self._supply.get(each, 0) if each is not None else 0 for each in sources]
        fitting = [at for at, supply in enumerate(left) if supply >= piece.amount]
        if fitting or len(options) == 1:
            parts = [(min(fitting, key=lambda at: left[at]) if fitting else 0, piece.amount)]
        else:
            parts, missing = [], piece.amount
            for at in sorted(range(len(options)), key=lambda at: -left[at]):
                now = min(missing, left[at])
                parts.append((at, now))
                missing -= now
            parts[0] = (parts[0][0], parts[0][1] + missing)
        for at, plants in parts:
            origin = sources[at]
            if origin is not None:
                self._supply[origin] = self._supply.get(origin, 0) - plants
        return [(piece, plants, options[at]) for at, plants in parts if plants]

    def _throw_away(self) -> None:
        """Split what leaves today into what moves on and what is thrown away, as the lots say."""
        today, growing = self._farm.today, self._farm.growing
        outs: dict[int, Source] = {
            out.growing: out for out in self.ways.trays if out.growing >= 0 and out.day == today
        }
        outs |= {b.growing: b for b in self.ways.boards if b.source is None and b.day == today}
        rest: dict[str, int] = defaultdict(int)
        rest |= {code: lot.discarded for code, lot in self._rows.lots.items()}
        for index, thrown in self._thrown_afloat().items():
            rest[growing[index].lot] -= thrown
        for index, left in sorted(self._today_left.items()):
            out = outs.get(index)
            free = left if out is None else self._free(out, left)
            thrown = left if out is None else max(0, min(free, rest[growing[index].lot]))
            rest[growing[index].lot] -= thrown
            self.ways.thrown[index] = thrown
            if isinstance(out, TrayOut):
                self.ways.trays[out] -= thrown
            elif out is not None:
                self.ways.boards[out] -= thrown

    def _free(self, out: Source, left: int) -> int:
        """Return how many of the plants that leave today nothing goes on from."""
        if isinstance(out, TrayOut):
            return self._supply[out]
        stage = self._farm.crops[out.crop].board
        gone_on = share_down(left, stage.survival if stage else WHOLE_SHARE) - self._supply[out]
        needed = -(-gone_on * WHOLE_SHARE // (stage.survival if stage else WHOLE_SHARE))
        return left - needed

    def _thrown_afloat(self) -> dict[int, int]:
        """Return index of a growing row of rafts -> plants that are never cut again."""
        never: dict[int, int] = {}
        for index, row in enumerate(self._farm.growing):
            if row.stage is StageKind.RAFT:
                units = {unit.unit for unit in self._rows.units_of(index)}
                number = row.cuts_done + 1
                cut = sum(
                    each.plants
                    for (unit, lot), cuts in self._rows.cuts.items()
                    if unit in units and lot == row.lot
                    for each in cuts
                    if each.number == number
                )
                never[index] = row.plants - cut
        return never

    def _add(self, amounts: dict[Option, int] | dict[TrayOut, int], out: object, piece: Piece) -> None:
        amounts[out] += piece.amount  # type: ignore[index]
        self.ways.inside[piece.unit].append(out)  # type: ignore[arg-type]

    def _no_way(self, piece: Piece, what: str) -> NotReadBack:
        days = f"{self._farm.date_of(piece.enters)} to {self._farm.date_of(piece.leaves)}"
        return NotReadBack(f"{piece.lot} in {what} from {days} is no way the planner looks at")


def sources_of(option: RaftSet) -> Iterable[Source]:
    """Yield the boards and trays an option's plants come from."""
    source: Source | None = option.source
    while source is not None:
        yield source
        source = source.source if isinstance(source, BoardOut) else None

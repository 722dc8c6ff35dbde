"""Lines of a work sheet at the troughs: rafts in, cuts, rafts out, and what is thrown away."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace

from scheduler.farm.orders.outlets import stalls_of
from scheduler.plan.instead import products_by_cut
from scheduler.plan.left_behind import told_behind
from scheduler.plan.lifts import as_they_leave
from scheduler.plan.rows import ContentRow, CutRow, DemandRow, LotRow
from scheduler.plan.tally import lane_order
from scheduler.plan.views.bed_spots import thrown_beds
from scheduler.plan.views.ledger import Ledger
from scheduler.plan.views.lines import Cutting, Discarding, ForWhom, RaftCut, SettingOut, TakingOut
from scheduler.plan.views.nursery_lines import Dated, leaving, setting_out


def trough_lines(ledger: Ledger) -> Iterator[Dated]:
    """Yield setting out on rafts, cutting, taking rafts out, and throwing away."""
    yield from _rafts_in(ledger)
    yield from _cuts(ledger)
    yield from _rafts_out(ledger)
    yield from _thrown(ledger)


def _rafts_in(ledger: Ledger) -> Iterator[Dated]:
    """Setting out on rafts: one line for each lot, day and row."""
    entering: dict[tuple[int, str], list[ContentRow]] = defaultdict(list)
    for unit in ledger.units.values():
        if unit.item == "raft" and unit.unit not in ledger.grown and ledger.stands[unit.unit]:
            lane = ledger.stands[unit.unit][0].place
            entering[unit.enters, lane] += ledger.inside[unit.unit]
    for (day, _), rows in entering.items():
        slot = {row.unit: ledger.after(row.unit, day).slot for row in rows}
        turn = {unit: at for at, unit in enumerate(sorted(slot, key=lambda unit: slot[unit]), start=1)}
        for lot in sorted(
            {row.lot for row in rows}, key=lambda lot: min(turn[r.unit] for r in rows if r.lot == lot)
        ):
            own = [row for row in rows if row.lot == lot]
            yield day, "raft", _raft_line(ledger, ledger.lots[lot], day, own, turn)


def _raft_line(
    ledger: Ledger, lot: LotRow, day: int, rows: list[ContentRow], turn: dict[str, int]
) -> SettingOut:
    boards = leaving(ledger, lot, "board", day, {row.from_day for row in rows})
    line = setting_out(ledger, lot, day, rows, boards or leaving(ledger, lot, "tray", day))
    turns = tuple(sorted({turn[row.unit] for row in rows}))
    return replace(line, turns=turns, entering=len(turn))


def _cuts(ledger: Ledger) -> Iterator[Dated]:
    """Cutting: one line for each lot, day and row."""
    cut: dict[tuple[int, str, str], list[CutRow]] = defaultdict(list)
    for row in ledger.plan.cuts:
        if ledger.stands[row.unit]:
            cut[row.day, row.lot, ledger.stands[row.unit][0].place].append(row)
    whom = for_whom(ledger)
    for (day, lot, lane), rows in cut.items():
        heads = sum(row.heads for row in rows)
        fors = whom[day, lot, lane]
        names = list(dict.fromkeys(row.unit for row in rows))
        rafts = sorted(
            (_raft_cut(ledger, day, [r for r in rows if r.unit == name]) for name in names), key=_slot
        )
        line = Cutting(
            lot=lot,
            crop=ledger.lots[lot].crop,
            day=day,
            row=ledger.spots(ledger.before(name, day) for name in names)[0],
            kinds=tuple(dict.fromkeys(ledger.units[name].kind for name in names)),
            rafts=tuple(rafts),
            units=len(names),
            plants=sum(row.plants for row in rows),
            heads=heads,
            numbers=tuple(sorted({row.number for row in rows})),
            cuts=ledger.farm.crops[ledger.lots[lot].crop].cuts,
            whom=fors,
            spare=heads - sum(each.heads for each in fors),
        )
        yield day, "cut", line


def _slot(raft: RaftCut) -> int:
    return raft.slot


def _raft_cut(ledger: Ledger, day: int, rows: list[CutRow]) -> RaftCut:
    unit, plants = rows[0].unit, sum(row.plants for row in rows)
    cuts = ledger.farm.crops[ledger.lots[rows[0].lot].crop].cuts
    again = sum(row.plants for row in rows if row.number < cuts)
    gone = sum(row.plants for row in ledger.inside[unit] if row.lot == rows[0].lot and row.leaves == day)
    return RaftCut(
        raft=unit,
        slot=ledger.before(unit, day).slot,
        plants=plants,
        heads=sum(row.heads for row in rows),
        regrowing=max(0, min(again, plants - gone)),
        staying=ledger.left_on(unit, day),
        leaves=ledger.units[unit].leaves,
    )


def for_whom(ledger: Ledger) -> dict[tuple[int, str, str], tuple[ForWhom, ...]]:
    """Return (cut day, lot, row or bed) -> where its heads go, by day of delivery."""
    demands = {row.demand: row for row in ledger.plan.demands}
    products = products_by_cut(ledger.plan)
    stalls = {
        stall.name: ForWhom(demand=stall.name, order="", customer=outlet, product=product, day=day, heads=0)
        for (outlet, product, day), (_, stall) in stalls_of(ledger.farm.outlets).items()
    }
    heads: dict[tuple[int, str, str], Counter[str]] = defaultdict(Counter)
    for chain in ledger.plan.chains:
        if chain.demand in demands or chain.demand in stalls:
            heads[chain.cut_day, chain.lot, chain.lane][chain.demand] += chain.heads
    return defaultdict(
        tuple,
        {
            key: tuple(
                sorted(
                    (
                        _for_whom(demands, products, stalls, (name, *key), number)
                        for name, number in counts.items()
                    ),
                    key=lambda each: (each.day, each.demand),
                )
            )
            for key, counts in heads.items()
        },
    )


def _for_whom(
    demands: Mapping[str, DemandRow],
    products: Mapping[tuple[str, str, int], str],
    stalls: Mapping[str, ForWhom],
    of: tuple[str, int, str, str],
    heads: int,
) -> ForWhom:
    """Return where heads go; ``of`` is the delivery or day of an outlet, the cut day, the lot and the row."""
    name, cut_day, lot, _ = of
    if name in stalls:
        return replace(stalls[name], heads=heads)
    row = demands[name]
    return ForWhom(
        demand=name,
        order=row.order,
        customer=row.customer,
        product=products.get((name, lot, cut_day), row.product),
        day=row.day,
        heads=heads,
    )


def _rafts_out(ledger: Ledger) -> Iterator[Dated]:
    """Rafts that leave: one line for each row, day and the day they were emptied; lifted ones apart."""
    out: dict[tuple[int, str, bool, int], list[str]] = defaultdict(list)
    for lane, rafts in lane_order(ledger.farm, ledger.plan).items():
        for raft, lifted in as_they_leave(rafts):
            if ledger.stands[raft.unit]:
                out[raft.leaves, lane, lifted, raft.emptied].append(raft.unit)
    for (day, _, lifted, emptied), names in sorted(out.items()):
        line = TakingOut(
            row=ledger.spots(ledger.before(name, day) for name in names)[0],
            kinds=tuple(dict.fromkeys(ledger.units[name].kind for name in names)),
            units=len(names),
            lifted=lifted,
            emptied=emptied,
        )
        yield day, "lift" if lifted else "out", line


def _thrown(ledger: Ledger) -> Iterator[Dated]:
    """What grows and is thrown away on the first day, and later what goes nowhere or is left uncut."""
    today = ledger.farm.today
    uncut = _uncut(ledger)
    behind = told_behind(ledger.farm, ledger.plan, ledger.left_behind)
    left = {key: Counter(units) for key, units in behind.items()}
    for lot in ledger.plan.lots:
        if lot.discarded:
            uncut.pop((lot.lot, today), None)
            more = left.pop((lot.lot, today), Counter())
            plants = lot.discarded + more.total()
            thrown = more + Counter(ledger.thrown[lot.lot])
            yield today, "discard", _discarding(ledger, lot, today, thrown, plants)
    for (name, day), units in (*left.items(), *uncut.items()):
        yield day, "discard", _discarding(ledger, ledger.lots[name], day, units, sum(units.values()))


def _discarding(ledger: Ledger, lot: LotRow, day: int, units: Mapping[str, int], plants: int) -> Discarding:
    holdings = [(unit, number, 0) for unit, number in units.items()]
    return Discarding(
        lot=lot.lot,
        crop=lot.crop,
        plants=plants,
        sources=ledger.stacks(lot.lot, holdings, day, begins=True),
        overdue=lot.overdue,
        beds=thrown_beds(ledger, lot.lot) if day == ledger.farm.today else (),
    )


def _is_cut(ledger: Ledger, row: ContentRow) -> bool:
    """Say whether a lot is cut from what holds it here: its last stage."""
    return ledger.units[row.unit].item == ledger.farm.crops[ledger.lots[row.lot].crop].finish.kind


def _uncut(ledger: Ledger) -> dict[tuple[str, int], dict[str, int]]:
    """Return (lot, day) -> raft -> plants that leave it on that day without being cut."""
    cut: Counter[tuple[str, str, int]] = Counter()
    for row in ledger.plan.cuts:
        cut[row.unit, row.lot, row.day] += row.plants
    gone: Counter[tuple[str, str, int]] = Counter()
    for content in ledger.plan.contents:
        if _is_cut(ledger, content) and ledger.stands[content.unit]:
            gone[content.unit, content.lot, content.leaves] += content.plants
    found: dict[tuple[str, int], dict[str, int]] = defaultdict(dict)
    for (unit, lot, day), plants in gone.items():
        if plants > cut[unit, lot, day]:
            found[lot, day][unit] = plants - cut[unit, lot, day]
    return found

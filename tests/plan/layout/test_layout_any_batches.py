"""Any batches that fit a farm, by construction, are laid out without a fault, however tight it is."""

from collections import Counter, defaultdict
from dataclasses import replace

import pytest
from farms import EVER, delivery, growing, make_crop, make_farm
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from plan.layout.amounts import Batch, decided

from scheduler.farm.crops import StageKind
from scheduler.farm.places import PlaceKind, Steps
from scheduler.farm.units import ceil_div, needed_for, share_down
from scheduler.plan.audit import audit
from scheduler.plan.decided import BoardMove, CutAmount, Decided, RaftBatch, RaftLeave, TrayMove
from scheduler.plan.layout import lay_out
from scheduler.plan.tally import growing_units

few = settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
many = settings(few, max_examples=200)
"""Those of the long run."""
ROOMY = {"tier_slots": 400, "zone_slots": 400, "lane_slots": 400, "trays": 900, "boards": 900, "rafts": 2500}
TIERS, ZONES = ("Shelf 1", "Shelf 2"), ("Trough boards", "Trough boards 2")
ROWS = ("Trough 2", "Trough 3")
CROPS = (
    make_crop("Lettuce", tray=(10, 4, 9000), board=(10, 4, 9500), raft=(14, 7, 9600), saleable=9500),
    make_crop("Kale", tray=(8, 5, 8800), board=(9, 6, 9700), raft=(16, 8, 9700)),
    make_crop("Basil", tray=(9, 4, 9200), board=None, raft=(14, 8, 9500), cuts=3, interval=7),
)


@st.composite
def batches(draw):
    """A few batches of several crops; lots may come in parts that go different ways."""
    made = []
    for crop in draw(st.lists(st.sampled_from(CROPS), min_size=1, max_size=9)):
        sown = draw(st.integers(0, 12))
        out = sown + crop.tray.days + draw(st.integers(0, crop.tray.wait))
        raft_day = out
        if crop.board:
            raft_day += crop.board.days + draw(st.integers(0, crop.board.wait))
        plants = draw(st.integers(1, 40))
        boards = needed_for(plants, crop.board.survival) if crop.board else plants
        ways = draw_cuts(draw, crop, raft_day, plants)
        made.append(
            Batch(
                crop=crop.name,
                sown=sown,
                rows=ceil_div(crop.cells_for(boards), 4),
                board_day=out if crop.board else None,
                boards=boards,
                raft_day=raft_day,
                plants=plants,
                tiers=TIERS,
                zones=ZONES,
                lanes=ROWS,
                **ways,
            )
        )
    return made


def draw_cuts(draw, crop, raft_day, plants):
    """Split plants over days of the window; crops that are cut again go on by the same step each time."""
    first = raft_day + crop.finish.days
    shares = draw(st.lists(st.integers(0, crop.finish.wait), min_size=1, max_size=3, unique=True))
    amounts = defaultdict(int)
    for number in range(plants):
        amounts[first + sorted(shares)[number * len(shares) // plants]] += 1
    if crop.cuts == 1:
        return {"cuts": tuple(sorted(amounts.items()))}
    times = draw(st.integers(1, crop.cuts))
    # What was cut last leaves first, so a raft that holds both has its first cut again in time.
    steps, gone = [], defaultdict(int)
    for day, number in amounts.items():
        steps.append((1, day, None, number))
        for again in range(1, times):
            before = day + 7 * (again - 1)
            steps.append((again + 1, before + 7, before, number))
        gone[day + 7 * (times - 1)] += number
    return {"cuts": (), "steps": tuple(steps), "gone": tuple(sorted(gone.items()))}


def in_turn(amounts):
    """Let no raft of a bundle be planned to leave before one that entered earlier."""
    latest = defaultdict(int)
    turns = []
    for leave in sorted(amounts.raft_leaves, key=lambda leave: (leave.enters, leave.leaves)):
        latest[leave.lanes] = max(latest[leave.lanes], leave.leaves)
        turns.append(replace(leave, leaves=latest[leave.lanes]))
    return replace(amounts, raft_leaves=tuple(turns))


def found_things(draw):
    """Things that grow on the first day, part of them thrown away, and what becomes of the rest."""
    trays, boards, rafts = (draw(st.integers(6, 40)) for _ in range(3))
    units = [draw(st.integers(1, 4)) for _ in range(3)]
    rows = [
        growing("Lettuce", StageKind.TRAY, -8, trays, units[0], lot="FT"),
        growing("Lettuce", StageKind.BOARD, -8, boards, units[1], lot="FB"),
        growing("Lettuce", StageKind.RAFT, -10, rafts, units[2], lot="FR"),
    ]
    moved, lifted, cut = (
        draw(st.integers(0, trays)),
        draw(st.integers(0, boards)),
        draw(st.integers(0, rafts)),
    )
    more = Decided(tray_moves=(), board_moves=(), raft_batches=(), raft_leaves=(), fills=())
    parts = []
    if moved:
        day = draw(st.integers(2, 5))
        move = TrayMove(crop="Lettuce", sown=-8, growing=0, tiers=TIERS, day=day, rows=0, plants=moved)
        more = replace(more, tray_moves=(move,))
        parts.append((0, -8, day, day + 10, moved))
    if lifted:
        parts.append((1, None, -8, draw(st.integers(2, 5)), lifted))
    for index, sown, board_day, day, plants in parts:
        set_out = share_down(plants, 9500)
        out = BoardMove(
            crop="Lettuce",
            sown=sown,
            growing=index,
            zones=ZONES,
            board_day=board_day,
            day=day,
            plants=plants,
        )
        more = replace(more, board_moves=(*more.board_moves, out))
        if set_out:
            more = afloat(more, index, board_day, day, set_out)
    split = draw(st.integers(0, cut))
    cuts = tuple((day, number) for day, number in ((4, split), (8, cut - split)) if number)
    batch = raft_batch(2, None, -10, rafts, cuts, rafts - cut)
    return rows, replace(more, raft_batches=(*more.raft_batches, batch))


def afloat(more, index, board_day, day, plants):
    batch = raft_batch(index, board_day, day, plants, ((day + 14, plants),), 0)
    leave = RaftLeave(
        crop="Lettuce", growing=-1, lanes=ROWS, enters=day, leaves=day + 14, rafts=ceil_div(plants, 6)
    )
    return replace(more, raft_batches=(*more.raft_batches, batch), raft_leaves=(*more.raft_leaves, leave))


def raft_batch(index, board_day, day, plants, cuts, thrown):
    return RaftBatch(
        crop="Lettuce",
        sown=None,
        growing=index,
        from_day=board_day,
        board_day=board_day,
        day=day,
        plants=plants,
        cuts=tuple(CutAmount(number=1, day=d, after=None, plants=number) for d, number in cuts),
        gone=(*(((0, thrown),) if thrown else ()), *cuts),
        thrown=thrown,
    )


@st.composite
def farms_and_amounts(draw):
    """A farm with room for everything, and amounts."""
    rules = {name: draw(st.booleans()) for name in ("share_trays", "share_boards", "share_rafts", "lift_out")}
    rows, more = found_things(draw) if draw(st.booleans()) else ([], None)
    farm = make_farm(**ROOMY, crops=CROPS, lanes=3, tiers=2, zones=2, rules=rules, growing=rows)
    amounts = in_turn(decided(farm, *draw(batches()), more=more))
    return farm, amounts


def told(farm, plan):
    return [str(fault) for fault in audit(farm, plan)]


@few
@given(farms_and_amounts())
def test_batches_that_fit_are_laid_out_without_a_fault(made):
    is_laid_out(*made)


@pytest.mark.soak
@many
@given(farms_and_amounts())
def test_batches_that_fit_are_laid_out_without_a_fault_long(made):
    is_laid_out(*made)


def is_laid_out(farm, amounts):
    plan = lay_out(farm, amounts, (), {})
    assert told(farm, plan) == []
    assert plan == lay_out(farm, amounts, (), {})


@few
@given(farms_and_amounts(), st.integers(0, 4))
def test_shelves_and_zones_with_just_the_slots_of_each_day_take_them_by_moving(made, part):
    fits_by_moving(*made, part)


@pytest.mark.soak
@many
@given(farms_and_amounts(), st.integers(0, 4))
def test_shelves_and_zones_with_just_the_slots_of_each_day_take_them_by_moving_long(made, part):
    fits_by_moving(*made, part)


def fits_by_moving(farm, amounts, part):
    """Each day's slots are exactly those in use, split over two places anew whenever the number changes."""
    farm = with_exact_places(farm, lay_out(farm, amounts, (), {}), PlaceKind.TIER, part)
    farm = with_exact_places(farm, lay_out(farm, amounts, (), {}), PlaceKind.ZONE, part)
    assert told(farm, lay_out(farm, amounts, (), {})) == []


@few
@given(farms_and_amounts())
def test_the_units_of_a_days_tasks_add_up_to_the_units_filled_that_day(made):
    adds_up(*made)


@pytest.mark.soak
@many
@given(farms_and_amounts())
def test_the_units_of_a_days_tasks_add_up_to_the_units_filled_that_day_long(made):
    adds_up(*made)


def adds_up(farm, amounts):
    plan = lay_out(farm, amounts, (), {})
    stood = growing_units(farm, plan)
    for work, item in (("sow", "tray"), ("transplant", "board"), ("raft", "raft")):
        counted = Counter()
        for task in plan.tasks:
            if task.work == work:
                counted[task.day] += task.units
        new = [unit for unit in plan.units if unit.item == item and unit.unit not in stood]
        assert counted == Counter(unit.enters for unit in new)


def with_exact_places(farm, plan, kind, part):
    names = [place.name for place in farm.places_of(kind)]
    use = defaultdict(int)
    for row in plan.use:
        if row.place in names:
            use[row.day] += row.used
    split = {day: (used + part * day) % (used + 1) for day, used in use.items()}
    steps = {
        names[0]: Steps(tuple((day, split[day]) for day in sorted(use))),
        names[1]: Steps(tuple((day, use[day] - split[day]) for day in sorted(use))),
    }
    places = tuple(replace(place, slots=steps.get(place.name, place.slots)) for place in farm.places)
    return replace(farm, places=places)


@few
@given(farms_and_amounts())
def test_rows_that_are_just_long_enough_each_day_for_the_planned_rafts_take_them(made):
    fits_in_order(*made)


@pytest.mark.soak
@many
@given(farms_and_amounts())
def test_rows_that_are_just_long_enough_each_day_for_the_planned_rafts_take_them_long(made):
    fits_in_order(*made)


def fits_in_order(farm, amounts):
    farm = replace(farm, rules=replace(farm.rules, lift_out=False))
    there = defaultdict(int)
    for leave in amounts.raft_leaves:
        for day in range(leave.enters, leave.leaves):
            there[day] += leave.rafts
    days = range(max(there, default=0) + 2)
    slots = Steps(((EVER, 0), *((day, ceil_div(there[day], len(ROWS))) for day in days)))
    places = tuple(replace(place, slots=slots) if place.name in ROWS else place for place in farm.places)
    farm = replace(farm, places=places)
    assert told(farm, lay_out(farm, amounts, (), {})) == []


@few
@given(farms_and_amounts(), st.data())
def test_any_heads_promised_within_what_is_cut_are_delivered(made, data):
    is_delivered(*made, data)


@pytest.mark.soak
@many
@given(farms_and_amounts(), st.data())
def test_any_heads_promised_within_what_is_cut_are_delivered_long(made, data):
    is_delivered(*made, data)


def is_delivered(farm, amounts, data):
    plan = lay_out(farm, amounts, (), {})
    cut = defaultdict(int)
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    for row in plan.cuts:
        cut[crop_of[row.lot], row.day] += row.heads
    demands, fills = [], []
    for (crop, day), heads in sorted(cut.items()):
        promised = data.draw(st.integers(0, heads))
        if promised:
            demands.append(delivery(crop, day, promised))
            fills.append((crop, day, f"{crop} {day}", promised))
    farm = replace(farm, demands=tuple(sorted(demands, key=lambda demand: (demand.first, demand.name))))
    plan = lay_out(farm, decided(farm, fills=fills, more=amounts), (), {})
    assert told(farm, plan) == []
    assert all(row.filled == row.amount for row in plan.demands)
    assert sum(row.heads for row in plan.chains) == sum(heads for *_, heads in fills)

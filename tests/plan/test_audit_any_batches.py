"""For any batches: Little's law holds between what moves and what stands, and what is shifted is found."""

from farms import STAGES, make_crop, make_farm
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from plans import Batch, build, judged

from scheduler.farm.crops import StageKind
from scheduler.plan.audit import audit
from scheduler.plan.tally import equipment_use, place_use, plants_standing

few = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
ROOMY = {"tier_slots": 500, "zone_slots": 500, "lane_slots": 1500, "trays": 900, "boards": 900, "rafts": 2500}


@st.composite
def steady_batches(draw):
    """Equal batches sown every few days, each with its stays in tray, on board and raft, and its units."""
    every, number = draw(st.integers(1, 5)), draw(st.integers(1, 12))
    stays = draw(st.tuples(st.integers(10, 13), st.integers(10, 13), st.integers(14, 20)))
    rafts = draw(st.integers(1, 8))
    board_day, raft_day, cut_day = stays[0], stays[0] + stays[1], sum(stays)
    plants = 6 * rafts
    boards = [12] * (plants // 12) + [plants % 12] * (plants % 12 > 0)
    batches = [
        Batch(
            sown=every * n,
            rows=-(-plants // 4),
            board_day=board_day + every * n,
            boards=boards,
            raft_day=raft_day + every * n,
            rafts=[6] * rafts,
            cuts=((cut_day + every * n, 6),),
        )
        for n in range(number)
    ]
    return every, stays, batches


@few
@given(steady_batches())
def test_plants_standing_are_throughput_times_days_in_the_stage(steady):
    # L = lambda x W (Little 1961, from memory): over all days, plants standing are plants times their stay.
    every, stays, batches = steady
    farm = make_farm(**ROOMY)
    plan = build(farm, *batches)
    standing = plants_standing(plan, 200)
    for kind, stay in zip(STAGES, stays, strict=True):
        passing = sum(row.plants for row in plan.contents if _item(plan, row.unit) == kind)
        assert sum(standing[kind]) == passing * stay
        a_batch = passing // len(batches)
        if stay % every == 0 and len(batches) * every > stay:
            # While batches keep coming, each day stands exactly throughput a day times days.
            assert max(standing[kind]) == a_batch * stay // every


@few
@given(steady_batches())
def test_units_standing_have_holes_for_all_plants_every_day(steady):
    farm = make_farm(**ROOMY)
    plan = build(farm, *steady[2])
    standing = plants_standing(plan, farm.calendar.span)
    for kind, place in zip(STAGES, ("Shelf 1", "Trough boards", "Trough 1"), strict=True):
        holes = {StageKind.TRAY: 20, StageKind.BOARD: 12, StageKind.RAFT: 6}[kind]
        used = {row.day: row.used for row in place_use(farm, plan) if row.place == place}
        assert all(used[day] * holes >= plants for day, plants in enumerate(standing[kind]))


@few
@given(steady_batches())
def test_batches_that_keep_every_rule_have_no_fault_and_use_what_is_in_use(steady):
    farm = make_farm(**ROOMY)
    plan = build(farm, *steady[2])
    assert audit(farm, plan) == []
    in_use = {(row.kind, row.day): row.in_use for row in equipment_use(farm, plan)}
    for row in place_use(farm, plan):
        kind = {"Shelf 1": "20-cell tray", "Trough boards": "12-hole board", "Trough 1": "6-hole raft"}[
            row.place
        ]
        assert in_use[kind, row.day] == row.used


@few
@given(steady_batches(), st.integers(0, 11), st.integers(-7, 7))
def test_a_cut_shifted_out_of_its_window_is_found_and_only_then(steady, which, shift):
    _, stays, batches = steady
    assume(which < len(batches))
    chosen = batches[which]
    moved = Batch(
        **{name: getattr(chosen, name) for name in chosen.__dataclass_fields__}
        | {"cuts": ((chosen.cuts[0][0] + shift, 6),)}
    )
    faults = judged(make_farm(**ROOMY), *batches[:which], moved, *batches[which + 1 :])
    out_of_window = not 14 <= stays[2] + shift <= 20
    assert {fault.split(" | ")[0] for fault in faults} == ({"fresh"} if out_of_window else set())


@few
@given(steady_batches(), st.sampled_from([("tier_slots", "Shelf 1"), ("zone_slots", "Trough boards")]))
def test_one_slot_less_than_the_busiest_day_needs_is_one_slot_too_few(steady, limit):
    keyword, place = limit
    plan = build(make_farm(**ROOMY), *steady[2])
    busiest = max(row.used for row in plan.use if row.place == place)
    assert judged(make_farm(**(ROOMY | {keyword: busiest})), *steady[2]) == []
    faults = judged(make_farm(**(ROOMY | {keyword: busiest - 1})), *steady[2])
    assert any(f": {busiest} " in fault and f"{busiest - 1} slots there" in fault for fault in faults)
    assert all(fault.startswith(f"slots | {place} | ") for fault in faults)


def test_a_university_lettuce_line_needs_the_published_boards_and_rafts():
    # A.J. Both, Rutgers Horticultural Engineering, web page "Lettuce Production": 1,200 seeds a day, 960
    # plants moved a day, 12 days of propagation, 10 at 60 holes and 14 at 21 holes a board.
    crop = make_crop("Lettuce", tray=(12, 0, 8000), per_board=60, per_raft=21)
    batches = [
        Batch(
            sown=n,
            rows=300,
            board_day=12 + n,
            boards=[60] * 16,
            raft_day=22 + n,
            rafts=[21] * 45 + [15],
            cuts=((36 + n, 15),),
        )
        for n in range(20)
    ]
    farm = make_farm(**ROOMY, crops=[crop], days=60)
    plan = build(farm, *batches)
    assert max(plants_standing(plan, 60)[StageKind.TRAY]) == 14_400
    busiest = {place.name: max(r.used for r in plan.use if r.place == place.name) for place in farm.places}
    assert busiest["Trough boards"] == 160
    assert busiest["Trough 1"] == 644


def _item(plan, unit):
    return next(row.item for row in plan.units if row.unit == unit)

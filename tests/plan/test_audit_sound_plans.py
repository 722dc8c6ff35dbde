"""Plans that keep every rule have no fault, whatever they are made of."""

from farms import delivery, growing, make_crop, make_farm, target
from plans import Batch, build, edit, settle

from scheduler.farm.crops import StageKind
from scheduler.plan.audit import RULES, audit, fault_lines


def two_crops(**needs):
    """Lettuce over boards and basil straight from trays, cut three times, in a row each."""
    crops = [make_crop("Lettuce"), make_crop("Basil", board=None, cuts=3, interval=7)]
    demands = [delivery("Lettuce", 34, 12), delivery("Basil", 24, 6), target("Basil", 28, 12)]
    return make_farm(**({"crops": crops, "demands": demands, "lanes": 2} | needs))


BASIL = Batch(crop="Basil", board_day=None, raft_day=10, cuts=((24, 6), (31, 6), (38, 6)), lane="Trough 2")
FILLS = (
    ("Lettuce 34", "LET-260302", 34, 12),
    ("Basil 24", "BAS-260302", 24, 6),
    ("Basil 28", "BAS-260302", 31, 12),
)


def test_a_plan_with_a_crop_over_boards_and_one_cut_again_and_again_is_sound():
    farm = two_crops()
    plan = build(farm, Batch(), BASIL, fills=FILLS)
    assert audit(farm, plan) == []
    assert {row.state for row in plan.demands} == {"filled"}


def test_an_empty_plan_of_an_empty_farm_is_sound():
    farm = make_farm()
    assert audit(farm, build(farm)) == []


def test_batches_that_follow_each_other_through_one_row_are_sound():
    farm = make_farm(lane_slots=6, span=200)
    batches = [
        Batch(sown=7 * n, board_day=10 + 7 * n, raft_day=20 + 7 * n, cuts=((34 + 7 * n, 6),))
        for n in range(12)
    ]
    assert audit(farm, build(farm, *batches)) == []


def test_an_emptied_raft_may_wait_for_those_ahead_of_it():
    farm = make_farm()
    late = Batch(cuts=((38, 6),), rafts=(6,), boards=(6,), rows=2)
    early = Batch(sown=1, board_day=11, raft_day=21, cuts=((35, 6),), rafts=(6,), boards=(6,), rows=2)
    plan = build(farm, late, early)
    assert plan.units[-1].emptied == 35
    assert plan.units[-1].leaves == 38
    assert audit(farm, plan) == []


def test_what_grows_on_the_first_day_goes_on_in_every_stage():
    found = [
        growing("Lettuce", StageKind.TRAY, -4, 12, 2, lot="A"),
        growing("Lettuce", StageKind.BOARD, -6, 12, 1, lot="B"),
        growing("Lettuce", StageKind.RAFT, -9, 12, 2, lot="C"),
    ]
    farm = make_farm(growing=found)
    plan = build(
        farm,
        Batch(found=found[2], cuts=((6, 6),)),
        Batch(found=found[1], raft_day=4, cuts=((18, 6),)),
        Batch(found=found[0], board_day=6, raft_day=16, cuts=((30, 6),)),
    )
    assert audit(farm, plan) == []


def test_positions_of_what_grows_may_be_told_from_the_day_it_came():
    found = growing("Lettuce", StageKind.RAFT, -9, 12, 2)
    farm = make_farm(growing=[found])
    plan = build(farm, Batch(found=found, cuts=((6, 6),)))
    plan = settle(farm, edit(plan, "positions", {"enters": 0}, enters=-9))
    assert audit(farm, plan) == []


def test_one_lot_may_leave_its_trays_on_two_days():
    farm = make_farm()
    first = Batch(rows=2, boards=(8,), rafts=(6, 2), cuts=((34, 2),))
    second = Batch(rows=2, board_day=12, boards=(8,), raft_day=22, rafts=(6, 2), cuts=((37, 2),))
    plan = build(farm, first, second)
    assert [lot.cells for lot in plan.lots] == [16]
    assert audit(farm, plan) == []


def test_every_rule_has_a_sentence_and_every_fault_a_rule():
    farm = make_farm(tier_slots=0, zone_slots=0, lane_slots=0, trays=0, boards=0, rafts=0)
    faults = audit(farm, build(farm, Batch(raft_day=19, cuts=((25, 7),))))
    assert {fault.rule for fault in faults} <= set(RULES)
    assert all(sentence.endswith(".") for sentence in RULES.values())


def test_printed_faults_are_capped_by_rule_and_counted():
    farm = make_farm(lane_slots=0)
    batches = [Batch(sown=n, board_day=10 + n, raft_day=20 + n, cuts=((34 + n, 6),)) for n in range(5)]
    faults = audit(farm, build(farm, *batches))
    lines = fault_lines(faults, each=3)
    assert len(faults) > 4
    assert lines[:3] == [str(fault) for fault in faults[:3]]
    assert lines[-1] == f"slots: {len(faults) - 3} more"
    assert fault_lines(faults[:4], each=3) == [str(fault) for fault in faults[:4]]

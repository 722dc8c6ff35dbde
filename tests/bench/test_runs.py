import json
from dataclasses import asdict, replace

import pytest
from bench.trials.bounds import Bounds
from bench.trials.contenders import CONTENDERS, LIFTED, farm_for
from bench.trials.families import FAMILIES, SHAPES, Case, resized
from bench.trials.judge import Score
from bench.trials.options import parser, runs_of
from bench.trials.presets import full, growth, quick
from bench.trials.record import Record, record_from, run_apart
from bench.trials.store import keep_if_better, read_best
from bench.trials.table import heading, line_of
from bench.trials.told import read_told, table_of
from farms import delivery, make_farm
from solving import quick_crop

from scheduler.model.settings import SolveSettings

MICRO = Case(family=FAMILIES["micro"], load=85, orders="steady", seed=1)
SCORE = Score(
    faults=0,
    ordered=1000,
    short_firm=20,
    short_flexible=10,
    short_tail=3,
    early=0,
    level_1=400,
    level_2=70,
    cost=200.0,
)
RECORD = Record(
    contender="raftway",
    took=12.5,
    memory=321,
    score=SCORE,
    bounds=Bounds(firm=5.0, flexible=0.0, cost=150.0),
    trace=[(1.0, 900.0), (4.0, 500.0), (9.5, 400.0)],
    note="",
    book="0123456789",
)


def test_a_run_of_its_own_brings_a_judged_plan_its_time_and_its_memory():
    settings = SolveSettings(seconds=1.0)
    record = run_apart(MICRO, "hand", settings, 0.0)
    assert record.score is not None
    assert record.score.faults == 0
    assert record.bounds is None
    assert record.memory > 30
    assert record.took >= 0
    assert len(record.trace) == 1


def test_what_the_order_in_rows_costs_is_planned_on_the_same_farm_with_rafts_that_may_be_lifted_out():
    farm = make_farm(days=16, crops=[quick_crop()], demands=[delivery("Lettuce", 12, 6)])
    lifted = farm_for(LIFTED, farm)
    assert farm_for("raftway", farm) is farm
    assert (lifted.rules.lift_out, lifted.rules.lift_minutes) == (True, 0)
    assert replace(lifted, rules=farm.rules) == farm


def test_a_run_that_fails_says_so():
    with pytest.raises(RuntimeError, match="nobody on micro-85-steady-1"):
        run_apart(MICRO, "nobody", SolveSettings(), 0.0)


def test_a_record_comes_back_from_json_as_it_was():
    for record in (RECORD, replace(RECORD, score=None, bounds=None)):
        assert record_from(json.loads(json.dumps(asdict(record)))) == record


@pytest.mark.parametrize("name", [name for name in CONTENDERS if name != "hand"])
def test_every_contender_fills_a_delivery_that_is_easy_to_fill(name):
    farm = make_farm(days=16, crops=[quick_crop()], demands=[delivery("Lettuce", 12, 6)])
    result = CONTENDERS[name](farm, SolveSettings(seconds=30, workers=1))
    assert result.plan is not None
    assert [row.filled for row in result.plan.demands] == [6]
    assert result.trace[-1][1] == 0


def test_a_line_tells_what_is_over_the_bounds_and_when_a_plan_was_usable():
    cells = [cell.strip() for cell in line_of(MICRO, RECORD, 500.0).split("|")[1:-1]]
    assert len(cells) == heading().split("\n")[0].count("|") - 1
    assert cells == [
        *("micro-85-steady-1", "raftway", "1,000", "20", "1.5 %", "10", "1.0 %"),
        *("200", "25.0 %", "4.0", "never", "12.5", "321", "0"),
    ]
    none = line_of(MICRO, replace(RECORD, score=None, bounds=None, trace=[]), 500.0)
    assert none.count("|") == line_of(MICRO, RECORD, None).count("|")
    assert "no plan" in none


def test_only_a_better_plan_takes_the_place_of_the_best_known(tmp_path):
    file = tmp_path / "best.csv"
    assert keep_if_better(MICRO, RECORD, file)
    assert not keep_if_better(MICRO, RECORD, file)
    assert not keep_if_better(MICRO, replace(RECORD, score=replace(SCORE, level_1=401)), file)
    cheaper = replace(RECORD, contender="cp-sat", score=replace(SCORE, cost=199.0))
    assert keep_if_better(MICRO, cheaper, file)
    assert not keep_if_better(MICRO, replace(RECORD, score=replace(SCORE, level_1=0, faults=1)), file)
    assert not keep_if_better(MICRO, replace(RECORD, score=None), file)
    (best,) = read_best(file).values()
    assert (best.found_by, best.level_1, best.cost, best.seed) == ("cp-sat", 400, 199.0, 1)
    other = replace(MICRO, orders="jumpy")
    assert keep_if_better(other, RECORD, file)
    assert len(read_best(file)) == 2


def test_what_was_known_of_a_book_that_has_changed_counts_no_more(tmp_path):
    file = tmp_path / "best.csv"
    keep_if_better(MICRO, RECORD, file)
    worse = replace(RECORD, score=replace(SCORE, level_1=9_999))
    assert not keep_if_better(MICRO, worse, file)
    assert keep_if_better(MICRO, replace(worse, book="9876543210"), file)
    assert [best.level_1 for best in read_best(file).values()] == [9_999]


def test_a_farm_of_another_size_or_without_order_in_its_rows_is_not_among_the_best_known(tmp_path):
    other = replace(MICRO, family=resized(MICRO.family, 30, None, None))
    assert not keep_if_better(other, RECORD, tmp_path / "best.csv")
    assert not keep_if_better(MICRO, replace(RECORD, contender=LIFTED), tmp_path / "best.csv")


def test_the_quick_set_takes_less_than_ten_minutes():
    assert sum(len(runs.contenders) * runs.seconds for runs in quick()) < 540


def test_the_full_set_has_every_family_and_every_shape_of_orders():
    runs = list(full())
    assert {each.case.family.name for each in runs} == set(FAMILIES)
    assert {each.case.orders for each in runs} == set(SHAPES)
    assert len({each.case.name for each in runs}) == len(runs)
    assert len({each.case.name for each in growth(60)}) == 8


def test_the_command_line_names_farms_contenders_and_times():
    asked = "--family small --load 95 --orders jumpy --seed 3 --contender hand --seconds 5 --weeks 30"
    (runs,) = runs_of(parser().parse_args(asked.split()))
    assert runs.case.name == "small-95-jumpy-3-30weeks"
    assert (runs.contenders, runs.seconds) == (("hand",), 5.0)
    assert list(runs_of(parser().parse_args([]))) == list(quick())


def test_records_of_earlier_runs_become_one_table(tmp_path):
    file = tmp_path / "told.jsonl"
    hand = replace(RECORD, contender="hand", trace=[(2.0, 500.0)], bounds=None)
    told = [
        {"farm": MICRO.name, "seconds": 60.0} | asdict(record)
        for record in (
            RECORD,
            hand,
            replace(RECORD, took=13.0),
            replace(RECORD, contender="scip", score=None),
        )
    ]
    file.write_text("".join(f"{json.dumps(each)}\n" for each in told))
    lines = table_of(read_told([file])).splitlines()
    assert [line.count("|") for line in lines[:5]] == [9] * 5
    rows = [[cell.strip() for cell in line.split("|")[1:-1]] for line in lines[2:5]]
    name = "micro-85-steady-1"
    assert rows == [
        [name, "hand", "12", "2.0 %", "", "1.0 %", "", "2 s"],
        [name, "raftway", "13", "2.0 %", "0.5 %", "1.0 %", "25.0 %", "4 s"],
        [name, "scip", "12", "no plan", "", "", "", ""],
    ]

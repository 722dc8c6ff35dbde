"""Rafts of which some plants are cut and gone go on as the plan before has it for those that stay."""

from pathlib import Path

import pytest
from folders import planned
from followed import Followed, told
from recorded import CROPS, PRODUCTS

from scheduler.model.again import replan
from scheduler.model.settings import SolveSettings
from scheduler.outputs.saved import open_plan
from scheduler.plan.audit import audit, fault_lines

ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,6,Tue Fri,2026-05-05,2026-05-29\n"
    "R2,Linnet Kitchen,Basil,4,Mon Thu,2026-04-27,2026-06-18\n"
)


EFFORT = SolveSettings(seconds=0.03, deterministic=True)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    tables = {"orders": ORDERS, "crops": CROPS, "products": PRODUCTS}
    return planned(tmp_path_factory.mktemp("begun"), settings={"weeks": "16"}, **tables)


@pytest.fixture
def fallen(monkeypatch):
    """Lots that fall out of the first answer of each planning again."""
    found, place = [], replan.placed

    def watched(*of):
        answer = place(*of)
        found.extend(answer.fallen)
        return answer

    monkeypatch.setattr(replan, "placed", watched)
    return found


def begun(plan, day):
    """Return the rafts of which plants have left by a day while others stay for a later one."""
    leaves = {}
    for row in plan.contents:
        leaves.setdefault(row.unit, set()).add(row.leaves)
    rafts = {row.unit for row in plan.units if row.item == "raft"}
    return [unit for unit in rafts if min(leaves[unit]) < day <= max(leaves[unit])]


def test_no_lot_of_rafts_that_are_begun_falls_out_of_the_plan_before(made, fallen):
    days = [day for day in range(50, 67) if begun(made.plan, day)][::4]
    assert len(days) >= 3
    for day in days:
        farm = Followed(made.book, made.farm, made.plan)
        farm.until(day)
        plan = farm.again(day, EFFORT)
        assert fault_lines(audit(farm.farm, plan)) == [], day
    assert fallen == []


def test_plants_of_one_raft_that_were_cut_more_or_less_often_go_on_each_as_planned(fallen):
    example = Path(__file__).parents[3] / "examples/alder-quay"
    farm = Followed(example / "book", *open_plan(example / "plan"))
    farm.until(80)
    plan = farm.again(80, EFFORT, weeks=8)
    cuts = {}
    for row in farm.farm.growing:
        cuts.setdefault(row.together, set()).add(row.cuts_done)
    assert any(len(numbers) > 1 for together, numbers in cuts.items() if together)
    assert fault_lines(audit(farm.farm, plan)) == []
    assert fallen == []


GROWING = "lot,crop,stage,place,since,plants,units\nG,Basil,raft,North trough 1,2026-02-09,36,1\n"
ONCE = "delivery,customer,product,amount,date\nA,Harbour Table,Basil,8,2026-03-10\n"


@pytest.fixture(scope="module")
def thinned(tmp_path_factory):
    """A plan that cuts a few of the plants of a raft once, and throws the others away on its first day."""
    heading, *rows = CROPS.splitlines()
    crops = "\n".join([f"{heading},cut_minutes", *(f"{row},1" for row in rows), ""])
    tables = {"crops": crops, "products": PRODUCTS, "growing": GROWING, "costs": "cost,amount\nhour,16\n"}
    return planned(tmp_path_factory.mktemp("thinned"), orders=None, deliveries=ONCE, **tables)


@pytest.mark.parametrize("more", [0, 1])
def test_plants_left_by_others_that_were_thrown_away_are_cut_as_often_as_planned(thinned, monkeypatch, more):
    (cut,) = [row for row in thinned.plan.cuts if row.lot == "G"]
    thrown = 36 - cut.plants
    assert {row.leaves for row in thinned.plan.contents if row.lot == "G"} == {0, cut.day}
    seen = []

    def watched(engine, of, parties):
        seen.extend(part for party in parties for part in party.afloat)
        return placed(engine, of, parties)

    placed = replan.placed
    monkeypatch.setattr(replan, "placed", watched)
    farm = Followed(thinned.book, thinned.farm, thinned.plan)
    farm.tell(told("culled", 0, lot="G", plants=thrown - more))
    farm.day = 1
    plan = farm.again(1)
    assert {(part.plants, part.chain) for part in seen} == {
        (plants, ((1, cut.day - 1),)) for plants in (cut.plants, more) if plants
    }
    assert fault_lines(audit(farm.farm, plan)) == []

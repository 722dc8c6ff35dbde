"""Plans for several farms: same effort, and no farm looks worse for want of luck."""

from concurrent.futures import BrokenExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from helpers import write_book

from scheduler.book.book import read_raw
from scheduler.cli.candidates import candidates, read_scenarios
from scheduler.cli.side_by_side import NoPlan, Unsound, best_plans
from scheduler.model.settings import Outcome, SolveSettings
from scheduler.plan.tally import with_totals
from scheduler.sweep.executors import local
from scheduler.sweep.run import Lost

ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,12,Fri,2026-04-24,2026-04-24\n"
)
EFFORT = SolveSettings(seconds=0.3, deterministic=True)


@pytest.fixture
def found(tmp_path):
    book = read_raw(Path(write_book(tmp_path, orders=ORDERS)))
    change = 'do = "add trough", trough = "East trough"'
    return candidates(book, read_scenarios([], [change], all_at_once=False), None)


def filled(kept):
    return {name: sum(row.filled for row in each.plan.demands) for name, each in kept.items()}


def test_every_farm_gets_a_plan_of_its_own(found):
    kept = best_plans(found, EFFORT)
    assert filled(kept) == {"as it is": 12, "as asked": 12}
    assert {name: each.of for name, each in kept.items()} == {"as it is": "as it is", "as asked": "as asked"}
    assert {each.least for each in kept.values()} == {0}, "what is known of a farm goes with its plan"


def test_other_processes_find_the_same_plans(found, capsys):
    here = best_plans(found, EFFORT)
    assert "Planning as asked (2 of 2)" in capsys.readouterr().err
    assert best_plans(found, EFFORT, local(1)) == here
    assert "Planning as asked (2 of 2) is done" in capsys.readouterr().err


def test_a_farm_whose_worker_is_lost_is_planned_again(found):
    made = []

    @contextmanager
    def one_breaks():
        with ThreadPoolExecutor(1) as executor:
            yield Breaking(executor, broken=not made)
            made.append(executor)

    kept = best_plans(found, EFFORT, one_breaks)
    assert filled(kept) == {"as it is": 12, "as asked": 12}
    assert len(made) >= 2


def test_workers_that_are_lost_again_and_again_end_the_comparison(found):
    @contextmanager
    def always_breaks():
        yield Breaking(None, broken=True)

    with pytest.raises(Lost, match="Planning as it is"):
        best_plans(found, EFFORT, always_breaks)


class Breaking:
    """An executor whose first worker is lost before it takes anything, if it is to break."""

    def __init__(self, executor, *, broken):
        self.executor, self.broken = executor, broken

    def submit(self, work, *given):
        if self.broken:
            raise BrokenExecutor("a worker was killed")
        return self.executor.submit(work, *given)


def test_more_of_something_never_brings_less_however_little_luck_the_search_has(found, monkeypatch):
    from scheduler.cli import progress

    search = progress.solve_watched

    def unlucky(farm, settings):
        plan = search(farm, settings).plan
        if "East trough 1" in {place.name for place in farm.places}:
            plan = with_totals(farm, nothing(plan))
        return Outcome(plan=plan, status="short")

    monkeypatch.setattr(progress, "solve_watched", unlucky)
    monkeypatch.setattr("scheduler.model.search.begun.plan_from", lambda *_, **_stop: None)
    kept = best_plans(found, EFFORT)
    assert filled(kept) == {"as it is": 12, "as asked": 12}
    assert kept["as asked"].of == "as it is"


def nothing(plan):
    """Return a plan in which nothing is sown, as far as the audit asks."""
    rows = tuple(
        replace(row, filled=0, state="short", reason="nothing is sown") if row.state == "filled" else row
        for row in plan.demands
    )
    bare = replace(plan, lots=(), units=(), contents=(), positions=(), cuts=(), fills=(), chains=(), tasks=())
    return replace(bare, demands=rows, supplies=(), goals=())


def test_one_farm_without_a_plan_in_time_is_told(found, monkeypatch):
    none = Outcome(plan=None, status="no plan")
    monkeypatch.setattr("scheduler.cli.progress.solve_watched", lambda *_: none)
    with pytest.raises(NoPlan) as told:
        best_plans(found, EFFORT)
    assert not told.value.without_memory


def test_a_plan_that_breaks_a_rule_is_never_compared(found, monkeypatch, capsys):
    from scheduler.cli import progress

    search = progress.solve_watched

    def faulty(farm, settings):
        plan = search(farm, settings).plan
        return Outcome(plan=replace(plan, cuts=plan.cuts[1:]), status="filled")

    monkeypatch.setattr(progress, "solve_watched", faulty)
    with pytest.raises(Unsound):
        best_plans(found, EFFORT)
    assert "raftway has a fault of its own: its plan breaks these rules." in capsys.readouterr().err

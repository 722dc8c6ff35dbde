"""A search ends with the best plan so far before it takes more memory than it may."""

import pytest
from farms import delivery, make_farm
from solving import quick_crop

from scheduler.model import solve
from scheduler.model.bounds import proof
from scheduler.model.search import goal_by_goal
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.model.solver import memory
from scheduler.model.solver.engine import FULL, Engine, Stopped
from scheduler.plan.audit import audit


def farm():
    orders = [delivery("Lettuce", day, 10) for day in range(10, 60, 3)]
    return make_farm(days=63, crops=[quick_crop()], lanes=2, lane_slots=3, demands=orders)


def settings(gigabytes):
    return SolveSettings(seconds=10_000, deterministic=True, memory=gigabytes)


def test_what_the_process_holds_is_known_and_never_falls():
    before = memory.used()
    assert 0.01 < before < 1000
    held = bytearray(80 * 2**20)
    assert memory.used() >= before
    del held
    assert memory.used() >= before


def test_near_the_limit_a_search_is_stopped_and_without_one_it_is_not(monkeypatch):
    monkeypatch.setattr(memory, "used", lambda: 2.0)
    assert not Engine(settings(None)).stopped
    assert not Engine(settings(2.0 / FULL + 0.01)).stopped
    full = Engine(settings(2.0 / FULL - 0.01))
    assert full.stopped
    with pytest.raises(Stopped):
        full.check()


def test_a_run_of_the_solver_may_take_what_is_left(monkeypatch):
    monkeypatch.setattr(memory, "used", lambda: 1.0)
    engine = Engine(settings(4.0))
    assert engine._solver(1.0).parameters.max_memory_in_mb == 3 * 1024  # noqa: SLF001


def test_the_best_plan_so_far_is_kept_when_the_memory_is_taken(monkeypatch):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    held, phases = [1.0], []
    monkeypatch.setattr(memory, "used", lambda: held[0])

    def tell(progress):
        phases.append(progress.phase)
        if progress.phase.startswith(("filling", "saving")):
            held[0] = 99.0

    found = plan_farm(farm(), settings(100.0), tell)
    assert found.plan is not None
    assert audit(farm(), found.plan) == []
    assert len({phase for phase in phases if phase.startswith(("filling", "saving"))}) == 1


@pytest.mark.parametrize("phase", ["laying the steady week", "filling", "saving"])
def test_a_plan_is_kept_when_the_system_gives_no_more_memory(phase, monkeypatch):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)

    def tell(progress):
        if progress.phase.startswith(phase):
            raise MemoryError

    found = plan_farm(farm(), SolveSettings(seconds=0.1, deterministic=True), tell)
    assert found.plan is not None
    assert audit(farm(), found.plan) == []


@pytest.mark.parametrize(("module", "name"), [(goal_by_goal, "may_be_too_narrow"), (proof, "stages")])
def test_a_small_farm_has_its_plan_though_no_more_memory_is_given(module, name, monkeypatch):
    def full(*_):
        raise MemoryError

    monkeypatch.setattr(module, name, full)
    found = plan_farm(farm(), SolveSettings(seconds=0.1, deterministic=True))
    assert found.plan is not None
    assert audit(farm(), found.plan) == []


def test_without_memory_for_any_plan_there_is_none(monkeypatch):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    monkeypatch.setattr(memory, "used", lambda: 3.0)
    assert plan_farm(farm(), settings(1.0)).plan is None


@pytest.mark.parametrize(
    ("module", "name"), [("scheduler.model.made", "lay_out"), ("scheduler.model.solve", "line_up")]
)
def test_that_memory_was_short_for_any_plan_is_told(module, name, monkeypatch):
    def full(*_):
        raise MemoryError

    if name == "line_up":
        monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    monkeypatch.setattr(solve, "has_many_rows", lambda _: True)
    monkeypatch.setattr(f"{module}.{name}", full)
    found = plan_farm(farm(), SolveSettings(seconds=0.1, deterministic=True))
    assert (found.plan, found.status, found.without_memory) == (None, "no plan", True)


def test_crops_get_no_more_rows_where_a_second_model_would_not_fit(monkeypatch):
    monkeypatch.setattr(solve, "SMALL_BOOK", -1)
    monkeypatch.setattr(memory, "used", lambda: 6.0)
    phases = []
    plan_farm(
        farm(), SolveSettings(seconds=0.1, deterministic=True, memory=10.0), lambda p: phases.append(p.phase)
    )
    assert "giving short crops more rows" not in phases

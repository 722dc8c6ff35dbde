"""The solver as a part: it stops when asked, begins from what is known, and refuses what is no model."""

import threading
import time

import pytest
from farms import delivery, make_farm
from ortools.sat.python.cp_model import INFEASIBLE, UNKNOWN, CpModel
from solving import quick_crop

from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.model.solver.engine import Engine, Hand, SolverFault


def engine(seconds=10.0, stop=None, **changes):
    return Engine(SolveSettings(**({"seconds": seconds, "deterministic": True} | changes)), stop)


def knapsack(items=4, room=10):
    model = CpModel()
    taken = [model.new_bool_var(f"item{n}") for n in range(items)]
    model.add(sum((n + 3) * each for n, each in enumerate(taken)) <= room)
    model.minimize(-sum((2 * n + 5) * each for n, each in enumerate(taken)))
    return model


def hard(items=60):
    """A model that takes far longer than any test: many alike items in many alike boxes."""
    model = CpModel()
    boxes = 17
    chosen = [[model.new_bool_var(f"item{i}_{b}") for b in range(boxes)] for i in range(items)]
    sizes = [37 + 13 * (i % 11) + i * i % 29 for i in range(items)]
    for row in chosen:
        model.add(sum(row) == 1)
    most = model.new_int_var(0, sum(sizes), "most")
    for b in range(boxes):
        model.add(sum(size * row[b] for size, row in zip(sizes, chosen, strict=True)) <= most)
    model.minimize(most)
    return model


def test_an_answer_has_a_value_for_every_variable_and_says_that_it_is_the_best():
    answer = engine().run(knapsack(), 5)
    assert answer.values is not None
    assert sum((n + 3) * taken for n, taken in enumerate(answer.values)) <= 10
    assert answer.proven
    assert answer.objective == answer.bound == -best_knapsack(4, 10)


def best_knapsack(items, room):
    found = 0
    for chosen in range(2**items):
        inside = [n for n in range(items) if chosen >> n & 1]
        if sum(n + 3 for n in inside) <= room:
            found = max(found, sum(2 * n + 5 for n in inside))
    return found


def test_a_hint_is_where_the_search_begins():
    # With next to no time the answer is never worse than the hint.
    known = engine(20).run(hard(), 0.2)
    assert known.values is not None
    again = engine(20).run(hard(), 0.0, known.values)
    assert again.values is not None
    assert again.objective <= known.objective


def test_a_model_without_an_answer_has_none():
    model = CpModel()
    one = model.new_bool_var("one")
    model.add(one >= 1)
    model.add(one <= 0)
    answer = engine().run(model, 1)
    assert answer.values is None
    assert answer.proven  # that there is none


def test_a_model_that_is_not_valid_is_refused():
    model = CpModel()
    model.add(2**62 * model.new_int_var(0, 2**40, "huge") >= 1)
    with pytest.raises(SolverFault):
        engine().run(model, 1)


def test_a_wish_to_stop_ends_a_run_with_what_is_known():
    stop = threading.Event()
    stop.set()
    asked = engine(seconds=10_000, stop=stop)
    answer = asked.run(hard(), 10_000)
    assert asked.stopped
    assert not answer.proven


def test_a_wish_to_stop_comes_through_while_the_solver_is_at_work():
    stop, begun = threading.Event(), time.process_time()

    def stop_then():
        # Time of the processor: on a busy machine the solver may not have begun when a clock says so.
        while time.process_time() < begun + 0.4:
            time.sleep(0.02)
        stop.set()

    waits = threading.Thread(target=stop_then)
    waits.start()
    answer = engine(seconds=10_000, stop=stop, deterministic=False, workers=1).run(hard(), 10_000)
    waits.join()
    assert answer.values is not None
    assert not answer.proven


def test_a_run_ends_once_it_is_within_the_gap_asked_for():
    answer = engine(seconds=10_000).run(hard(), 10_000, gap=1_000.0)
    assert answer.objective - answer.bound <= 1_000


def test_time_is_counted_over_all_runs_of_a_search():
    counted = engine(seconds=0.2)
    assert not counted.stopped
    while not counted.stopped:
        before = counted.spent
        counted.run(hard(), 0.1)
        assert counted.spent > before
    assert counted.left <= 0


def test_once_asked_to_stop_a_search_begins_no_other_phase():
    farm = make_farm(
        days=60, crops=[quick_crop()], demands=[delivery("Lettuce", day, 7) for day in range(9, 60, 3)]
    )
    heard, stop = [], threading.Event()

    def tell(progress):
        heard.append(progress)
        stop.set()

    found = plan_farm(farm, SolveSettings(seconds=10_000, deterministic=True), tell, stop)
    assert found.plan is not None
    assert len({progress.phase for progress in heard}) <= 2
    assert all(progress.seconds < 10_000 for progress in heard)


def test_several_threads_find_the_same_best():
    assert engine(deterministic=False, workers=2).run(knapsack(12, 30), 5).objective == -best_knapsack(12, 30)


def test_kinds_of_search_that_take_turns_find_the_same_best_and_the_same_answer_again():
    answers = [engine().run(knapsack(12, 30), 5, hand=Hand.TURNS) for _ in range(2)]
    assert answers[0].objective == -best_knapsack(12, 30)
    assert answers[0].values == answers[1].values


def test_engines_side_by_side_have_one_worker_a_seed_each_and_the_clock_and_stop_of_the_first():
    stop = threading.Event()
    first = engine(stop=stop, deterministic=False, workers=4, seed=7)
    others = [first.beside(number) for number in range(3)]
    assert [(other.settings.workers, other.settings.seed) for other in others] == [(1, 7), (1, 8), (1, 9)]
    before, of_other, after = first.spent, others[0].spent, first.spent
    assert before <= of_other <= after
    stop.set()
    assert all(other.stopped for other in others)


def test_engines_side_by_side_count_the_solvers_units_together():
    first = engine()
    first.beside(1).run(knapsack(12, 30), 5)
    assert first.spent > 0


# --- doubtful answers ---


class Told:
    """Stands in for the solver's answer: some of it is as a test says, the rest as it was."""

    def __init__(self, response, **changes):
        self._response, self._changes = response, changes

    def __getattr__(self, name):
        return self._changes[name] if name in self._changes else getattr(self._response, name)


@pytest.fixture
def lying(monkeypatch):
    """Let the first answers of the solver be changed, and return what each run was told to do."""
    asked = []

    def use(*lies):
        honest = Engine._asked  # noqa: SLF001

        def told(self, model, seconds, gap, hand, *, presolve=True):
            response = honest(self, model, seconds, gap, hand, presolve=presolve)
            asked.append(presolve)
            return Told(response, **lies[len(asked) - 1]) if len(asked) <= len(lies) else response

        monkeypatch.setattr(Engine, "_asked", told)
        return asked

    return use


def test_no_answer_where_one_was_given_along_is_asked_for_again_without_presolve(lying):
    known = engine().run(knapsack(), 5).values
    asked = lying({"status": INFEASIBLE})
    answer = engine().run(knapsack(), 5, known)
    assert asked == [True, False]
    assert answer.values is not None
    assert answer.objective == -best_knapsack(4, 10)


def test_an_unknown_end_with_time_left_is_asked_again(lying):
    asked = lying({"status": UNKNOWN})
    answer = engine().run(knapsack(), 5, [0] * 4)
    assert asked == [True, False]
    assert answer.values is not None


def test_an_unknown_end_when_the_time_was_up_is_what_it_says(lying):
    asked = lying({"status": UNKNOWN})
    answer = engine().run(hard(), 0.05, [0] * len(hard().proto.variables))
    assert asked == [True]
    assert answer.values is None
    assert not answer.proven


def test_values_that_are_not_worth_what_the_solver_says_are_asked_for_again(lying):
    asked = lying({"objective_value": -1.0})
    answer = engine().run(knapsack(), 5)
    assert asked == [True, False]
    assert answer.objective == -best_knapsack(4, 10)


def test_a_solver_that_contradicts_itself_twice_is_not_believed(lying):
    asked = lying({"objective_value": -1.0}, {"objective_value": -1.0})
    with pytest.raises(SolverFault, match="not worth what it says"):
        engine().run(knapsack(), 5)
    assert asked == [True, False]


def test_a_model_without_an_answer_is_asked_once_where_none_was_given_along(lying):
    asked = lying()
    model = CpModel()
    one = model.new_bool_var("one")
    model.add(one >= 1)
    model.add(one <= 0)
    assert engine().run(model, 1).proven
    assert asked == [True]

"""Parts drawn by chance: what they free, how large they get, and when no more are drawn."""

import pytest
from farms import delivery, growing, make_farm
from model.steady import engine_of, faults_of, idle_plan, units_short
from solving import quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.search.draws import MOST_IN_VAIN, SIZES, Draws
from scheduler.model.search.repair import Repair
from scheduler.model.search.selection import Part, Selection
from scheduler.model.search.serving import Serving


def two_crops(**changes):
    return make_farm(
        days=42,
        crops=[quick_crop("Kale"), quick_crop("Lettuce")],
        lane_slots=2,
        demands=[delivery("Kale", day, 6) for day in (17, 24, 31)]
        + [delivery("Lettuce", day, 6) for day in (17, 24, 31)],
        **changes,
    )


def drawn(best, seed=1, beyond=frozenset(), outcomes=(), most=40):
    """The first parts that are drawn, each told to have ended in some way."""
    repair = Repair(engine_of(), best, lambda _: None, beyond=beyond)
    draws = Draws(best, Serving(best.built.chosen), repair.short, outlets=True, seed=seed)
    found = []
    for part in draws:
        found.append(part)
        draws.learn(**(outcomes[len(found) - 1] if len(found) <= len(outcomes) else FINISHED))
        if len(found) == most:
            break
    return found


FINISHED = {"finished": True, "gained": False}
OUT_OF_TIME = {"finished": False, "gained": False}
GAINED = {"finished": True, "gained": True}


def test_the_same_seed_draws_the_same_parts_and_another_one_others():
    best = idle_plan(two_crops())
    assert drawn(best, seed=1) == drawn(best, seed=1)
    assert drawn(best, seed=1) != drawn(best, seed=2)


def test_every_part_frees_a_crop_and_a_day_that_serve_a_short_wish():
    best = idle_plan(two_crops())
    serving = Serving(best.built.chosen)
    wishes = best.built.chosen.frame.wishes
    lettuce = {index for index, wish in enumerate(wishes) if wish.product == "Lettuce"}
    days = [serving.days(index, {"Lettuce"}, later=True) for index in sorted(lettuce)]
    parts = drawn(best, beyond=frozenset(range(len(wishes))) - lettuce)
    assert all("Lettuce" in part.crops for part in parts)
    assert all(any(part.first <= day <= part.last for found in days for day in found) for part in parts)
    assert frozenset({"Lettuce", "Kale"}) in {part.crops for part in parts}


@pytest.mark.parametrize("vain", [MOST_IN_VAIN - 1, MOST_IN_VAIN])
def test_no_more_parts_are_drawn_once_so_many_brought_nothing(vain):
    best = idle_plan(two_crops())
    outcomes = [FINISHED] * vain + [GAINED] + [FINISHED] * 10
    found = len(drawn(best, outcomes=outcomes, most=vain + 5))
    assert found == (vain + 5 if vain < MOST_IN_VAIN else MOST_IN_VAIN)


def test_no_part_is_drawn_where_nothing_serves_what_is_short():
    # Sown on the first day it is ready on day 9.
    best = idle_plan(make_farm(days=14, crops=[quick_crop()], demands=[delivery("Lettuce", 3, 6)]))
    assert drawn(best) == []


def test_parts_grow_where_they_are_solved_at_once_and_shrink_where_time_runs_out():
    best = idle_plan(two_crops())

    def width(parts):
        return sum(part.last - part.first for part in parts) / len(parts)

    quick, slow = (drawn(best, outcomes=[end] * 140, most=140) for end in (FINISHED, OUT_OF_TIME))
    assert width(quick[100:]) > 28 > width(quick[:10]) > width(slow[100:])
    assert max(part.last - part.first for part in quick) == max(days for _, days in SIZES)


def test_short_deliveries_are_filled_by_drawn_parts_alone():
    made = two_crops()
    best = idle_plan(made)
    Repair(engine_of(), best, lambda _: None, rounds=()).shortages(5.0)
    assert units_short(best) == 0
    assert faults_of(made, best) == []


@pytest.mark.parametrize("shared", [False, True])
def test_still_parts_leave_rafts_of_all_other_crops_in_their_rows(shared):
    rows = [growing("Kale", StageKind.RAFT, -2, 6, 1)]
    chosen = idle_plan(two_crops(growing=rows, rules={"share_rafts": shared})).built.chosen
    part = {"crops": frozenset({"Lettuce"}), "first": 0, "last": 21}
    loose = Selection(chosen).variables(Part(**part))
    still = Selection(chosen).variables(Part(**part, still=True))
    standing = {
        rafts.index: queue.raft_class for queue, days in chosen.queues.items() for rafts in days.values()
    }
    lost = {standing[index] for index in loose - still}
    kept = {standing[index] for index in still if index in standing}
    assert {(kind.crop, kind.growing < 0) for kind in kept} == {("Kale" if shared else "Lettuce", True)}
    assert all(kind.crop == "Kale" for kind in lost)
    assert shared or lost

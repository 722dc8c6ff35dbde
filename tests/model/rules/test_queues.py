"""A raft takes a slot in one row and keeps it until it is emptied, or longer behind others."""

import pytest
from farms import delivery, growing, make_farm
from model.steady import with_second_trough
from solving import allows, least, posed, quick_crop

from scheduler.farm.crops import StageKind
from scheduler.model.build import build
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.rules.units import queues


def farm(**rules):
    return make_farm(
        days=30,
        lanes=2,
        crops=[quick_crop()],
        rules=rules,
        growing=[growing("Lettuce", StageKind.RAFT, 0, 12, 2)],
        demands=[delivery("Lettuce", 6, 12, max_age=2), delivery("Lettuce", 12, 12, max_age=2)],
    )


def fixed(emptied, leaves):
    """Rafts of day 0 emptied on each day, and leaving their slots on each."""

    def amounts(chosen):
        counts = [
            (v, emptied.get(day, 0))
            for (group, day), v in chosen.rafts.items()
            if chosen.class_of[group].growing == 0
        ]
        slots = [
            (v, leaves.get(day, 0))
            for queue, by_day in chosen.queues.items()
            if queue.raft_class.growing == 0
            for day, v in by_day.items()
        ]
        return [*counts, *slots]

    return amounts


@pytest.mark.parametrize(
    ("emptied", "leaves", "allowed"),
    [
        ({4: 2}, {4: 2}, True),
        ({4: 1, 6: 1}, {4: 1, 6: 1}, True),
        ({4: 1, 6: 1}, {6: 2}, True),
        ({4: 2}, {5: 2}, True),
        ({4: 2}, {9: 1, 10: 1}, True),
        ({5: 2}, {4: 2}, False),
        ({4: 1, 6: 1}, {4: 2}, False),
        ({4: 2}, {4: 1}, False),
    ],
)
def test_a_raft_leaves_its_slot_when_it_is_empty_or_later_and_never_before(emptied, leaves, allowed):
    assert allowed is allows(farm(), queues, fixed(emptied, leaves))


@pytest.mark.parametrize(("leaves", "allowed"), [({4: 2}, True), ({4: 1, 5: 1}, False)])
def test_where_rafts_are_lifted_out_they_leave_on_the_day_they_are_emptied(leaves, allowed):
    assert allowed is allows(farm(lift_out=True), queues, fixed({4: 2}, leaves))


@pytest.mark.parametrize(
    ("first", "second", "allowed"), [(2, 0, True), (1, 1, True), (1, 2, False), (1, 0, False)]
)
def test_each_new_raft_stands_in_exactly_one_row(first, second, allowed):
    def amounts(chosen):
        group = next(group for group, kind in chosen.class_of.items() if group.enters == 5)
        emptied = [
            (v, 2 if (g, day) == (group, 10) else 0) for (g, day), v in chosen.rafts.items() if g.enters == 5
        ]
        stands = {"Trough 1": first, "Trough 2": second}
        slots = [
            (v, stands[queue.bundle] if day == 10 else 0)
            for queue, by_day in chosen.queues.items()
            if queue.enters == 5
            for day, v in by_day.items()
        ]
        return [*emptied, *slots]

    assert allowed is allows(farm(), queues, amounts)


def test_a_crop_stands_only_in_rows_it_may_use():
    made = make_farm(
        days=20,
        lanes=3,
        crops=[quick_crop(lanes=["Trough 1", "Trough 3"])],
        demands=[delivery("Lettuce", 10, 6)],
    )

    _, chosen = posed(made)
    assert {queue.bundle for queue in chosen.queues} == {"Trough 1", "Trough 3"}


@pytest.mark.parametrize(
    ("homes", "short"), [({}, 18), ({"Lettuce": frozenset({"Trough 1"})}, 24), ({"Lettuce": frozenset()}, 30)]
)
def test_a_crop_that_keeps_to_some_rows_stands_in_no_other_trough(homes, short):
    # One slot for 6 heads in each of two troughs of unlike pace.
    made = make_farm(
        days=24, lane_slots=1, crops=[quick_crop()], demands=[delivery("Lettuce", 20, 30, max_age=0)]
    )
    made = with_second_trough(made, 900, slots=1)
    built = build(season(made), bundles_of(made), homes)
    built.model.minimize(sum(built.chosen.short.values()))
    assert least(built.model) == short

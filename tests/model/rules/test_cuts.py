"""Cuts: each plant is cut within its window, cut again an interval later, and gone after its last cut."""

import pytest
from farms import delivery, growing, make_farm
from solving import allows, cut, pick, posed, quick_crop, set_out

from scheduler.farm.crops import StageKind
from scheduler.model.rules.cuts import cuts
from scheduler.model.rules.losses import losses


def farm(day, crop=(), **needs):
    return make_farm(
        days=40,
        crops=[quick_crop(**dict(crop))],
        demands=[delivery("Lettuce", day, 200, max_age=2)],
        growing=[growing("Lettuce", StageKind.RAFT, 0, 12, 2)],
        **needs,
    )


def steps(chosen, entered=0):
    option = pick(chosen.raft_plants, day=entered, source=None)
    return {(step.number, step.day, step.after) for step in option.cuttings}


@pytest.mark.parametrize(
    ("on_day", "allowed"),
    [({4: 12}, True), ({4: 5, 6: 7}, True), ({4: 5, 6: 6}, False), ({4: 6, 6: 7}, False)],
)
def test_all_plants_of_a_crop_cut_once_are_cut_or_thrown_and_none_twice(on_day, allowed):
    made = farm(6)
    amounts = {day: on_day.get(day, 0) for day in (4, 5, 6)}
    assert allowed is allows(
        made,
        cuts,
        lambda c: [
            *((cut(c, 0, day), plants) for day, plants in amounts.items()),
            (set_out(c, 0, source=None), 12),
            *((thrown, 0) for thrown in c.thrown.values()),
        ],
        support=[losses],
    )


def test_what_is_thrown_away_on_the_first_day_is_not_cut():
    made = farm(6)
    for thrown, allowed in ((5, True), (4, False)):
        assert allowed is allows(
            made,
            cuts,
            lambda c, thrown=thrown: [
                (cut(c, 0, 4), 7),
                (cut(c, 0, 5), 0),
                (cut(c, 0, 6), 0),
                *((variable, thrown) for variable in c.thrown.values()),
            ],
            support=[losses],
        )


def test_the_first_cut_is_on_offer_from_its_first_day_through_the_last_of_its_window():
    _, chosen = posed(farm(6))
    assert steps(chosen) == {(1, 4, None), (1, 5, None), (1, 6, None)}


def test_a_next_cut_is_on_offer_an_interval_after_the_one_before_and_no_later_than_the_wait():
    _, chosen = posed(farm(10, {"cuts": 2, "interval": 5, "raft": (4, 1, 10_000)}))
    assert steps(chosen) == {(1, 4, None), (1, 5, None), (2, 9, 4), (2, 10, 4), (2, 10, 5), (2, 11, 5)}


AGAIN = {"cuts": 3, "interval": 5, "raft": (4, 0, 10_000)}


@pytest.mark.parametrize(
    ("first", "second", "third", "allowed"),
    [
        (12, 12, 12, True),
        (12, 7, 7, True),
        (12, 7, 3, True),
        (12, 7, 8, False),
        (11, 12, 12, False),
        (11, 11, 11, False),
    ],
)
def test_plants_cut_again_are_among_those_cut_before(first, second, third, allowed):
    made = farm(14, AGAIN)
    amounts = [(1, 4, None, first), (2, 9, 4, second), (3, 14, 9, third)]
    assert allowed is allows(
        made,
        cuts,
        lambda c: [
            *((cut(c, 0, day, number, after=after, source=None), n) for number, day, after, n in amounts),
            *((thrown, 0) for thrown in c.thrown.values()),
        ],
        support=[losses],
    )


@pytest.mark.parametrize(("gone", "allowed"), [((5, 4, 3), True), ((5, 5, 2), False), ((0, 0, 12), False)])
def test_plants_leave_after_the_last_of_their_cuts(gone, allowed):
    # 12 cut first, 7 of them again, 3 of those once more: 5, 4 and 3 leave.
    made = farm(14, AGAIN)
    amounts = [(1, 4, None, 12), (2, 9, 4, 7), (3, 14, 9, 3)]

    def fixed(chosen):
        option = pick(chosen.raft_plants, day=0, source=None)
        return [
            *((cut(chosen, 0, day, number, after=after), n) for number, day, after, n in amounts),
            *((chosen.leaving[option][day][0], n) for day, n in zip((4, 9, 14), gone, strict=True)),
        ]

    assert allowed is allows(made, cuts, fixed, support=[losses])

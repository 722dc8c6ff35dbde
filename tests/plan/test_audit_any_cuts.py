"""For any few plants of a raft: cuts are told exactly when no way of sharing them out is sound."""

from collections import Counter
from dataclasses import replace

from farms import make_crop, make_farm
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from plans import Batch, build

from scheduler.plan.audit import audit

few = settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
SET, FIRST, AGAIN, WAIT, CUTS = 10, 14, 4, 2, 3
FARM = make_farm(
    crops=[make_crop("Basil", board=None, raft=(FIRST, WAIT, 10_000), cuts=CUTS, interval=AGAIN)]
)
SOUND = build(FARM, Batch(crop="Basil", rows=1, board_day=None, raft_day=SET, rafts=(4,), cuts=((24, 4),)))


def windows(cuts):
    """Days on which a plant may have its next cut after those it had."""
    first = cuts[-1] + AGAIN if cuts else SET + FIRST
    return range(first, first + WAIT + 1) if len(cuts) < CUTS else range(0)


@st.composite
def lives(draw):
    """Each plant's days of cuts and the day it leaves, which for some is another one's day."""
    plants = []
    for _ in range(4):
        cuts = []
        for _ in range(draw(st.integers(0, CUTS))):
            cuts.append(draw(st.sampled_from(windows(cuts))))
        plants.append((tuple(cuts), cuts[-1] if cuts else draw(st.integers(24, 34))))
    return plants


@st.composite
def damaged(draw):
    """The same, and up to two days wrong by a day or two, or given to the wrong plant."""
    plants = draw(lives())
    days = [list(cuts) for cuts, _ in plants]
    leaves = draw(st.one_of(st.just([day for _, day in plants]), st.permutations([day for _, day in plants])))
    for _ in range(draw(st.integers(0, 2))):
        of = draw(st.sampled_from(days))
        if of:
            of[draw(st.integers(0, len(of) - 1))] += draw(st.integers(-2, 2))
    return list(zip(map(tuple, days), leaves, strict=True))


def is_sound_some_way(left, leaves, cuts=()):
    """Try every way: give the next plant to leave one cut more, or let it leave and go on with the others."""
    if not leaves:
        return not +left
    if is_sound_some_way(left, leaves[1:]):
        return True
    step = len(cuts) + 1
    for day in windows(cuts):
        if day <= leaves[0] and left[step, day] > 0:
            fewer = left - Counter({(step, day): 1})
            if is_sound_some_way(fewer, leaves, (*cuts, day)):
                return True
    return False


def told_of_cuts(plants):
    last = max(day for _, day in plants)
    first_cut = SOUND.cuts[0]
    cuts = Counter((number, day) for days, _ in plants for number, day in enumerate(days, start=1))
    trays = tuple(row for row in SOUND.contents if row.unit != first_cut.unit)
    (raft,) = (row for row in SOUND.contents if row.unit == first_cut.unit)
    leaves = Counter(day for _, day in plants)
    plan = replace(
        SOUND,
        contents=(*trays, *(replace(raft, plants=n, leaves=day) for day, n in leaves.items())),
        units=tuple(
            replace(unit, emptied=last, leaves=last) if unit.unit == first_cut.unit else unit
            for unit in SOUND.units
        ),
        cuts=tuple(
            replace(first_cut, number=number, day=day, plants=n, heads=0) for (number, day), n in cuts.items()
        ),
    )
    sound = is_sound_some_way(cuts, sorted(leaves.elements()))
    told = [
        fault
        for fault in audit(FARM, plan)
        if fault.rule in ("fresh", "whole units") or "is cut after its last plants left it" in fault.message
    ]
    return sound, told


@few
@given(lives())
def test_cuts_of_plants_that_each_keep_their_windows_are_never_told(plants):
    assert told_of_cuts(plants) == (True, [])


@few
@given(damaged())
def test_cuts_are_told_exactly_when_trying_every_way_finds_none_that_is_sound(plants):
    sound, told = told_of_cuts(plants)
    assert sound == (not told)

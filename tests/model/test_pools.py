"""Pools are places that grow alike; bundles are rows that are alike and are kept in order together."""

from dataclasses import replace

from farms import EVER, delivery, growing, make_farm
from hypothesis import given, settings
from hypothesis import strategies as st
from solving import got, quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.model.options.pools import MOST_BUNDLES, bundles_of, lanes_of, pools_of

some = settings(max_examples=60, deadline=None, derandomize=True)


def with_trough(farm, name, lanes, slots=6):
    """Add a trough of some rows, and let every crop use them."""
    rows = tuple(
        Place(name=f"{name} {n + 1}", belongs_to=name, kind=PlaceKind.LANE, slots=Steps(((EVER, slots),)))
        for n in range(lanes)
    )
    names = frozenset(row.name for row in rows)
    crops = {key: replace(crop, lanes=crop.lanes | names) for key, crop in farm.crops.items()}
    return replace(farm, places=(*farm.places, *rows), crops=crops)


def lanes_by_bundle(farm):
    return {bundle.name: [place.name for place in bundle.places] for bundle in bundles_of(farm)}


def test_places_of_one_pace_are_one_pool_and_others_are_not():
    farm = with_trough(make_farm(lanes=2, pace={"Annex": 800}), "Annex", 2)
    pools = {pool.name: [place.name for place in pool.places] for pool in pools_of(farm, PlaceKind.LANE)}
    assert pools == {"Trough 1": ["Trough 1", "Trough 2"], "Annex 1": ["Annex 1", "Annex 2"]}
    alike = with_trough(make_farm(lanes=2), "Annex", 2)
    assert [len(pool.places) for pool in pools_of(alike, PlaceKind.LANE)] == [4]


def test_a_pool_has_the_slots_of_all_its_places_each_day():
    farm = make_farm(tiers=3, tier_slots=((EVER, 4), (10, 2)))
    pool = pools_of(farm, PlaceKind.TIER)[0]
    assert [pool.slots_on(day) for day in (0, 9, 10)] == [12, 12, 6]


@some
@given(st.integers(1, 12), st.integers(0, 8), st.integers(0, 3))
def test_every_row_is_in_exactly_one_bundle_and_few_bundles_are_made(lanes, more, busy):
    rows = [
        growing("Lettuce", StageKind.RAFT, -1, 6, 1, place=f"Trough {n + 1}", lot=f"G{n}")
        for n in range(min(busy, lanes))
    ]
    farm = make_farm(lanes=lanes, growing=rows)
    farm = with_trough(farm, "Annex", more, slots=4) if more else farm
    bundles = bundles_of(farm)
    names = [place.name for bundle in bundles for place in bundle.places]
    assert sorted(names) == sorted(place.name for place in farm.places_of(PlaceKind.LANE))
    alone = min(busy, lanes) if lanes + more <= MOST_BUNDLES else 0
    kinds = alone + (lanes > alone) + (more > 0)
    assert len(bundles) == max(kinds, min(MOST_BUNDLES, lanes + more))
    for bundle in bundles:
        assert len({(place.belongs_to, place.slots) for place in bundle.places}) == 1


def test_rows_with_rafts_on_the_first_day_are_alone_while_there_are_few_rows():
    rows = [growing("Lettuce", StageKind.RAFT, -1, 6, 1, place="Trough 5")]
    assert lanes_by_bundle(make_farm(lanes=MOST_BUNDLES, growing=rows))["Trough 5"] == ["Trough 5"]
    assert len(lanes_by_bundle(make_farm(lanes=12, growing=rows))) == MOST_BUNDLES


def test_rows_that_not_every_crop_may_use_are_bundled_apart():
    crops = [quick_crop(), quick_crop("Kale", lanes=[f"Trough {n}" for n in range(1, 6)])]
    farm = make_farm(lanes=12, crops=crops)
    kale = farm.crops["Kale"].lanes
    for bundle in bundles_of(farm):
        assert lanes_of([bundle]) <= kale or not lanes_of([bundle]) & kale


def test_rows_of_one_bundle_whose_slots_change_still_take_all_the_plan_sets_out():
    # 14 rows are more than there are bundles, so some stand together; two slots of each close on day 12.
    demands = [delivery("Lettuce", day, 12 * 6, priority=3) for day in (9, 13, 16)]
    farm = make_farm(
        days=20,
        lanes=14,
        lane_slots=((EVER, 3), (12, 1)),
        rafts=99,
        tier_slots=99,
        crops=[quick_crop()],
        demands=demands,
    )
    assert len(bundles_of(farm)) < 14
    assert got(solved(farm)) == {demand.name: demand.amount for demand in demands}


def test_rafts_found_in_a_row_whose_slots_close_are_planned_row_by_row():
    # Rows 1 and 2 in one bundle had 6 slots left together, and 5 rafts were kept in row 1, which has 3.
    found = [growing("Lettuce", StageKind.RAFT, 0, 6, 1, lot=f"A{n}", order=n) for n in range(1, 7)]
    found.append(growing("Lettuce", StageKind.RAFT, 0, 6, 1, lot="B", place="Trough 2"))
    farm = make_farm(
        days=20,
        lanes=14,
        lane_slots=((EVER, 6), (5, 3)),
        crops=[quick_crop(raft=(6, 6, 10_000))],
        demands=[delivery("Lettuce", 6, 36, max_age=0)],
        growing=found,
    )
    assert got(solved(farm)) == {"Lettuce 6": 24}

"""Trays, boards and rafts are whole, shared only where the book allows, and kept until their last plant."""

import pytest
from farms import RAFT, delivery, growing, make_farm
from solving import allows, boarded, cut, quick_crop, rows

from scheduler.farm.crops import StageKind
from scheduler.model.rules.cuts import cuts
from scheduler.model.rules.units import whole_units

EVERY_DAY = [delivery(name, day, 100, max_age=1) for name in ("Lettuce", "Kale") for day in range(8, 22, 2)]


def farm(**needs):
    crop = needs.pop("crop", {})
    crops = [quick_crop(**crop), quick_crop("Kale", **crop)]
    return make_farm(**({"days": 24, "crops": crops, "demands": EVERY_DAY} | needs))


def count(counts, day, **wanted):
    found = [
        v
        for (group, until), v in counts.items()
        if until == day and all(getattr(group, name) == value for name, value in wanted.items())
    ]
    assert len(found) == 1
    return found[0]


def owned_by(counts, day, crop, enters):
    """The units of the lot sown on day 1."""
    found = [
        v
        for (group, until), v in counts.items()
        if until == day and group.enters == enters and group.owner and group.owner[:2] == (crop, 1)
    ]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(
    ("sown", "trays", "allowed"), [(5, 1, True), (6, 1, False), (10, 2, True), (11, 2, False)]
)
def test_a_tray_holds_the_rows_it_has(sown, trays, allowed):
    assert allowed is allows(
        farm(),
        whole_units,
        lambda c: [(rows(c, crop="Lettuce", sown=1, day=5), sown), (count(c.trays, 5, enters=1), trays)],
    )


@pytest.mark.parametrize(("lettuce", "kale", "allowed"), [(3, 2, True), (3, 3, False)])
def test_lots_of_one_day_share_a_tray_row_by_row(lettuce, kale, allowed):
    assert allowed is allows(
        farm(),
        whole_units,
        lambda c: [
            (rows(c, crop="Lettuce", sown=1, day=5), lettuce),
            (rows(c, crop="Kale", sown=1, day=5), kale),
            (count(c.trays, 5, enters=1), 1),
        ],
    )


def test_without_sharing_each_lot_has_trays_of_its_own():
    made = farm(rules={"share_trays": False})

    def fixed(trays):
        return lambda c: [
            (rows(c, crop="Lettuce", sown=1, day=5), 1),
            (rows(c, crop="Kale", sown=1, day=5), 1),
            *((owned_by(c.trays, 5, crop, 1), trays) for crop in ("Lettuce", "Kale")),
        ]

    assert allows(made, whole_units, fixed(1))
    assert not allows(made, whole_units, fixed(0))


@pytest.mark.parametrize(
    ("later", "trays", "allowed"), [(1, 1, True), (1, 0, False), (5, 1, True), (6, 1, False)]
)
def test_a_tray_stays_until_the_last_of_its_rows_leaves(later, trays, allowed):
    # Rows of the lot that leave on day 4 do not count on day 5.
    assert allowed is allows(
        farm(),
        whole_units,
        lambda c: [
            (rows(c, crop="Lettuce", sown=1, day=4), 4),
            (rows(c, crop="Lettuce", sown=1, day=5), later),
            (count(c.trays, 4, enters=1), 2),
            (count(c.trays, 5, enters=1), trays),
        ],
    )


BOARDED = {"board": (3, 1, 10_000)}


@pytest.mark.parametrize(("plants", "allowed"), [(24, True), (25, False)])
def test_a_board_holds_the_plants_it_has_holes_for(plants, allowed):
    made = farm(crop=BOARDED)
    assert allowed is allows(
        made,
        whole_units,
        lambda c: [
            (boarded(c, 1, 5, 8, crop="Lettuce"), plants),
            (owned_by(c.boards, 8, "Lettuce", 5), 2),
        ],
    )


@pytest.mark.parametrize(("kale", "allowed"), [(6, True), (7, False)])
def test_boards_are_shared_only_where_the_book_allows(kale, allowed):
    def plants(c):
        return [(boarded(c, 1, 5, 8, crop="Lettuce"), 6), (boarded(c, 1, 5, 8, crop="Kale"), kale)]

    shared = farm(crop=BOARDED, rules={"share_boards": True})
    assert allowed is allows(shared, whole_units, lambda c: [*plants(c), (count(c.boards, 8, enters=5), 1)])
    apart = farm(crop=BOARDED)
    for boards, enough in ((1, True), (0, False)):
        assert enough is allows(
            apart,
            whole_units,
            lambda c, boards=boards: [*plants(c), (owned_by(c.boards, 8, "Lettuce", 5), boards)],
        )


def fixed_rafts(plants, rafts):
    """Plants cut on each day, and rafts emptied on each."""

    def amounts(chosen):
        given = []
        for day in (4, 5, 6):
            given.append((cut(chosen, 0, day, source=None), plants.get(day, 0)))
            given.append((count(chosen.rafts, day, kind=RAFT, enters=0, per_unit=6), rafts.get(day, 0)))
        thrown = [(v, 0) for v in chosen.thrown.values()]
        first = [(count(chosen.rafts, 0, kind=RAFT, enters=0, per_unit=6), 0)]
        return [*given, *thrown, *first]

    return amounts


@pytest.mark.parametrize(
    ("plants", "rafts", "allowed"),
    [
        ({4: 6, 6: 6}, {4: 1, 6: 1}, True),
        ({4: 5, 6: 7}, {4: 1, 6: 1}, False),
        ({4: 5, 6: 7}, {6: 2}, True),
        ({4: 12}, {4: 2}, True),
        ({4: 12}, {4: 1}, False),
        ({4: 4, 5: 4, 6: 4}, {5: 1, 6: 1}, True),
        ({4: 4, 5: 4, 6: 4}, {4: 1, 6: 1}, False),
    ],
)
def test_a_raft_is_emptied_with_the_last_of_its_plants(plants, rafts, allowed):
    made = farm(
        growing=[growing("Lettuce", StageKind.RAFT, 0, 12, 2)],
        demands=[delivery("Lettuce", 6, 99, max_age=2)],
    )
    assert allowed is allows(made, whole_units, fixed_rafts(plants, rafts), support=[cuts])


@pytest.mark.parametrize(("rafts", "allowed"), [(3, True), (2, False)])
def test_growing_units_hold_what_stands_in_them_and_no_more(rafts, allowed):
    # 13 plants in 3 rafts: at most 5 in one.
    made = farm(
        growing=[growing("Lettuce", StageKind.RAFT, 0, 13, 3)],
        demands=[delivery("Lettuce", 4, 99, max_age=0)],
    )
    assert allowed is allows(
        made,
        whole_units,
        lambda c: [
            (cut(c, 0, 4, source=None), 13),
            *((v, 0) for v in c.thrown.values()),
            *((v, 0) for (group, day), v in c.rafts.items() if group.per_unit == 5 and day != 4),
            (count(c.rafts, 4, per_unit=5), rafts),
        ],
        support=[cuts],
    )

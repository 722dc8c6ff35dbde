"""The sum over a day's harvest lines: heads, pieces and grams each by themselves."""

from dataclasses import replace

import pytest
from farms import make_crop, make_farm, make_greens

from scheduler.outputs.cautions import cautions_for
from scheduler.outputs.report.week import _brief, _cautions, _harvested, harvest_heading
from scheduler.plan.views.ledger import Spot
from scheduler.plan.views.lines import Cutting, Picking, Soaking, Sowing
from scheduler.plan.views.week import Week, WorkDay


def picked(crop, heads):
    spot = Spot.__new__(Spot)
    return Picking(
        lot=f"{crop} 1", crop=crop, bed=spot, plants=5, heads=heads, numbers=(1,), whom=(), spare=0
    )


@pytest.fixture
def farm():
    made = make_farm(crops=[make_crop("Pepper"), make_crop("Tomato")])
    weighed = replace(made.crops["Tomato"], grams=250)
    return replace(made, crops=made.crops | {"Tomato": weighed})


def test_what_is_weighed_is_not_added_to_what_is_counted(farm):
    assert farm.crops["Tomato"].is_sold_by_mass
    lines = (picked("Tomato", 400), picked("Pepper", 12), picked("Tomato", 600))
    day = WorkDay(day=0, work={"pick": lines}, minutes={}, crew=None, closed=(), troughs=(), shelves=())
    assert _harvested(farm, day, "pick") == "12 heads, 1,000 g"


def week(**work):
    """Return a week whose work of each kind is done on two days, as repeat cuts and pickings are."""
    days = tuple(
        WorkDay(day=day, work=work, minutes={}, crew=None, closed=(), troughs=(), shelves=())
        for day in (0, 3)
    )
    return Week(number=1, first=0, last=6, days=days, deliveries=(), targets=())


def test_the_contents_count_what_is_picked_in_beds_beside_what_is_cut(farm):
    found = week(cut=(picked("Pepper", 5),), pick=(picked("Tomato", 400), picked("Pepper", 12)))
    assert _brief(farm, found)["harvest"] == "34 heads, 800 g"
    assert harvest_heading(farm) == "Cut"


def test_the_contents_tell_what_is_counted_and_what_is_weighed_in_the_same_order_every_week(farm):
    lines = picked("Tomato", 400), picked("Pepper", 12)
    one, other = (_brief(farm, week(pick=told))["harvest"] for told in (lines, lines[::-1]))
    assert one == other == "24 heads, 800 g"


def test_the_contents_of_a_farm_of_beds_alone_count_its_pickings():
    made = make_farm(crops=[make_crop("Pepper")])
    assert harvest_heading(made) == "Heads cut"
    assert _brief(made, week(pick=(picked("Pepper", 12),)))["harvest"] == "24"
    assert _brief(made, week())["harvest"] == ""


def cautioned(made, work, line, *names):
    """What is cautioned of where the work is on crops of these names."""
    lines = tuple(line.__new__(line) for _ in names)
    for each, name in zip(lines, names, strict=True):
        object.__setattr__(each, "crop", name)
    day = WorkDay(day=0, work={work: lines}, minutes={}, crew=None, closed=(), troughs=(), shelves=())
    return list(_cautions(made, day, work))


@pytest.fixture
def both():
    return make_farm(crops=[make_crop("Lettuce"), make_greens("Radish", days=8, window=2, grams=150)])


def test_wet_rafts_are_no_care_of_who_cuts_trays_alone(both):
    wet = "Wet rafts are heavy: lift with two."
    assert wet in cautioned(both, "cut", Cutting, "Lettuce")
    assert wet in cautioned(both, "cut", Cutting, "Radish", "Lettuce")
    assert wet not in cautioned(both, "cut", Cutting, "Radish")


def test_what_the_seed_of_microgreens_must_be_is_told_where_they_are_sown(both):
    general = "Treated seed: never for microgreens."
    told = "Microgreens: only seed whose label tells of no treatment."
    assert cautioned(both, "sow", Sowing, "Lettuce") == [general]
    assert cautioned(both, "sow", Sowing, "Lettuce", "Radish") == [told]
    assert cautioned(both, "soak", Soaking, "Radish")[0] == told
    pots = make_farm(crops=[make_greens("Basil pots", days=30, window=7)])
    assert cautioned(pots, "sow", Sowing, "Basil pots") == [general]


def test_picking_has_the_caution_for_hands_and_knives():
    assert [each.name for each in cautions_for("pick")] == ["knives"]

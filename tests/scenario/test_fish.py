"""A second fish tank as a scenario."""

from datetime import date

from scenarios import farm_with, faults_with, one

TANKS = (
    "tank,species,from,fish,start_mass,growth_percent,feed_ratio,harvest_weeks\n"
    "Tank 1,Tilapia,2026-01-05,120,0.05,8,1.5,24\n"
)
LOOPS = "loop,part,from,to\nNorth,Tank 1,,2026-04-30\nNorth,North trough,,\nSouth,Tank 1,2026-05-01,\n"
APRIL = date(2026, 3, 30)


def test_a_tank_more_is_like_the_one_there_is_and_stocked_on_the_day_of_the_change(tmp_path):
    text = one("add fish tank", tank="Tank 2", like="Tank 1", from_=APRIL)
    first, second = farm_with(tmp_path, text, fish_tanks=TANKS).water.tanks
    assert (second.name, second.stocked, second.first_harvest) == ("Tank 2", 28, 28 + 168)
    assert (second.fish, second.start_mass, second.growth) == (first.fish, first.start_mass, first.growth)


def test_it_feeds_the_loops_of_the_one_it_is_like_or_the_one_named(tmp_path):
    like = one("add fish tank", tank="Tank 2", like="Tank 1", fish=60)
    water = farm_with(tmp_path, like, fish_tanks=TANKS, loops=LOOPS).water
    assert water.tanks[1].fish == 60
    assert [water.loops_on(day)["Tank 2"] for day in (0, 70)] == ["North", "South"]
    named = one("add fish tank", tank="Tank 2", like="Tank 1", loop="North", from_=APRIL, to=date(2026, 9, 1))
    water = farm_with(tmp_path, named, fish_tanks=TANKS, loops=LOOPS).water
    assert [water.loops_on(day)["Tank 2"] for day in (0, 70)] == ["North", "North"]
    assert water.tanks[1].until == (date(2026, 9, 1) - date(2026, 3, 2)).days


def test_a_name_that_is_taken_and_a_tank_that_is_not_there_are_told_at_their_keys(tmp_path):
    taken = one("add fish tank", tank="Tank 1", like="Tank 1")
    found = faults_with(tmp_path, taken, fish_tanks=TANKS)
    assert len(found) == 1
    assert found[0].startswith("s1.toml: change 1 (add fish tank), tank: found 'Tank 1' again")
    unknown = one("add fish tank", tank="Tank 2", like="Tank 7")
    found = faults_with(tmp_path, unknown, fish_tanks=TANKS)
    assert len(found) == 1
    assert found[0].startswith("s1.toml: change 1 (add fish tank), like: found 'Tank 7'")

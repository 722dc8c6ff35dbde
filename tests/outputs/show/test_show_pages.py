"""Pages for the terminal, to the letter: what each answers, in 80 columns and on one screen."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm, make_greens, target
from plans import Batch, build
from samples import task

from scheduler.farm.places import PlaceKind, Steps
from scheduler.outputs.show.answer import ASKS, WORDS, answer, tables_for
from scheduler.outputs.show.finding import NotFound, named
from scheduler.outputs.show.page import rendered
from scheduler.outputs.show.work import hours
from scheduler.plan.rows import HoursRow

BUT, BAS = "BUT-260302", "BAS-260311"


def farm_and_plan():
    """Two lots, a firm and a flexible delivery, one that is too early, and a target."""
    farm = make_farm(
        lanes=2,
        crew=240_00,
        crops=[
            make_crop("Butterhead", code="BUT"),
            make_crop("Basil", code="BAS", board=None, cuts=2, interval=7, raft=(14, 9, 10_000)),
        ],
        products={"Leaf lettuce": {"Butterhead": 1000}},
        demands=[
            delivery("Leaf lettuce", 35, 7, order="HT-1"),
            delivery("Leaf lettuce", 36, 9, order="HT-1", firm=False),
            delivery("Basil", 37, 6, order="GM-1", customer="Gull Market"),
            delivery("Basil", 3, 6, order="GM-1", customer="Gull Market"),
            target("Butterhead", 28, 4, order="Saturday market"),
        ],
    )
    plan = build(
        farm,
        Batch(crop="Butterhead"),
        Batch(
            crop="Basil",
            sown=9,
            board_day=None,
            raft_day=19,
            rafts=(6,),
            cuts=((37, 6), (44, 2)),
            lane="Trough 2",
        ),
        fills=[
            ("Leaf lettuce 35", BUT, 34, 7),
            ("Leaf lettuce 36", BUT, 34, 2),
            ("Butterhead 28", BUT, 34, 2),
            ("Basil 37", BAS, 37, 6),
        ],
    )
    tasks = (
        task(
            "a", 0, "sow", units=1, plants=12, to="Shelf 1 slot 1", note="12 seeds", unit_kind="20-cell tray"
        ),
        task("b", 2, "order", lot="", crop="Basil seed", units=1, unit_kind="", plants=500, to=""),
        task(
            "c",
            34,
            "cut",
            unit_kind="6-hole raft",
            plants=12,
            where="Trough 1 slots 1-2",
            to="",
            note="12 plants; 7 for Leaf lettuce 35 (Harbour Table)",
        ),
        task("d", 35, "deliver", lot="", crop="Leaf lettuce", units=0, plants=7, to="Harbour Table"),
        task("e", 35, "deliver", lot="", crop="Basil", units=0, plants=6, to="Harbour Table"),
        task("f", 35, "deliver", lot="", crop="Basil", units=0, plants=5, to="Gull Market"),
    )
    reason = "the rows of Trough were full from 2 March to 5 April"
    short = (replace(row, reason=reason) if row.state == "short" else row for row in plan.demands)
    work = (
        HoursRow(day=0, work="sow", minutes=30_00, crew=None),
        HoursRow(day=34, work="cut", minutes=90_00, crew=None),
    )
    return farm, replace(plan, tasks=tasks, demands=tuple(short), hours=work)


@pytest.fixture(scope="module")
def made():
    return farm_and_plan()


def shown(made, word, name="", day=0, **how):
    return rendered(answer(*made, word, name, day), **how)


def test_without_a_question_it_says_what_can_be_asked(made):
    assert (
        shown(made, "")
        == """\
Test farm: Mon 2 Mar 2026 to Sun 7 Jun 2026
Deliveries: firm 2 of 3 filled, 1 too early; flexible 0 of 1 filled, 1 short;
weeks of targets 0 of 1 filled, 1 too early
Next work: Mon 2 Mar

What can be shown
week [DATE]     the work of a week, day by day in sums
today, day DATE the work of one day, every task of it
crop NAME       Butterhead, Basil
customer NAME   Gull Market, Harbour Table, Saturday market
tier NAME       Shelf 1
zone NAME       Trough boards
row NAME        Trough 1, Trough 2
lot CODE        one of 2 lots, such as BUT-260302
short           the deliveries that are not filled, and why
money           what each crop earns for the space it takes
"""
    )


@pytest.mark.parametrize("word", ASKS)
def test_a_question_looks_at_no_table_but_those_that_are_read_for_it(made, word):
    farm, plan = made

    class Watched:
        seen: set[str] = set()

        def __getattr__(self, table):
            self.seen.add(table)
            return getattr(plan, table)

    for day in (2, 35):
        assert rendered(answer(farm, Watched(), word, "", day)) == shown(made, word, day=day)
    assert Watched.seen == set(tables_for(word))


def test_a_week_goes_from_monday_to_sunday_whatever_its_day(made):
    page = shown(made, "week", day=2)
    assert (
        page
        == """\
Test farm: Mon 2 Mar 2026 to Sun 8 Mar 2026
30 minutes of work
Mon  2 Mar Sow 1 tray    Butterhead 12 cells
Tue  3 Mar nothing to do
Wed  4 Mar Order 1 pack  Basil seed
Thu  5 Mar nothing to do
Fri  6 Mar nothing to do
Sat  7 Mar nothing to do
Sun  8 Mar nothing to do
"""
    )
    assert page == shown(made, "week", day=6)
    assert page != shown(made, "week", day=7)


def test_deliveries_of_a_day_are_put_together_by_customer(made):
    assert (
        "Mon  6 Apr Deliver 18 units Harbour Table: Leaf lettuce 7, Basil 6; Gull Market:\n"
        "                            Basil 5\n"
    ) in shown(made, "week", day=35)


def test_heads_and_grams_of_a_day_are_told_by_themselves(made):
    farm, plan = made
    crops = farm.crops | {"Cress": make_greens("Cress", grams=150, days=6, window=2)}
    cut = next(each for each in plan.tasks if each.work == "cut")
    greens = replace(cut, key="g", lot="CRE-1", crop="Cress", unit_kind="open tray", units=2, plants=1450)
    both = replace(plan, tasks=(*plan.tasks, greens))
    page = rendered(answer(replace(farm, crops=crops), both, "week", "", 34))
    assert "Cut 12 heads, 1,450 g" in page
    assert "Butterhead 12, Cress 1,450 g" in " ".join(page.split())
    page = rendered(answer(replace(farm, crops=crops), both, "day", "", 34))
    assert "\nCut 12 heads, 1,450 g\n" in page


def test_open_trays_that_are_sown_are_counted_as_trays_and_not_as_cells(made):
    farm, plan = made
    crops = farm.crops | {"Cress": make_greens("Cress", grams=150, days=6, window=2)}
    sow = next(each for each in plan.tasks if each.work == "sow")
    open_trays = replace(sow, key="g", lot="CRE-1", crop="Cress", unit_kind="open tray", units=2, plants=2)
    both = replace(plan, tasks=(*plan.tasks, open_trays))
    page = rendered(answer(replace(farm, crops=crops), both, "week", "", sow.day))
    assert f"{sow.crop} {sow.plants} cells, Cress 2 trays" in " ".join(page.split())
    page = rendered(answer(replace(farm, crops=crops), both, "day", "", sow.day))
    assert "CRE-1 Cress: 2 x open tray; to " in " ".join(page.split())
    alone = replace(plan, tasks=(open_trays,))
    assert "Cress 2 trays" in rendered(answer(replace(farm, crops=crops), alone, "week", "", sow.day))


def test_a_long_day_tells_grams_as_grams(made):
    farm, plan = made
    crops = farm.crops | {"Cress": make_greens("Cress", grams=150, days=6, window=2)}
    cut = next(each for each in plan.tasks if each.work == "cut")
    many = [replace(cut, key=f"g{at}", lot=f"C-{at}", crop="Cress", plants=1450) for at in range(60)]
    page = rendered(answer(replace(farm, crops=crops), replace(plan, tasks=tuple(many)), "day", "", 34))
    assert "Cut 87,000 g" in page
    assert "1,450 g at Trough 1" in page


def test_a_day_has_every_task_whole(made):
    assert (
        shown(made, "day", day=34)
        == """\
Test farm: Sun 5 Apr 2026
1.5 hours of work, the crew has 4.0 hours

Cut 12 heads
  BUT-260302 Butterhead: 2 x 6-hole raft, 12 heads; at Trough 1 slots 1-2. 12
  plants; 7 for Leaf lettuce 35 (Harbour Table).
"""
    )


def test_a_day_without_work_says_so(made):
    assert shown(made, "today", day=1) == "Test farm: Tue 3 Mar 2026\nNothing to do.\n"


def test_a_crop_says_where_it_stands_what_is_sown_and_who_gets_its_heads(made):
    assert (
        shown(made, "crop", "Basil", 8)
        == """\
Basil (Basil one), seen on Tue 10 Mar 2026
tray 10 days > raft 14 days; cut up to 2 times, 7 days apart

Where it stands when the work of the day is done
None of it stands anywhere.

To be sown: 1 lot
Wed 11 Mar BAS-260311 12 cells 8 heads rafts 21 Mar, cut 8 Apr-15 Apr

To be cut: 8 heads, by week
Mon  6 Apr 6 heads Gull Market 6
Mon 13 Apr 2 heads 2 not asked for
"""
    )
    assert (
        shown(made, "crop", "Butterhead", 20)
        == """\
Butterhead (Butterhead one), seen on Sun 22 Mar 2026
tray 10 days > board 10 days > raft 14 days

Where it stands when the work of the day is done
Trough 1 2 rafts 12 plants BUT-260302

Not sown again

To be cut: 12 heads, by week
Mon 30 Mar 12 heads Harbour Table 9, Saturday market 2; 1 not asked for
"""
    )


def test_a_customer_sees_each_delivery_with_its_state_and_lots(made):
    assert (
        shown(made, "customer", "Harbour Table")
        == """\
Harbour Table, from Mon 2 Mar 2026
Whole plan: firm 1 of 1 filled; flexible 0 of 1 filled, 1 short
Still to come: Leaf lettuce 9

Mon  6 Apr Leaf lettuce      7 filled          BUT-260302 7
Tue  7 Apr Leaf lettuce 2 of 9 flexible, short BUT-260302 2
"""
    )


def test_a_target_is_asked_for_as_a_customer(made):
    assert (
        shown(made, "customer", "Saturday market")
        == """\
Saturday market, from Mon 2 Mar 2026
Whole plan: weeks of targets 0 of 1 filled, 1 too early
Still to come: Butterhead 2

Mon 30 Mar Butterhead 2 of 4 too early BUT-260302 2
"""
    )


def test_a_customer_with_nothing_more_to_come_is_told_so(made):
    assert shown(made, "customer", "Gull Market", 90).endswith("Nothing more is to be delivered.\n")


def test_a_row_shows_its_slots_and_what_comes(made):
    page = shown(made, "lane", "Trough 1", 19)
    assert (
        page
        == """\
Trough 1, when the work of Sat 21 Mar 2026 is done
0 rafts in 6 slots; slot 1 is at the harvest end
free: slots 1-6

What happens through Fri 10 Apr
Sun 22 Mar comes in BUT-260302: 2 rafts, 12 plants, to slots 1-2
Sun  5 Apr cut      BUT-260302: 12 heads of 12 plants, from slots 1-2
"""
    )
    assert shown(made, "row", "Trough 1", 19) == page
    assert (
        shown(made, "lane", "Trough 2", 40)
        == """\
Trough 2, when the work of Sat 11 Apr 2026 is done
1 raft in 6 slots; slot 1 is at the harvest end
1 R3 BAS-260311 Basil, 6 plants, cut Wed 15 Apr
free: slots 2-6

What happens through Fri 1 May
Wed 15 Apr cut BAS-260311: 2 heads of 2 plants, from slot 1
"""
    )


def test_a_tier_or_board_zone_shows_its_slots_and_what_stands_there_week_by_week(made):
    page = shown(made, "tier", "shelf-1", 9)
    assert (
        page
        == """\
Shelf 1, when the work of Wed 11 Mar 2026 is done
2 trays in 8 slots
1 T1 BUT-260302 Butterhead, 12 cells, goes on Thu 12 Mar
2 T2 BAS-260311 Basil, 12 cells, goes on Sat 21 Mar
free: slots 3-8

What happens through Tue 31 Mar
Wed 11 Mar comes in BAS-260311: 1 tray, 12 cells, to slot 2
Thu 12 Mar goes out BUT-260302: 1 tray, 12 cells, from slot 1
Sat 21 Mar goes out BAS-260311: 1 tray, 12 cells, from slot 2

Week by week, on its fullest day; a number is how many trays a lot has
Wed 11 Mar 2 of 8 BUT-260302, BAS-260311
Mon 16 Mar 1 of 8 BAS-260311
Mon 23 Mar 0 of 8 nothing
Mon 30 Mar 0 of 8 nothing
Mon  6 Apr 0 of 8 nothing
Mon 13 Apr 0 of 8 nothing
Mon 20 Apr 0 of 8 nothing
Mon 27 Apr 0 of 8 nothing
and 5 more weeks; --today DATE begins later
"""
    )
    assert shown(made, "lane", "Shelf 1", 9) == page
    zone = shown(made, "zone", "Trough boards", 10)
    assert "\n1 B1 BUT-260302 Butterhead, 12 plants, goes on Sun 22 Mar\n" in zone
    assert "a number is how many boards a lot has\nThu 12 Mar 1 of 8 BUT-260302\n" in zone
    assert "Nothing happens there through Sun 7 Jun.\n" in shown(made, "lane", "Trough boards", 97)


def test_several_trays_of_a_lot_are_counted_and_a_closed_tier_is_told(made):
    farm, plan = made
    another = replace(plan.units[0], unit="T9")
    (stand,) = (row for row in plan.positions if row.unit == plan.units[0].unit)
    inside = [row for row in plan.contents if row.unit == plan.units[0].unit]
    plan = replace(
        plan,
        units=(*plan.units, another),
        positions=(*plan.positions, replace(stand, unit="T9", slot=3)),
        contents=(*plan.contents, *(replace(row, unit="T9") for row in inside)),
    )
    shelf = farm.place("Shelf 1")
    shut = replace(shelf, slots=Steps(((-100, 8), (14, 0), (21, 8))))
    farm = replace(farm, places=tuple(shut if place is shelf else place for place in farm.places))
    page = shown((farm, plan), "tier", "Shelf 1", 0)
    assert "\nMon  2 Mar 2 of 8 BUT-260302 2\n" in page
    assert "\nMon 16 Mar 1 of 0 BAS-260311\n" in page
    assert "\nMon 23 Mar 0 of 8 nothing\n" in page
    empty = shown((farm, replace(plan, positions=())), "tier", "Shelf 1", 0)
    assert "\nMon 16 Mar closed nothing\n" in empty


def test_what_left_a_board_today_stands_there_no_more(made):
    farm, plan = made
    board = next(row for row in plan.contents if row.unit == "B1")
    some = [replace(board, plants=8), replace(board, lot=BAS, plants=4, leaves=15)]
    others = tuple(row for row in plan.contents if row.unit != "B1")
    page = shown((farm, replace(plan, contents=(*others, *some))), "zone", "Trough boards", 15)
    assert "\n1 B1 BUT-260302 Butterhead, 8 plants, goes on Sun 22 Mar\n" in page


def test_a_tier_is_no_zone_and_a_farm_without_zones_says_so(made):
    with pytest.raises(NotFound, match="^no board zone 'Shelf 1'. There is Trough boards.$"):
        answer(*made, "zone", "Shelf 1", 0)
    with pytest.raises(NotFound, match="^no tier 'Trough 1'. There is Shelf 1.$"):
        answer(*made, "tier", "Trough 1", 0)
    farm, plan = made
    rows = tuple(place for place in farm.places if place.kind is not PlaceKind.ZONE)
    with pytest.raises(NotFound, match="^the plan has no board zone; raftway show PLAN lists what there is$"):
        answer(replace(farm, places=rows), plan, "zone", "Trough boards", 0)


def test_a_lot_tells_its_way_from_seed_to_delivery(made):
    assert (
        shown(made, "lot", BUT)
        == """\
Lot BUT-260302: Butterhead (Butterhead one)
Sown Mon 2 Mar 2026: 12 seeds in 12 cells, 12 good seedlings expected

In trays
Mon  2 Mar to Thu 12 Mar 12 cells Shelf 1 slot 1: T1

On boards
Thu 12 Mar to Sun 22 Mar 12 plants Trough boards slot 1: B1

On rafts, each until its last cut
Sun 22 Mar to Sun  5 Apr 12 plants Trough 1: R1, R2

Cut: 12 heads
Sun  5 Apr 12 plants, 12 heads from Trough 1, R1, R2

Delivered: 11 heads
Sun  5 Apr 2 heads for Saturday market, week of Mon 30 Mar: Butterhead
Mon  6 Apr 7 heads cut Sun 5 Apr, for Harbour Table: Leaf lettuce (HT-1)
Tue  7 Apr 2 heads cut Sun 5 Apr, for Harbour Table: Leaf lettuce (HT-1)
Not asked for: 1 head
"""
    )


def test_what_is_short_comes_with_its_reason_and_what_is_too_early_apart(made):
    assert (
        shown(made, "short")
        == """\
Short: 1 delivery, with what comes of what was ordered
Tue  7 Apr 2 of 9 Leaf lettuce for Harbour Table, flexible
  the rows of Trough were full from 2 March to 5 April

Too early for any new sowing: 2 (not counted as short)
Thu  5 Mar Gull Market     Basil      0 of 6 first possible Thu 26 Mar
Mon 30 Mar Saturday market Butterhead 2 of 4 first possible Sun 5 Apr
"""
    )


def test_when_nothing_is_short_it_says_so(made):
    farm, plan = made
    full = replace(plan, demands=tuple(replace(row, state="filled") for row in plan.demands))
    assert shown((farm, full), "short") == "Nothing is short.\n"


def test_a_name_may_be_typed_in_small_letters_and_with_hyphens(made):
    assert shown(made, "customer", "harbour-table") == shown(made, "customer", "Harbour Table")
    assert shown(made, "lot", "but-260302") == shown(made, "lot", BUT)


@pytest.mark.parametrize(
    ("word", "name", "told"),
    [
        ("crop", "Basl", "no crop 'Basl'; did you mean Basil? There is Butterhead, Basil."),
        ("crop", "Mint", "no crop 'Mint'. There is Butterhead, Basil."),
        (
            "lane",
            "Trough 9",
            "no row, board zone or tier 'Trough 9'; did you mean Trough 2? "
            "There is Shelf 1, Trough boards, Trough 1, Trough 2.",
        ),
        ("lot", "BUT", "no lot 'BUT'; did you mean BUT-260302? There is BUT-260302, BAS-260311."),
        ("shelf", "1", "say what 'Shelf 1' is: tier Shelf 1"),
        ("basil", "", "say what 'Basil' is: crop Basil"),
        ("trough", "1", "say what 'Trough 1' is: row Trough 1"),
        ("gull", "market", "say what 'Gull Market' is: customer Gull Market"),
        ("Nothing", "", f"'Nothing' is nothing that can be shown; there is {', '.join(WORDS)}"),
        ("crop", "\x1b[2J", "no crop ' [2J'. There is Butterhead, Basil."),
    ],
)
def test_a_name_that_is_not_there_brings_those_that_are(made, word, name, told):
    with pytest.raises(NotFound) as wrong:
        answer(*made, word, name, 0)
    assert str(wrong.value) == told


def test_a_name_is_found_by_one_of_its_words():
    with pytest.raises(NotFound) as wrong:
        named("Basil", ["Dill", "Genovese basil"], "crop")
    assert str(wrong.value) == "no crop 'Basil'; did you mean Genovese basil? There is Dill, Genovese basil."


def test_of_many_names_only_the_nearest_are_said():
    lots = [f"BUT-26{n:04}" for n in range(300)]
    with pytest.raises(NotFound) as wrong:
        named("BUT-26001", lots, "lot")
    assert str(wrong.value).startswith("no lot 'BUT-26001'; near it are BUT-260010, BUT-260011, ")
    assert str(wrong.value).count("BUT-26") == 6
    with pytest.raises(NotFound, match="there are, among others, BUT-260000, BUT-260001"):
        named("Zinnia", lots, "lot")


def test_of_nothing_there_is_no_name():
    with pytest.raises(NotFound, match="^the plan has no lot; raftway show PLAN lists what there is$"):
        named("BUT", [], "lot")


@pytest.mark.parametrize(
    ("hundredths", "said"),
    [(0, "0 minutes"), (60, "1 minute"), (59_00, "59 minutes"), (60_00, "1.0 hours"), (900_00, "15.0 hours")],
)
def test_time_is_told_in_minutes_up_to_an_hour(hundredths, said):
    assert hours(hundredths) == said


def test_a_terminal_gets_bold_heads_and_a_pipe_plain_lines_without_blanks_at_their_end(made):
    assert "\x1b[1m" in shown(made, "crop", "Basil", styled=True)
    for word, name in (("", ""), ("crop", "Basil"), ("lot", BUT), ("week", "")):
        page = shown(made, word, name)
        assert "\x1b" not in page
        assert all(line == line.rstrip() for line in page.splitlines())

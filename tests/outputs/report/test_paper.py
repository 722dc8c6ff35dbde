"""How much paper weeks take by estimate, which of them share a page, and what is printed to begin with."""

from farms import delivery, make_farm
from plans import Batch, build

from scheduler.outputs.report.page import report_html
from scheduler.outputs.report.paper import PAGE, first_ticked, lines_of_week, sheaves
from scheduler.outputs.report.pictures import Pictures
from scheduler.outputs.report.week import week_sheet
from scheduler.plan.views.week import week_sheets


def farm_and_plan(days=42):
    farm = make_farm(days=days, demands=[delivery("Lettuce", 33, 6)])
    return farm, build(farm, Batch(board_day=10, raft_day=20, cuts=((33, 6),)))


def sheets(days=42):
    farm, plan = farm_and_plan(days)
    pictures = Pictures(farm, plan)
    return [week_sheet(farm, week, pictures) for week in week_sheets(farm, plan)]


def numbers(found):
    return [[week.number for week in sheaf.weeks] for sheaf in found]


def test_weeks_share_a_page_as_far_as_it_has_room():
    weeks = sheets()
    found = sheaves(weeks)
    assert [week for sheaf in found for week in sheaf.weeks] == weeks
    for sheaf, after in zip(found, found[1:], strict=False):
        high = sum(map(lines_of_week, sheaf.weeks))
        assert high <= PAGE
        assert high + lines_of_week(after.weeks[0]) > PAGE
    assert numbers(found) == [[1, 2], [3, 4], [5, 6]]


def test_the_head_of_weeks_on_one_page_names_the_first_and_the_last():
    first, *_ = sheaves(sheets())
    assert (first.page, first.head) == ("week1to2", "Weeks 1 to 2, 2 to 15 March 2026")
    assert [sheaf.page for sheaf in sheaves(sheets(days=7))] == ["week1"]


def test_a_long_week_stands_alone_and_takes_only_idle_weeks_before_it(monkeypatch):
    monkeypatch.setattr("scheduler.outputs.report.paper.PAGE", 1.0)
    assert numbers(sheaves(sheets())) == [[1], [2], [3], [4, 5], [6]]


def test_four_weeks_are_printed_to_begin_with_and_those_that_share_their_page(monkeypatch):
    assert first_ticked(sheets()) == {1, 2, 3, 4}
    assert first_ticked(sheets(days=14)) == {1, 2}
    monkeypatch.setattr("scheduler.outputs.report.paper.FIRST_WEEKS", 3)
    assert first_ticked(sheets()) == {1, 2, 3, 4}


def test_the_page_has_a_tick_for_every_week_and_part_and_a_rule_for_each():
    farm, plan = farm_and_plan()
    html = report_html(farm, plan)
    names = [f"week-{number}" for number in range(1, 7)] + ["season", "orders", "numbers", "lots", "figures"]
    for name in names:
        assert html.count(f'id="print-{name}"') == 1
        assert f"#print-{name}:checked)) ~ " in html
    assert html.count(" checked>") == 4 + 2

"""The curve of pace and the days of each crop in the report."""

from dataclasses import replace

from farms import make_crop, make_farm
from plans import Batch, build

from scheduler.outputs.pace.chart import groups, pace_chart
from scheduler.outputs.pace.section import pace_section
from scheduler.outputs.report.page import report_html
from scheduler.plan.views.pace_curve import place_curves

SLOW = dict.fromkeys(range(14, 200), 500)


def farm_of(read=None):
    crop = make_crop("Lettuce", board=None, tray=(10, 3, 10_000), raft=(14, 6, 10_000))
    made = make_farm(days=28, crops=[crop])
    return replace(made, pace=replace(made.pace, read={"Trough": read or {}}))


def plan_of(farm):
    return build(farm, Batch(crop="Lettuce", sown=0, rows=1, board_day=None, raft_day=10))


def test_a_farm_that_always_grows_alike_has_no_such_part():
    farm = farm_of()
    assert pace_section(farm, plan_of(farm)) is None
    assert 'id="pace"' not in report_html(farm, plan_of(farm))


def test_each_crop_has_its_quickest_and_slowest_week_of_sowing():
    # 10 days in the tray; from day 14 on the raft takes twice as long: 4 days of growth before, 20 after.
    farm = farm_of(SLOW)
    section = pace_section(farm, plan_of(farm))
    (row,) = section.rows
    assert (row.fewest, row.sown_quick) == ("34", "2 Mar 2026")
    assert (row.most, row.sown_slow) == ("38", "9 Mar 2026")
    assert row.weeks == "34 38 38 38"


def test_places_that_grow_alike_are_one_line():
    farm = farm_of(SLOW)
    assert [names for names, _ in groups(place_curves(farm))] == ["Shelf", "Trough"]
    assert [names for names, _ in groups(place_curves(farm_of()))] == ["Shelf, Trough"]
    assert pace_chart(farm, plan_of(farm)).count("<svg") == 1


def test_the_report_shows_it_with_a_link_from_its_contents():
    farm = farm_of(SLOW)
    page = report_html(farm, plan_of(farm))
    assert 'href="#pace"' in page
    assert "34 38 38 38" in page

"""A limit in the terminal, on paper and as tables."""

import csv
import io
import re
from dataclasses import replace

import pytest
from farms import make_crop
from reports import tables_of
from rich.console import Console
from weeks import limit, small, week_of

from scheduler.model.capacity.frontier import frontier
from scheduler.model.settings import SolveSettings
from scheduler.outputs.limit.charts import frontier_chart
from scheduler.outputs.limit.lines import (
    LEFT_OUT,
    frontier_grid,
    frontier_sentences,
    grids,
    named,
    sentences,
    turning,
)
from scheduler.outputs.limit.page import limit_files, limit_html
from scheduler.outputs.limit.screen import print_limit
from scheduler.outputs.screen import WIDTH
from scheduler.plan.capacity import RoomKind, Season, Sought

BOARDS = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000))
ASKED = "A mix of your own"
HOSTILE = '=1+1 <b>East</b> & "x" ]]>\x07 {{ farm }}'


@pytest.fixture(scope="module")
def farm():
    """Two rows of 4 slots, which carry 84 heads a week, and boards for 60."""
    return small(crops=[BOARDS], lanes=2, lane_slots=4, zone_slots=5)


@pytest.fixture(scope="module")
def found(farm):
    return limit(farm, 20)


@pytest.fixture(scope="module")
def curves(farm):
    effort = SolveSettings(seconds=0, deterministic=True)
    return [frontier(week_of(farm, 20), what, effort, 60.0) for what in ("rows", "boards")]


def screen(*told):
    console = Console(file=io.StringIO(), width=120)
    print_limit(console, *told)
    return console.file.getvalue()


def test_the_screen_has_the_answers_side_by_side_within_80_columns(farm, found, curves):
    told = screen(farm, found, ASKED, curves)
    assert max(map(len, told.splitlines())) <= WIDTH
    assert re.search(r"^linear bound +3\.00 +60 nothing repeats with more *$", told, re.MULTILINE)
    assert re.search(r"^steady week of whole units +[0-3]\.\d\d +\d+ ", told, re.MULTILINE)
    assert re.search(r"^board slots of Trough boards +5 +100 % +12 *$", told, re.MULTILINE)
    assert re.search(r"^raft slots of Trough +8 +71 % +nothing *$", told, re.MULTILINE)
    assert "A mix of your own, 20 units a week, every week; week of 20 April 2026" in told


def test_the_screen_tells_of_numbers_that_are_left_out_only_where_there_are_some(farm, found, curves):
    short = replace(curves[0], points=(curves[0].points[0], curves[0].points[-1]), now=0, bends=())
    assert LEFT_OUT not in " ".join(screen(farm, found, ASKED, [short]).split())
    assert LEFT_OUT in " ".join(screen(farm, found, ASKED, curves).split())


def test_what_a_row_without_boards_brings_is_said(found):
    assert sentences(found) == [
        "What holds it back: board slots of Trough boards.",
        "Another row or trough alone brings nothing: board slots of Trough boards feed no more of them.",
    ]


def test_bends_are_said_with_what_holds_it_back(curves):
    rows, boards = map(frontier_sentences, curves)
    assert rows[-1] == "Beyond 2 rows more bring nothing: board slots of Trough boards hold it back."
    assert boards == ["Beyond 7 board slots more bring nothing: raft slots of Trough hold it back."]


def test_a_curve_without_a_bend_says_what_each_brings():
    found = frontier(week_of(small()), "rows", SolveSettings(seconds=0, deterministic=True))
    assert frontier_sentences(found) == ["Up to 2 rows each row brings 84 units a week; no bend."]


def test_places_of_one_kind_are_named_together():
    held = [(RoomKind.LANE, "North"), (RoomKind.RAFT, "18-hole raft"), (RoomKind.LANE, "South")]
    assert named(held) == "raft slots of North and South and rafts owned (18-hole raft)"
    assert named([(RoomKind.HOURS, "")]) == "hours of the crew"
    assert named([(RoomKind.LANE, str(n)) for n in range(4)]) == "raft slots of 4 places"


def test_a_price_that_is_but_the_rest_of_a_sum_is_nothing(found):
    def told(**changes):
        return grids(replace(found, rooms=(replace(found.rooms[0], **changes),)))[2].rows[0][-1]

    assert told(price=1e-9, worth=0.0) == "nothing"
    assert told(price=0.04, worth=0.0) == "nothing (under 0.1)"
    assert told(price=0.04, worth=0.03) == "under 0.1"
    assert told(price=4.0, worth=0.0) == "nothing (4)"
    assert told(price=4.0, worth=4.0) == "4"


def test_what_was_looked_for_and_not_found_is_told(farm, found):
    missed = replace(found, whole=None, whole_most=None, missed=Sought.WHOLE)
    assert grids(missed)[0].rows[1:] == (("steady week of whole units", "-", "-", "none found in the time"),)
    assert sentences(missed)[-1] == "More --seconds may find a steady week of whole units."
    no_season = replace(found, missed=Sought.SEASON)
    assert grids(no_season)[0].rows[-1][0] == "plan of the whole season"
    assert "seconds" not in " ".join(sentences(found))


def test_what_was_proven_and_what_was_only_found_is_told_apart(found):
    def told(**changes):
        return grids(replace(found, **changes))[0].rows[1][-1]

    assert told(whole=900, whole_most=900) == "proven best"
    assert told(whole=900, whole_most=1400) == "best found, limit 1.40"
    assert told(whole=900, whole_most=None) == "best found"
    assert [row[0] for row in grids(replace(found, whole=None))[0].rows] == ["linear bound"]
    season = grids(replace(found, season=Season(times=1500, filled=1.0)))[0].rows[-1]
    assert season[1:] == ("1.50", "30", "nothing short")
    season = grids(replace(found, season=Season(times=1500, filled=0.9)))[0].rows[-1]
    assert season[1:] == ("1.50", "27", "90 % of it filled")


def test_products_left_out_and_weeks_that_carry_nothing_are_told(found):
    assert sentences(replace(found, left_out=("Basil",)))[0] == (
        "Nothing can be sown for Basil in that week; the mix is without it."
    )
    assert sentences(replace(found, whole=0))[-1].endswith("a longer cycle may (--weeks).")


def test_a_price_that_holds_for_less_than_one_more_stands_in_brackets(found):
    def worth(**changes):
        room = replace(found.binding[0], **changes)
        return grids(replace(found, rooms=(room,)))[2].rows[0][-1]

    assert worth(worth=12.0, price=12.0) == "12"
    assert worth(worth=4.0, price=12.0) == "4 (12)"
    assert worth(worth=0.0, price=12.0) == "nothing (12)"
    assert worth(worth=0.0, price=0.0) == "nothing"


def test_the_page_has_the_same_tables_and_the_picture(farm, found, curves):
    html = limit_html(farm, found, ASKED, curves, "made in a test")
    tables = tables_of(html)
    told = {row[0]: row[1:] for table in tables for row in table}
    assert told["linear bound"][:2] == ["3.00", "60"]
    assert told["board slots of Trough boards"] == ["5", "100 %", "12"]
    assert told["2 (now)"] == ["60", "60", "board slots of Trough boards"]
    assert html.count("<svg") == 1
    assert limit_html(farm, found, ASKED, curves, "made in a test") == html
    assert "<svg" not in limit_html(farm, found, ASKED, [], "made")


def test_the_picture_is_one_element_with_a_panel_for_each_curve(curves):
    svg = frontier_chart(curves)
    assert svg.startswith("<svg")
    assert "Rows, with their rafts" in svg
    assert "Board slots, with their boards" in svg
    assert frontier_chart(curves) == svg


def test_names_never_become_markup_or_formulas(farm, found):
    named_so = replace(farm, name=HOSTILE)
    part = replace(found.parts[0], product=HOSTILE)
    room = replace(found.rooms[0], name=HOSTILE)
    hostile = replace(found, parts=(part,), rooms=(room,), left_out=(HOSTILE,))
    files = limit_files(named_so, hostile, ASKED, [], "made")
    html = files["limit.html"].decode()
    assert "<b>East" not in html
    assert "\x07" not in html + screen(named_so, hostile, ASKED)
    rows = list(csv.reader(io.StringIO(files["limit.csv"].decode())))
    assert rows[1][0].startswith("'=1+1")


def test_the_tables_hold_plain_numbers(farm, found, curves):
    files = limit_files(farm, found, ASKED, curves, "made")
    assert set(files) == {"limit.html", "limit.csv", "rooms.csv", "frontier.csv", "frontier.svg"}
    rooms = list(csv.DictReader(io.StringIO(files["rooms.csv"].decode())))
    assert {row["name"]: row["one_more_units_a_week"] for row in rooms}["Trough boards"] == "12"
    points = list(csv.DictReader(io.StringIO(files["frontier.csv"].decode())))
    assert [row["bound_units_a_week"] for row in points if row["what"] == "rows"] == ["42", "60", "60", "60"]


@pytest.mark.chromium
def test_the_page_asks_for_nothing_and_is_no_wider_than_its_window(farm, found, curves):
    from browser import PHONE, page_of

    with page_of(limit_html(farm, found, ASKED, curves, "made")) as opened:
        for width in (1200, PHONE):
            opened.page.set_viewport_size({"width": width, "height": 900})
            assert not opened.is_wider_than_its_window(), width
        assert (opened.outside, opened.errors) == ([], [])


def test_the_page_lists_the_numbers_at_which_something_turns(curves):
    rows, _ = curves
    points = [replace(rows.points[-1], number=number, whole=None) for number in range(2, 9)]
    level = replace(rows, points=(replace(points[0], number=1, linear=42.0), *points), now=5)
    assert turning(level) == {1, 2, 5, 8}
    grid = frontier_grid(level, turning(level))
    assert [row[0] for row in grid.rows] == ["1", "2", "5 (now)", "8"]
    assert grid.note == LEFT_OUT
    assert grid.headings == ("rows", "bound", "what binds")
    assert frontier_grid(level).note == ""


def test_the_screen_says_how_its_tables_are_read(farm, found, curves):
    told = " ".join(screen(farm, found, ASKED, curves).split())
    assert "one more would bring, found by solving again" in told
    assert "Losses included; the least that work days allow." in told
    assert told.index("What holds it back") < told.index("What it carries")
    assert LEFT_OUT in told


def test_a_place_that_a_crop_never_takes_and_one_it_hardly_takes_are_told_apart(found):
    load = replace(found.loads[0], tray_days=0.0012, board_days=0.0, raft_days=1.5)
    (row,) = grids(replace(found, loads=(load,)))[3].rows
    assert row[1:] == ("under 0.01", "-", "1.50")

"""The page of labels as text: right words, hostile names kept as text, nothing outside, same bytes."""

import html
import re
from dataclasses import replace

import pytest
from farms import make_crop, make_farm
from plans import Batch, build, edit

from scheduler.outputs.labels.faces import face
from scheduler.outputs.labels.page import MARK, default_days, default_sheet, labels_html
from scheduler.outputs.labels.qr import qr_svg
from scheduler.outputs.labels.sheets import SheetRefused, label_sheets
from scheduler.plan.views.labels import Move, labels_due

HOSTILE = "<b>\"&'</b><script>x</script>\u202e\x1b[2J\n"


@pytest.fixture
def farm():
    return make_farm(crops=[make_crop("Butterhead", code="BUT")])


def faces(farm, plan, sheet="a4-3x8"):
    return [face(farm, label_sheets()[sheet], label) for label in labels_due(farm, plan, 0, 60)]


def texts(page):
    """The labels of a page as plain text, one string each."""
    bodies = re.findall(r"<article.*?</article>", page, re.DOTALL)
    return [
        " ".join(html.unescape(re.sub(r"<svg.*?</svg>|<[^>]+>", " ", body)).split()).replace("\xa0", " ")
        for body in bodies
    ]


def test_a_label_says_what_it_is_where_it_stands_its_dates_and_the_next_move(farm):
    page = labels_html(farm, build(farm, Batch(crop="Butterhead")), "a4-3x8")
    assert texts(page) == [
        "BUT-260302 Butterhead , Butterhead one Tray: 12 cells T1 Shelf 1 slot 1 "
        "sown 2 Mar boards 12 Mar rafts 22 Mar cut 5 Apr to boards Thu 12 Mar",
        "BUT-260302 Butterhead , Butterhead one Board: 12 plants B1 Trough boards slot 1 "
        "sown 2 Mar boards 12 Mar rafts 22 Mar cut 5 Apr to rafts Sun 22 Mar",
        "BUT-260302 Butterhead , Butterhead one Raft 1 of 2: 6 plants R1 Trough 1 "
        "sown 2 Mar boards 12 Mar rafts 22 Mar cut 5 Apr cut Sun 5 Apr",
        "BUT-260302 Butterhead , Butterhead one Raft 2 of 2: 6 plants R2 Trough 1 "
        "sown 2 Mar boards 12 Mar rafts 22 Mar cut 5 Apr cut Sun 5 Apr",
    ]


def test_a_small_label_keeps_code_crop_amount_and_next_move(farm):
    page = labels_html(farm, build(farm, Batch(crop="Butterhead")), "a4-5x13")
    assert texts(page)[0] == "BUT-260302 Butterhead Tray: 12 cells to boards Thu 12 Mar"


def test_the_stage_it_is_stuck_on_in_is_marked(farm):
    made = faces(farm, build(farm, Batch(crop="Butterhead")))
    assert [[when.head for when in each.dates if when.now] for each in made] == [
        ["sown"],
        ["boards"],
        ["rafts"],
        ["rafts"],
    ]


def test_days_of_one_month_name_it_once_and_unknown_ones_are_asked(farm):
    plan = build(farm, Batch(crop="Butterhead"))
    label = replace(
        labels_due(farm, plan, 0, 0)[0],
        lot="seedlings",
        sown=None,
        boards=(7, 10),
        rafts=(28, 31),
        cuts=(300, 310),
    )
    made = face(farm, label_sheets()["a4-3x8"], label)
    assert [when.days for when in made.dates] == ["?", "9–12 Mar", "30 Mar–2 Apr", "27 Dec–6 Jan"]


@pytest.mark.parametrize(
    ("lot", "said"),
    [
        ("BUT-260226", "26 Feb"),
        ("BUT-260226-2", "26 Feb"),
        ("BUT-260305", "?"),
        ("BUT-260231", "?"),
        ("north 3", "?"),
    ],
)
def test_what_was_found_growing_was_sown_on_the_day_its_code_ends_with(farm, lot, said):
    label = replace(labels_due(farm, build(farm, Batch(crop="Butterhead")), 0, 0)[0], lot=lot, sown=None)
    assert face(farm, label_sheets()["a4-3x8"], label).dates[0].days == said


@pytest.mark.parametrize(
    ("moves", "said"),
    [
        ([("board", 10, 2), ("board", 14, 1)], "to boards Thu 12 Mar (2 rows), Mon 16 Mar (1 row)"),
        ([("board", 10, 2), ("out", 10, 1)], "to boards Thu 12 Mar (2 rows), thrown away Thu 12 Mar (1 row)"),
        ([("cut", 30, 0), ("cut", 32, 0), ("cut", 34, 0)], "cut Wed 1 Apr, Fri 3 Apr, Sun 5 Apr"),
        (
            [("cut", day, 0) for day in (30, 32, 34, 36)],
            "cut Wed 1 Apr, Fri 3 Apr, then 2 more, last Tue 7 Apr",
        ),
        ([("raft", 10, 0), ("raft", 14, 0)], "to rafts Thu 12 Mar (5 plants), Mon 16 Mar (5 plants)"),
    ],
)
def test_plants_that_do_not_go_on_one_day_are_told_apart(farm, moves, said):
    label = labels_due(farm, build(farm, Batch(crop="Butterhead")), 0, 0)[0]
    label = replace(label, moves=tuple(Move(to=to, day=day, rows=rows, plants=5) for to, day, rows in moves))
    made = face(farm, label_sheets()["a4-2x4"], label)
    assert made.moves.replace("\xa0", " ") == said


def test_beds_and_open_trays_are_told_as_such(farm):
    label = labels_due(farm, build(farm, Batch(crop="Butterhead")), 0, 0)[0]
    bedded = replace(
        label,
        has_boards=False,
        ends_in="bed",
        beds=(10,),
        picks=(40, 44),
        moves=(Move(to="bed", day=10, rows=2, plants=8),),
    )
    made = face(farm, label_sheets()["a4-3x8"], bedded)
    assert made.moves.replace("\xa0", " ") == "to beds Thu 12 Mar"
    assert [(when.head, when.days) for when in made.dates] == [
        ("sown", "2 Mar"),
        ("beds", "12 Mar"),
        ("picked", "11–15 Apr"),
    ]
    opened = replace(label, has_boards=False, ends_in="tray", is_open=True, number=2, of=3, cuts=(9,))
    made = face(farm, label_sheets()["a4-3x8"], opened)
    assert made.what == "Open tray 2 of 3"
    assert [when.head for when in made.dates] == ["sown", "cut"]


def test_a_shared_tray_says_so(farm):
    plan = build(farm, Batch(crop="Butterhead"), Batch(crop="Butterhead", sown=1, raft_day=21))
    plan = edit(plan, "contents", {"unit": "T2"}, unit="T1")
    assert {each.where for each in faces(farm, plan)} >= {"Shelf 1 slot 1 (shared)", "Trough boards slot 1"}


def test_labels_used_up_on_the_first_sheet_are_left_out(farm):
    plan = build(farm, Batch(crop="Butterhead"))
    page = labels_html(farm, plan, "a4-3x8", skip=22)
    first, second = page.split('<section class="sheet">')[1:]
    assert re.findall(r'style="(left:\S+mm)"', first) == [
        "left:70mm;top:259.5mm",
        "left:140mm;top:259.5mm",
    ]
    assert re.findall(r'style="(left:\S+mm)"', second) == ["left:0mm;top:0.5mm", "left:70mm;top:0.5mm"]
    assert "label first" in second
    assert "label last" in first


def test_without_labels_the_page_says_so_in_words(farm):
    page = labels_html(farm, build(farm, Batch(crop="Butterhead")), "a4-3x8", 1, 9)
    assert "No tray, board or raft is filled on these days." in page
    assert "0 labels, Tue 3 Mar 2026 to Wed 11 Mar 2026" in " ".join(page.split())
    assert "<section" not in page


def test_four_weeks_from_today_are_made_and_nothing_past_the_plan():
    assert default_days(make_farm(today=3)) == (3, 30)
    assert default_days(make_farm(days=20, today=3)) == (3, 19)


def test_paper_follows_the_units_of_the_farm():
    assert default_sheet(make_farm()) == "a4-cut"
    assert default_sheet(replace(make_farm(), length_unit="ft")) == "letter-cut"


def test_nothing_that_is_only_planned_past_the_last_day_gets_a_label():
    farm = make_farm(days=15, span=60, crops=[make_crop("Butterhead", code="BUT")])
    page = labels_html(farm, build(farm, Batch(crop="Butterhead")), "a4-3x8", 0, 59)
    assert [text.split()[4] for text in texts(page)] == ["one", "one"]


def test_the_page_names_no_address_and_runs_no_script(farm):
    page = labels_html(farm, build(farm, Batch(crop="Butterhead")), "a4-cut")
    assert "default-src 'none'" in page
    assert "://" not in page
    assert not re.search(r"<(script|link|img|iframe|object)|\bon\w+=|url\(|@import", page)
    assert MARK in page


def test_the_same_plan_gives_the_same_page(farm):
    plan = build(farm, Batch(crop="Butterhead"))
    assert labels_html(farm, plan, "a4-cut") == labels_html(farm, plan, "a4-cut")


def test_names_of_the_grower_stay_text(farm):
    crop = replace(make_crop(HOSTILE, code="BUT"), variety=HOSTILE, lanes=frozenset({"Trough 1"}))
    farm = replace(make_farm(crops=[crop]), name=HOSTILE)
    plan = build(farm, Batch(crop=HOSTILE))
    plan = edit(plan, "lots", {"lot": "BUT-260302"}, lot=HOSTILE)
    plan = edit(plan, "contents", {"lot": "BUT-260302"}, lot=HOSTILE)
    for sheet in ("a4-cut", "a4-5x13"):
        page = labels_html(farm, plan, sheet)
        assert "<b>&" not in page
        assert "<script" not in page
        assert "\u202e" not in page
        assert "\x1b" not in page
        assert "&lt;b&gt;&#34;&amp;&#39;&lt;/b&gt;&lt;script&gt;x&lt;/script&gt;" in page


def test_a_code_that_cannot_be_scanned_at_the_label_s_size_gets_no_qr_code():
    assert qr_svg("BUT-260302", 10_000).startswith('<svg viewBox="0 0 29 29">')
    assert qr_svg("BUT-260302", 9_500) == ""
    assert qr_svg("B" * 60, 10_000) == ""
    assert qr_svg("B" * 9000, 10**9) == ""
    assert qr_svg("", 20_000) == ""


def test_what_a_phone_would_take_for_an_address_or_command_gets_no_qr_code():
    assert qr_svg("tel:112", 20_000) == ""


def test_a_long_code_is_set_smaller_and_never_below_what_can_be_read(farm):
    plan = build(farm, Batch(crop="Butterhead"))
    label = labels_due(farm, plan, 0, 0)[0]
    sheet = label_sheets()["a4-3x8"]
    sizes = [float(face(farm, sheet, replace(label, lot="W" * n)).code_size) for n in (4, 10, 16, 60, 900)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > sizes[1] > sizes[2] > 2.1
    assert sizes[-1] == 2.1


def test_a_sheet_that_is_not_known_is_told(farm):
    with pytest.raises(SheetRefused):
        labels_html(farm, build(farm, Batch(crop="Butterhead")), "a4-9x9")

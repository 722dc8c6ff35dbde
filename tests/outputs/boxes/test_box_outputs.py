"""What is told of boxes on paper, on the screen, on phones and in the workbook: nothing too much."""

import io
import re
from dataclasses import replace

import pytest
from boxed_plans import boxed_farm, boxed_plan
from openpyxl import load_workbook

from scheduler.outputs.boxes.amounts import amount
from scheduler.outputs.boxes.keeping import CAUTION, hint
from scheduler.outputs.boxes.page import FILE, box_files
from scheduler.outputs.calendars.customers import delivery_entries
from scheduler.outputs.file_names import file_name
from scheduler.outputs.report.page import report_html
from scheduler.outputs.show.answer import answer
from scheduler.outputs.show.page import rendered
from scheduler.outputs.workbook import plan_workbook
from scheduler.plan.layout.tasks import task_rows
from scheduler.plan.views.customer_days import customer_days

FARM = boxed_farm()
PLAN = boxed_plan(FARM)


def text(html):
    """Return the words of a page, a line for each part of it."""
    body = re.sub(r"<style>.*?</style>", "", html, flags=re.S)
    lines = re.sub(r"<[^>]+>", "\n", body.replace("&#39;", "'")).splitlines()
    return [line.strip() for line in lines if line.strip()]


def test_the_sheet_of_a_share_has_a_page_a_day_with_amounts_and_keeping():
    (html,) = box_files(FARM, PLAN).values()
    lines = text(html.decode())
    assert lines[lines.index("Wednesday 11 March 2026", 4) + 1 :] == [
        "Lettuce", "1 head; half a head in a half box",
        "Kale", "2 heads; half a head in a half box",
        CAUTION, "Test farm",
        "Box", ": in your box", "Wednesday 18 March 2026",
        "Kale", "1 head; half a head in a half box",
        "Cress", "2 heads; half a head in a half box",
        CAUTION, "Test farm",
    ]  # fmt: skip
    assert "".join(lines[lines.index("Not in this box:") :][:5]) == "Not in this box:A leaf;A second."


def test_customers_see_no_lot_no_price_and_no_other_customer():
    (html,) = box_files(FARM, PLAN).values()
    seen = html.decode()
    assert not re.search(r"LET-|KAL-|short|EUR|script|href=\"(?!#)", seen)
    assert seen.count("<section") == 3


def test_a_sheet_holds_names_of_the_book_as_text_alone():
    farm = boxed_farm("<b>& 'Box'")
    (html,) = box_files(farm, boxed_plan(farm)).values()
    assert "<b>" not in html.decode()
    assert "&lt;b&gt;&amp; &#39;Box&#39;" in html.decode()


@pytest.mark.parametrize(
    ("share", "name"),
    [
        ("Family box", "boxes/family-box.html"),
        ("Kästen & Körbe", "boxes/kasten-korbe.html"),
        ("../x", "boxes/x.html"),
    ],
)
def test_a_share_s_file_has_a_name_safe_on_every_disk(share, name):
    assert file_name(FILE, share, ()) == name
    other = file_name(FILE, share, {name})
    assert other != name
    assert re.fullmatch(r"boxes/[a-z0-9-]+\.html", other)


def test_names_without_letters_get_one_all_the_same():
    assert re.fullmatch(r"boxes/[0-9a-f]{8}\.html", file_name(FILE, "箱", ()))


@pytest.mark.parametrize(
    ("units", "pack", "said"),
    [
        (1.0, "bunch", "1 bunch"),
        (2.0, "bunch", "2 bunches"),
        (0.5, "head", "half a head"),
        (0.25, "bag", "0.25 bags"),
        (1.125, "head", "1.125 heads"),
    ],
)
def test_amounts_in_words(units, pack, said):
    assert amount(units, pack) == said


def with_card(card, **own):
    crop = FARM.crops["Kale"]
    made = replace(crop, card=card, handling=replace(crop.handling, **own.pop("handling", {})), **own)
    return replace(FARM, crops={**FARM.crops, "Kale": made})


@pytest.mark.parametrize(
    ("farm", "said"),
    [
        (with_card(""), ""),
        (with_card("lettuce_butterhead"), "Keeps about 6 days in a refrigerator at 5\N{NO-BREAK SPACE}°C."),
        (
            with_card("basil_genovese", handling={"keeping_days": 6}),
            "Keeps about 6 days at about 10\N{NO-BREAK SPACE}°C; the cold of a refrigerator harms it.",
        ),
        (
            with_card("", handling={"keeping_days": 1}, own_figures=(("keeping_days", "1"),)),
            "Keeps about 1 day.",
        ),
        (
            with_card(
                "lettuce_butterhead", handling={"keeping_days": 9}, own_figures=(("keeping_days", "9"),)
            ),
            "Keeps about 9 days at 1\N{NO-BREAK SPACE}°C and in moist air.",
        ),
    ],
)
def test_a_hint_says_what_card_or_grower_say_and_no_more(farm, said):
    assert hint(farm, "Kale") == said


def test_a_share_on_the_screen():
    page = rendered(answer(FARM, PLAN, "share", "box", 9))
    assert page.splitlines() == [
        "Box, from Wed 11 Mar 2026",
        "Boxes of the whole plan: 1 of 3 full, 1 short, 1 too early",
        "Next: 4 boxes and 3 half boxes",
        "  A leaf   Lettuce   6 of 6 1 head; half a head in a half box",
        "  A second Kale    10 of 10 2 heads; half a head in a half box",
        "",
        "Boxes to come",
        "Wed 11 Mar full  8.00 Lettuce, Kale",
        "Wed 18 Mar short 5.00 Kale, Cress (A leaf 2 units short; worth 1.00 EUR too",
        "                      little; with Cress, which is not liked)",
        "",
        "How often",
        "Kale 2, Cress 1, Lettuce 1",
    ]


def test_the_overview_names_the_shares_and_a_plan_without_any_does_not():
    assert "share NAME      Box" in rendered(answer(FARM, PLAN, "", "", 0))
    none = replace(FARM, boxes=type(FARM.boxes)())
    assert "share" not in rendered(answer(none, replace(PLAN, boxes=(), box_items=()), "", "", 0))


def test_the_customers_calendar_says_what_one_box_holds():
    days = [day for day in customer_days(FARM, PLAN) if day.customer == "Box"]
    entries = delivery_entries(FARM, days)
    assert [(entry.day.isoformat(), entry.title) for entry in entries] == [
        ("2026-03-11", "Test farm delivers Lettuce, Kale"),
        ("2026-03-18", "Test farm delivers Kale, Cress"),
    ]
    assert entries[0].text == "Lettuce: 1 head, half box half a head\nKale: 2 heads, half box half a head"
    whole = replace(PLAN, boxes=tuple(replace(row, half_boxes=0) for row in PLAN.boxes))
    entries = delivery_entries(FARM, (day for day in customer_days(FARM, whole) if day.customer == "Box"))
    assert entries[0].text == "Lettuce: 1 head\nKale: 2 heads"


def test_deliver_tasks_say_what_goes_into_the_place():
    delivered = replace(PLAN, units=(), contents=(), positions=(), cuts=())
    told = [(t.day, t.crop, t.plants, t.note) for t in task_rows(FARM, delivered, ()) if t.to == "Box"]
    assert told == [
        (9, "Greens", 6, "Lettuce"),
        (9, "Greens", 10, "Kale"),
        (16, "Greens", 4, "Kale; 2 of 6 short"),
        (16, "Greens", 10, "Cress"),
    ]


def test_the_report_has_a_section_on_boxes():
    lines = text(report_html(FARM, PLAN))
    at = lines.index("Boxes", lines.index("Week by week"))
    assert lines[at + 1 : at + 3] == [
        "Box",
        "1 of 3 delivery days with full boxes. A full box is worth 8.00 EUR.",
    ]
    assert "A leaf 2 units short; worth 1.00 EUR too little; with Cress, which is not liked" in lines
    assert "A leaf empty; A second empty (too early for any sowing)" in lines


def test_the_workbook_has_a_sheet_of_boxes():
    book = load_workbook(io.BytesIO(plan_workbook(FARM, PLAN)))
    rows = [row for row in book["boxes"].iter_rows(values_only=True) if row[1] == "Box"]
    assert [(row[4], row[5], row[8], row[9], row[10], row[13]) for row in rows] == [
        ("A leaf", None, 6, 0, 6, "too early"),
        ("A second", None, 10, 0, 10, "too early"),
        ("A leaf", "Lettuce", 6, 6, 0, "full"),
        ("A second", "Kale", 10, 10, 0, "full"),
        ("A leaf", "Kale", 6, 4, 2, "short"),
        ("A second", "Cress", 10, 10, 0, "short"),
    ]
    assert "boxes" not in load_workbook(
        io.BytesIO(plan_workbook(FARM, replace(PLAN, boxes=(), box_items=())))
    )

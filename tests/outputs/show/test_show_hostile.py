"""Pages keep to 80 columns and one screen, and take a grower's names as text, whatever is in them."""

from dataclasses import replace

import pytest
from farms import delivery, make_crop, make_farm
from plans import Batch, build
from rich.cells import cell_len
from samples import task

from scheduler.farm.places import PlaceKind
from scheduler.outputs.show.answer import answer
from scheduler.outputs.show.page import rendered

STEERING = "[bold]Quay[/bold] \x1b[2J\x1b]0;own\x07\u202e\u200b\r\n\t[link=x]"
LONG = "Very long name of a " * 20
UNBROKEN = "W" * 300
WIDE = "東京レタス" * 30
NAMES = [STEERING, LONG, UNBROKEN, WIDE, "=1+1", "<b>&amp;", "عربي שלום", "e\u0301" * 90]
QUESTIONS = ("", "week", "day", "crop", "customer", "lane", "lot", "short", "money")


def named(name):
    """A farm whose names are all the same, and a plan in which something of everything is short."""
    farm = make_farm(
        crops=[replace(make_crop(name, code="BUT", lanes=["Trough 1"]), variety=name)],
        demands=[delivery(name, day, 7, customer=name, order=name, name=f"{day}") for day in range(34, 60)],
    )
    plan = build(farm, Batch(crop=name), fills=[("34", "BUT-260302", 34, 7), ("35", "BUT-260302", 34, 3)])
    farm = replace(
        farm,
        name=name,
        places=tuple(
            replace(place, name=name) if place.kind is PlaceKind.LANE else place for place in farm.places
        ),
    )
    lot = {"lot": name}
    plan = replace(
        plan,
        lots=tuple(replace(row, **lot) for row in plan.lots),
        contents=tuple(replace(row, **lot) for row in plan.contents),
        cuts=tuple(replace(row, **lot) for row in plan.cuts),
        fills=tuple(replace(row, **lot) for row in plan.fills),
        positions=tuple(
            replace(row, place=name if row.place == "Trough 1" else row.place) for row in plan.positions
        ),
        demands=tuple(replace(row, reason=f"{name} was full " * 9) for row in plan.demands),
        tasks=tuple(
            task(f"{n}", 34, work, crop=name, lot=name, where=name, to=name, note=name)
            for n, work in enumerate(["sow", "cut", "deliver", name])
        ),
    )
    return farm, plan


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("name", NAMES, ids=range(len(NAMES)))
def test_no_name_breaks_the_width_or_steers_the_terminal(name, question):
    farm, plan = named(name)
    for styled in (False, True):
        page = rendered(answer(farm, plan, question, name, 34), styled=styled)
        plain = page.replace("\x1b[1m", "").replace("\x1b[0m", "")
        assert max(cell_len(line) for line in plain.splitlines()) <= 80
        assert all(sign.isprintable() or sign == "\n" for sign in plain)
        assert styled or page == plain
        assert "\u202e" not in page


@pytest.mark.parametrize("question", QUESTIONS)
def test_square_brackets_are_shown_as_they_are(question):
    farm, plan = named("[bold]Quay[/bold]")
    assert "[bold]Quay[/bold]" in rendered(answer(farm, plan, question, "[bold]Quay[/bold]", 34))


@pytest.mark.parametrize("width", [40, 60, 79])
def test_a_narrow_terminal_gets_narrow_lines(width):
    farm, plan = named(LONG)
    for question in QUESTIONS:
        page = rendered(answer(farm, plan, question, LONG, 34), width=width)
        assert max(cell_len(line) for line in page.splitlines()) <= width


def busy():
    """Twenty crops sown every week, with a delivery of each on every day, and many tasks a day."""
    crops = [make_crop(f"Crop number {n}", code=f"C{chr(65 + n)}") for n in range(20)]
    demands = [
        delivery(crop.name, day, 1, name=f"{crop.name} {day}", customer=f"Inn {n % 9}", order=f"O{n}")
        for n, crop in enumerate(crops)
        for day in range(34, 60)
    ]
    farm = make_farm(crops=crops, demands=demands, lane_slots=60, tier_slots=60, zone_slots=60)
    batches = [
        Batch(
            crop=crop.name,
            sown=sown,
            board_day=sown + 10,
            raft_day=sown + 20,
            rafts=(1,) * 9,
            cuts=((sown + 34, 1),),
        )
        for crop in crops[:6]
        for sown in range(0, 21, 7)
    ]
    plan = build(farm, *batches)
    tasks = tuple(
        task(f"{work} {n}", 34, work, crop=f"Crop number {n}", lot=f"C{n}-260302", to="Shelf 1 slot 1")
        for work in ("soak", "sow", "uncover", "thin", "transplant", "raft", "cut", "deliver")
        for n in range(20)
    )
    return farm, replace(plan, tasks=tasks)


@pytest.mark.parametrize(
    ("question", "name", "most"),
    [
        ("", "", 24),
        ("week", "", 60),
        ("day", "", 52),
        ("crop", "Crop number 0", 40),
        ("customer", "Inn 0", 30),
        ("lane", "Trough 1", 48),
        ("lot", "CA-260302", 40),
        ("short", "", 46),
    ],
)
def test_a_busy_farm_still_fits_on_a_screen_and_what_is_left_out_is_counted(question, name, most):
    farm, plan = busy()
    page = rendered(answer(farm, plan, question, name, 34))
    assert len(page.splitlines()) <= most
    if question not in ("crop", "lot"):
        assert " more" in page


def test_a_day_too_full_for_whole_tasks_has_one_line_for_each():
    farm, plan = busy()
    few = tuple(each for each in plan.tasks if each.work in ("sow", "cut"))
    few = tuple(replace(each, note="a note that makes it longer than a line, far longer") for each in few)
    page = rendered(answer(farm, replace(plan, tasks=few), "day", "", 34))
    lines = page.splitlines()
    assert "  C7-260302  Crop number 7     196 cells to Shelf 1 slot 1" in lines
    assert "a note" not in page
    assert len(lines) <= 48
    assert page.endswith(
        "The whole of each task is in tables/tasks.csv and on the week sheets of\nreport.html.\n"
    )


def test_tables_edited_by_hand_that_name_what_is_not_there_are_shown_as_far_as_they_go():
    farm, plan = named("Quay")
    plan = replace(
        plan,
        contents=tuple(
            replace(row, lot="gone")
            if row.unit == "R1"
            else replace(row, unit="gone")
            if row.unit == "B1"
            else row
            for row in plan.contents
        ),
        fills=tuple(replace(row, demand="gone") for row in plan.fills),
    )
    for question in QUESTIONS:
        assert rendered(answer(farm, plan, question, "Quay", 34))

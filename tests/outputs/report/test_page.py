"""The whole report: one page that needs nothing beside itself, with a sheet for each week."""

import re
from dataclasses import replace
from html import unescape

import pytest
from farms import delivery, make_crop, make_farm
from plans import Batch, build
from reports import elements_of, example, renamed, section, tables_of, weeks_of, without_charts

from scheduler.farm.places import Steps
from scheduler.outputs.report.page import quoted, report_html
from scheduler.outputs.report.week import HOURS, UNITS, VERBS
from scheduler.plan.tally import WORKS
from scheduler.plan.views.lines import DAY_ORDER

LOT = "LET-260302"
HOSTILE = {
    "Harbour Table": '<script>alert(1)</script> & "Sons"',
    "The Salted Pear": "</style><img src=x onerror=alert(1)>",
    "Butterhead": "=1+1 <b>Kopf</b>",
    "North trough": "\u05d1\u05e8\u05d9\u05db\u05d4 <i>x",
    "Shelf A": "]]> &lt {{ farm }}",
    "Alder Quay Greens": 'Farm"}body{display:none}</style><script>',
}


@pytest.fixture(scope="module")
def page():
    farm, plan = example()
    return report_html(weeks_of(farm, 15, 2), plan)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    farm, plan = renamed(tmp_path_factory.mktemp("hostile"), HOSTILE)
    return report_html(weeks_of(farm, 15, 2), plan)


def one_sheet(farm, plan, week):
    with without_charts():
        return section(report_html(farm, plan), f"week-{week}")


def test_the_same_plan_gives_the_same_page(page):
    farm, plan = example()
    assert report_html(weeks_of(farm, 15, 2), plan) == page


def test_nothing_is_asked_for_beside_the_page_and_nothing_runs(page, hostile):
    loading = {
        "script",
        "iframe",
        "object",
        "embed",
        "link",
        "base",
        "form",
        "img",
        "image",
        "audio",
        "video",
    }
    for html in (page, hostile):
        elements = elements_of(html)
        assert "default-src 'none'" in html
        assert loading.isdisjoint(tag for tag, _ in elements)
        for _, attributes in elements:
            assert [name for name in attributes if name.startswith("on") or name in ("src", "action")] == []
            reference = attributes.get("href", attributes.get("xlink:href", "#"))
            assert reference.startswith("#")
        assert re.findall(r"@import|url\((?!#)", html) == []


def test_every_reference_leads_somewhere_and_every_name_is_given_once(page):
    names = re.findall(r'\sid="([^"]+)"', page)
    assert len(names) == len(set(names))
    assert set(re.findall(r'href="#([^"]+)"', page)) <= set(names)


def test_the_contents_list_every_week_with_what_it_brings(page):
    contents = tables_of(page)[0]
    assert [row[0] for row in contents[1:]] == [
        "Week 15 / 8 to 14 June 2026",
        "Week 16 / 15 to 21 June 2026",
    ]
    assert re.findall(r'<section class="week" id="(week-\d+)"', page) == ["week-15", "week-16"]


def test_a_grower_s_names_are_text_wherever_they_stand(hostile):
    text = unescape(re.sub(r"<[^>]+>", "", hostile))
    for name in ("Harbour Table", "The Salted Pear", "Butterhead", "North trough", "Shelf A"):
        assert HOSTILE[name] in text
    assert "<b>Kopf" not in hostile
    assert "<title>Farm&#34;}body{display:none}&lt;/style&gt;&lt;script&gt;: work sheets</title>" in hostile


def test_the_farm_s_name_on_every_printed_page_cannot_end_its_text(hostile):
    styles = hostile[hostile.index("<style>") : hostile.index("</style>")]
    assert HOSTILE["Alder Quay Greens"] not in styles
    assert "display:none}</" not in styles
    assert r"Farm\000022\00007dbody" in styles


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Ab1", '"Ab1"'),
        ('"\\', '"\\000022\\00005c"'),
        ("é\n", '"\\0000e9\\000020"'),
        ("\u202ex", '"\\000020x"'),
    ],
)
def test_a_text_in_a_style_sheet_is_written_by_numbers(text, said):
    assert quoted(text) == said


def test_a_sheet_says_all_that_is_to_be_done():
    crop = make_crop("Lettuce", minutes={"cut": 200, "raft": 600})
    demands = [delivery("Lettuce", 33, 9), delivery("Lettuce", 32, 4, customer="The Salted Pear")]
    farm = make_farm(days=49, crops=[crop], crew=120_00, demands=demands, wash_days=1)
    first = Batch(raft_day=19, cuts=((33, 6),))
    later = Batch(sown=13, board_day=23, raft_day=33, cuts=((47, 6),))
    html = one_sheet(farm, build(farm, first, later, fills=[("Lettuce 33", LOT, 33, 9)]), 5)
    hours, day, *lists = tables_of(html)
    assert hours == [
        ["Work", "Sat 4 Apr", "Week"],
        ["Planting onto rafts", "12 min", "12 min"],
        ["Cutting", "24 min", "24 min"],
        ["Together", "36 min", "36 min"],
        ["The crew has", "2 h", "2 h"],
    ]
    assert day == [
        ["Done", "Sat 4 Apr", "How many", "From", "To, or for whom", "Note", "Counted"],
        [
            "Cut / 2 rafts, 12 heads / Wet rafts are heavy: lift with two. "
            "/ Keep plugs and cords away from the water. / Clean hands and clean knives."
        ],
        [
            "",
            f"Lettuce / {LOT}",
            "12 heads / cut 12 plants",
            "Trough, row 1, slots 1, 2 (harvest end) / slot 1: 6 plants / slot 2: 6 plants",
            "9 for Harbour Table, Sat 4 Apr (Lettuce) / 3 not asked for",
            "raft is empty: out today",
            "heads",
        ],
        ["Deliver / 9 units"],
        ["", "Lettuce / Lettuce", "9 heads", f"9 heads {LOT}, cut Sat 4 Apr", "Harbour Table", "", "heads"],
        [
            "Take out empty rafts / 2 rafts / Wet rafts are heavy: lift with two. "
            "/ Keep plugs and cords away from the water."
        ],
        [
            "",
            "Empty rafts",
            "2 rafts / 6-hole raft",
            "Trough, row 1, slots 1, 2 (harvest end)",
            "",
            "the rafts behind close up",
            "rafts",
        ],
        [
            "Plant onto rafts, in at the intake end / 2 rafts, 12 plants / Wet rafts are heavy: lift with "
            "two. / Keep plugs and cords away from the water."
        ],
        [
            "",
            "Lettuce / LET-260315",
            "12 plants / onto 2 rafts (6-hole raft)",
            "Trough boards, slot 1 / 12 plants",
            "Trough, row 1, intake end / slots 1, 2: 6 plants on each",
            "12 of 12 plants there",
            "plants",
        ],
        ["Wash"],
        ["", "12-hole board", "1 board", "Trough boards", "", "free again on Sun 5 Apr", "boards"],
        ["", "6-hole raft", "2 rafts", "Trough, row 1", "", "free again on Sun 5 Apr", "rafts"],
    ]
    assert lists == [
        [["Harbour Table"], ["", "Sat 4 Apr", "9 heads", "Lettuce"]],
        [
            ["The Salted Pear"],
            ["", "Fri 3 Apr", "0 heads", lists[1][1][3]],
        ],
    ]
    assert lists[1][1][3].startswith("Lettuce4 of 4 short")
    assert "36 min of 2 h" in html
    assert html.count('class="drawing"') == 1


def test_work_that_takes_no_counted_time_says_so_on_a_day_without_hours_of_the_crew():
    crop = make_crop("Lettuce", handling={"dome_days": 2})
    farm = make_farm(days=49, crops=[crop], crew=120_00)
    plan = build(farm, Batch(sown=13, board_day=23, raft_day=33, cuts=((47, 6),)))
    alone = replace(farm, crew=Steps.of(lambda day: 0 if day == 15 else 120_00, [0, 15, 16]))
    told = one_sheet(alone, plan, 3)
    assert "Uncover" in told
    assert told.count("the crew has no hours today") == 1
    assert "the crew has no hours today" not in one_sheet(farm, plan, 3)


def test_every_kind_of_work_has_its_words():
    assert set(VERBS) == set(UNITS) == set(DAY_ORDER)
    assert set(HOURS) == set(WORKS)


def test_every_kind_of_work_with_cautions_shows_them_and_local_rules_decide(page):
    sheet = section(page, "week-16")
    assert "Clean hands and clean knives." in sheet
    # decided when seed is bought, so it is said once a week; what holds for every day stands on every day
    assert sheet.count('<span class="verb">Sow</span>') > 1
    assert sheet.count("Treated seed: never for microgreens.") == 1
    assert sheet.count("Clean hands and clean knives.") == sheet.count('<span class="verb">Cut</span>') > 1
    assert sheet.count("Local rules and licensed practice decide.") == 1


def test_a_week_without_work_says_so():
    farm = make_farm(days=14)
    html = one_sheet(farm, build(farm), 2)
    assert "Nothing to do this week." in html
    assert tables_of(html) == []


def test_a_day_without_work_is_named_and_a_closed_day_says_what_is_closed():
    farm = make_farm(days=14, closed={work: [8] for work in make_farm().calendar.closed})
    html = one_sheet(farm, build(farm, Batch()), 2)
    assert "Closed: no sow, transplant, raft or harvest work today." in html
    assert "No work on Mon 9 Mar, Wed 11 Mar, " in html


def test_a_farm_of_forty_crops_has_all_of_them_on_its_sheet():
    crops = [make_crop(f"Crop {n}", code=f"C{n:02d}", board=None) for n in range(40)]
    farm = make_farm(days=7, crops=crops, tier_slots=40, lanes=8)
    batches = [Batch(crop=each.name, board_day=None, raft_day=10, cuts=((24, 6),)) for each in crops]
    html = one_sheet(farm, build(farm, *batches), 1)
    (day,) = (table for table in tables_of(html) if table[0][0] == "Done")
    assert [row[1].split(" /")[0] for row in day if len(row) > 1][1:] == [f"Crop {n}" for n in range(40)]


def test_many_alike_drawings_stay_small(page):
    drawings = re.findall(r'<svg [^>]*class="drawing".*?</svg>', page, flags=re.DOTALL)
    assert len(drawings) > 15
    assert sum(map(len, drawings)) / len(drawings) < 6_000

"""The report in a browser: on a desk, on a phone, and on paper of both sizes; nothing comes from outside."""

import re
import subprocess
from contextlib import ExitStack
from functools import cache

import pytest
from browser import PHONE, page_of, pdf_texts
from farms import delivery, make_crop, make_farm
from plans import Batch, build
from programs import needed
from reports import example, renamed, weeks_of

from scheduler.outputs.report.page import report_html

pytestmark = pytest.mark.chromium

PAPERS = {"A4": (595.3, 841.9), "Letter": (612.0, 792.0)}
"""Paper -> width and height in points."""

MARGIN = 12 / 25.4 * 72
"""The page's own margin left and right, in points."""

HEAD, FOOT = 15, 32
"""Least room above the running head and below the last line, in points."""

LONG = {
    "Harbour Table": "W" * 90,
    "The Salted Pear": "\u05de\u05e1\u05e2\u05d3\u05d4 \u05e2\u05dc \u05d4\u05e0\u05d4\u05e8 " * 4,
    "Butterhead": "Sehrlangersalatname" * 5,
    "North trough": "<b>trough</b> " * 6 + "x",
    "Shelf A": "\u0631\u0641 " * 12 + "x",
    "Oakleaf": "=HYPERLINK(1)",
}

CELLS = """() => {
  const wrong = [];
  for (const row of document.querySelectorAll('.work tr, .parcel tr, .hours tr, .weeks tr')) {
    const cells = [...row.children].map(cell => [cell, cell.getBoundingClientRect()])
      .filter(([cell, box]) => box.width > 1 && box.height > 1);
    for (const [cell, box] of cells) {
      const range = document.createRange();
      range.selectNodeContents(cell);
      const text = range.getBoundingClientRect();
      if (text.width && text.right > box.right + 1.5) wrong.push('over: ' + cell.textContent);
      for (const [other, there] of cells)
        if (other !== cell && box.left < there.right - 1 && there.left < box.right - 1
            && box.top < there.bottom - 1 && there.top < box.bottom - 1)
          wrong.push('overlap: ' + cell.textContent);
    }
  }
  return wrong;
}"""
"""Cells whose text leaves them or that lie on top of each other."""


@pytest.fixture(scope="module")
def example_page():
    farm, plan = example()
    return report_html(weeks_of(farm, 15, 2), plan)


@pytest.fixture(scope="module")
def long_page(tmp_path_factory):
    farm, plan = renamed(tmp_path_factory.mktemp("long"), LONG)
    return report_html(weeks_of(farm, 16, 1), plan)


@pytest.fixture(scope="module")
def forty_page():
    crops = [make_crop(f"Crop {n}", code=f"C{n:02d}", board=None) for n in range(40)]
    demands = [delivery(f"Crop {n}", 30, 6, customer=f"Kitchen {n}") for n in range(40)]
    farm = make_farm(days=35, crops=crops, tier_slots=40, lanes=8, lane_slots=12, demands=demands)
    batches = [
        Batch(crop=each.name, board_day=None, raft_day=14, cuts=((28, 6),), lane=f"Trough {n % 8 + 1}")
        for n, each in enumerate(crops)
    ]
    return report_html(farm, build(farm, *batches))


@pytest.fixture(scope="module")
def quiet_page():
    farm = make_farm(days=42, demands=[delivery("Lettuce", 33, 6)])
    return report_html(farm, build(farm, Batch(board_day=10, raft_day=20, cuts=((33, 6),))))


@pytest.fixture
def html(request):
    return request.getfixturevalue(request.param)


PAGES = pytest.mark.parametrize("html", ["example_page", "long_page", "forty_page"], indirect=True)


@pytest.fixture(scope="module")
def shown():
    """A page as it is opened, once for all tests that only look at it and its print on A4."""
    with ExitStack() as stack:
        yield cache(lambda html: stack.enter_context(page_of(html)))


@pytest.fixture(scope="module")
def printed(shown):
    """The print on A4 of a page as it is opened, printed once."""
    return cache(lambda html: shown(html).pdf())


@PAGES
def test_no_width_needs_scrolling_sideways_and_nothing_lies_on_anything(html, shown):
    opened = shown(html)
    for width in (PHONE, 320, 1200):
        opened.page.set_viewport_size({"width": width, "height": 900})
        assert not opened.is_wider_than_its_window(), width
        assert opened.page.evaluate(CELLS) == [], width
    assert opened.outside == []
    assert opened.errors == []


def words_of(pdf, paper):
    """Return (page, word, left, top, right, bottom) of every word of a PDF of a paper, in points."""
    command = [needed("pdftotext"), "-bbox", "-", "-"]
    told = subprocess.run(command, input=pdf, capture_output=True, check=True, timeout=60).stdout.decode()
    found, page = [], 0
    for line in told.splitlines():
        if "<page " in line:
            page += 1
            sides = re.search(r'width="(.+?)" height="(.+?)"', line).groups()
            assert [float(side) for side in sides] == pytest.approx(PAPERS[paper], abs=1)
        word = re.search(r'xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*)</word>', line)
        if word:
            found.append((page, word[5], *(float(word[n]) for n in (1, 2, 3, 4))))
    return found


def beyond_margins(pdf, paper):
    """Return the words that do not stay within the margins."""
    width, height = PAPERS[paper]
    words = words_of(pdf, paper)
    assert len(words) > 500
    return [
        word
        for word in words
        if word[2] < MARGIN - 2 or word[4] > width - MARGIN + 2 or word[3] < HEAD or word[5] > height - FOOT
    ]


@PAGES
def test_everything_stays_within_the_margins_of_the_paper(html, printed):
    assert beyond_margins(printed(html), "A4") == []


LETTER = [
    pytest.param("example_page", marks=pytest.mark.soak),
    "long_page",
    pytest.param("forty_page", marks=pytest.mark.soak),
]


@pytest.mark.parametrize("html", LETTER, indirect=True)
def test_everything_stays_within_the_margins_of_the_other_paper(html, shown):
    assert beyond_margins(shown(html).page.pdf(format="Letter"), "Letter") == []


def test_every_printed_page_says_farm_and_page_and_those_of_a_week_say_which(example_page, printed):
    pages = pdf_texts(printed(example_page))
    heads = [page.lstrip("\n").split("\n")[0] for page in pages]
    assert all("Alder Quay Greens" in head for head in heads)
    assert [re.search(r"page (\d+) of (\d+)", head).groups() for head in heads] == [
        (str(number), str(len(pages))) for number in range(1, len(pages) + 1)
    ]
    named = [match[1] if (match := re.search(r"Week (\d+), ", head)) else "" for head in heads]
    weeks = list(dict.fromkeys(named))
    assert weeks == ["", "15", "16"]
    assert named[0] == named[-1] == ""


def test_each_week_begins_on_a_page_of_its_own(example_page, printed):
    pages = pdf_texts(printed(example_page))
    begins = [
        page for page in pages if re.search(r"^\s*Week 1[56]\s+\d", "\n".join(page.split("\n")[1:6]), re.M)
    ]
    assert len(begins) == 2
    assert all("Work from the top of a day" in page for page in begins)


def test_a_table_that_goes_on_repeats_its_headings_with_the_day(forty_page, printed):
    pages = pdf_texts(printed(forty_page))
    monday = [page for page in pages if "Mon 2 Mar" in page and "How many" in page]
    assert len(monday) > 1


def test_one_week_alone_is_printed_when_its_link_was_followed(example_page, printed):
    everything = len(pdf_texts(printed(example_page)))
    with page_of(example_page) as opened:
        opened.page.get_by_role("link", name="Week 16").first.click()
        alone = pdf_texts(opened.pdf())
        opened.page.get_by_role("link", name="contents").last.click()
        again = len(pdf_texts(opened.pdf()))
    assert again == everything
    assert 1 < len(alone) < everything
    assert all("Week 16, 15 to 21 June 2026" in page for page in alone)
    assert f"page 1 of {len(alone)}" in alone[0]


def printed_weeks(pages):
    """Return the week, or the first and last, that each printed page names on top."""
    heads = [page.lstrip("\n").split("\n")[0] for page in pages]
    return [found[1] if (found := re.search(r"Weeks? ([\d to]+), ", head)) else "" for head in heads]


def test_what_is_ticked_is_printed_and_all_of_it_where_everything_is(quiet_page, printed):
    first = pdf_texts(printed(quiet_page))
    with page_of(quiet_page) as opened:
        opened.page.get_by_role("checkbox", name="Print: Week 6").check()
        opened.page.get_by_role("checkbox", name="Print: Season").uncheck()
        opened.page.get_by_role("checkbox", name="Print: Lots").check()
        chosen = pdf_texts(opened.pdf())
        opened.page.get_by_role("checkbox", name="Print: everything").check()
        everything = pdf_texts(opened.pdf())
    assert printed_weeks(first)[3:5] == ["1 to 2", "3 to 4"]
    assert set(printed_weeks(first)) == {"", "1 to 2", "3 to 4"}
    assert any("Harvest against orders" in page for page in first)
    assert not any("Crop figures and where" in page for page in first)
    assert [week for week in printed_weeks(chosen) if week] == ["1 to 2", "3 to 4", "6"]
    assert not any("Harvest against orders" in page for page in chosen)
    assert any(re.search(r"^ *Lot +Crop", page, re.M) for page in chosen)
    assert [week for week in printed_weeks(everything) if week] == ["1 to 2", "3 to 4", "5 to 6"]
    assert any("Crop figures and where" in page for page in everything)


def test_small_weeks_share_a_page_and_each_keeps_its_heading(quiet_page, printed):
    pages = pdf_texts(printed(quiet_page))
    (shared,) = (page for page in pages if "Weeks 3 to 4, 16 to 29 March 2026" in page)
    assert [int(number) for number in re.findall(r"^ *Week (\d) +\d", shared, re.M)] == [3, 4]
    assert "Nothing to do this week." in shared


def test_each_place_is_drawn_once_a_week_on_paper_and_each_day_when_asked(example_page, printed):
    title = re.compile(r"^ *North trough +\w{3} \d+ \w{3} 2026, end of the day", re.M)
    once = [title.findall(page) for page in pdf_texts(printed(example_page))]
    with page_of(example_page) as opened:
        drawn = opened.page.locator(".day .picture").count()
        opened.page.get_by_role("checkbox", name="Print: pictures of each day").check()
        daily = [title.findall(page) for page in pdf_texts(opened.pdf())]
        assert opened.page.locator(".standing .picture:visible").count() == 0
    assert sum(map(len, once)) == 2
    assert 2 < sum(map(len, daily)) < drawn


def test_colours_of_drawings_are_printed_without_being_asked_for(example_page, shown):
    page = shown(example_page).page
    adjust = page.evaluate(
        "() => { const seen = new Set(); for (const e of document.querySelectorAll('.drawing *')) "
        "seen.add(getComputedStyle(e).printColorAdjust); return [...seen]; }"
    )
    page.emulate_media(media="print")
    exact = page.evaluate("() => getComputedStyle(document.querySelector('.drawing rect')).printColorAdjust")
    page.emulate_media(media="null")
    assert adjust
    assert exact == "exact"


def test_boxes_to_tick_and_to_write_into_are_there_for_every_line(example_page, shown):
    page = shown(example_page).page
    empty = page.evaluate(
        """() => [...document.querySelectorAll('.work tbody tr:not(.kind)')].filter(row =>
             ['first', 'last'].some(end => {
               const box = getComputedStyle(row.querySelector('td:' + end + '-child'), '::before');
               return box.borderTopStyle !== 'solid' || parseFloat(box.height) < 10; })).length"""
    )
    lines = page.evaluate("() => document.querySelectorAll('.work tbody tr:not(.kind)').length")
    assert empty == 0
    assert lines > 50


def test_the_page_says_the_same_in_the_dark(quiet_page):
    with page_of(quiet_page, color_scheme="dark") as opened:
        ground = opened.page.evaluate("() => getComputedStyle(document.body).backgroundColor")
        ink = opened.page.evaluate("() => getComputedStyle(document.body).color")
    assert (ground, ink) == ("rgb(255, 255, 255)", "rgb(22, 22, 22)")

"""The report of a large farm is a page a week, with a page that leads to them; a small one stays one page."""

import re
from html.parser import HTMLParser

import pytest
from browser import PHONE, page_of, pdf_texts, to_pdf
from reports import example, weeks_of, without_charts

from scheduler.outputs.report import parted
from scheduler.outputs.report.page import report_html
from scheduler.outputs.report.parted import is_parted, report_files, slots_of


class Links(HTMLParser):
    """Addresses and names of parts of a page."""

    def __init__(self, page):
        super().__init__()
        self.hrefs, self.ids = [], []
        self.feed(page.decode())

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name == "href" and tag == "a":
                self.hrefs.append(value)
            elif name == "id":
                self.ids.append(value)


@pytest.fixture(scope="module")
def given():
    farm, plan = example()
    return weeks_of(farm, 15, 2), plan


@pytest.fixture(scope="module")
def whole(given):
    return report_html(*given)


@pytest.fixture(scope="module")
def large(given):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(parted, "ONE_PAGE", slots_of(given[0]))
        return report_files(*given)


def text_of(page, anchor):
    whole = page if isinstance(page, str) else page.decode()
    return re.search(rf'<section class="week" id="{anchor}".*?</section>\n</section>', whole, re.DOTALL)


def test_a_small_farm_has_one_page(given, whole):
    assert not is_parted(given[0])
    assert report_files(*given) == {"report.html": whole.encode()}


def test_each_week_is_a_page_and_links_lead_to_pages_that_are_there(large):
    assert sorted(large) == [
        "report.html",
        "report/back.html",
        *(f"report/week-{number}.html" for number in (15, 16)),
    ]
    for name, page in large.items():
        folder = name.rpartition("/")[0]
        found = Links(page)
        for href in found.hrefs:
            path, _, part = href.partition("#")
            target = path.removeprefix("../") if path.startswith("../") else f"{folder}/{path}".strip("/")
            there = large[target if path else name]
            assert not part or part in Links(there).ids, (name, href)
    first = Links(large["report.html"]).hrefs
    assert {name for name in large if name != "report.html"} <= set(first)


def test_a_week_s_page_says_what_the_one_page_says_of_it(whole, large):
    words = re.compile(r"<(?:svg|figure).*?</(?:svg|figure)>|<[^>]*>", re.DOTALL)
    for name, page in large.items():
        anchor = name.rpartition("/")[2].removesuffix(".html")
        if anchor.startswith("week-"):
            days = [
                re.findall(r'<tr><td><th scope="row">.*', each.decode() if isinstance(each, bytes) else each)
                for each in (page,)
            ]
            assert days[0]
            assert all(words.sub("", line) in words.sub("", whole) for line in days[0])
            assert f'id="{anchor}"' in page.decode()


def test_every_page_loads_nothing_and_names_the_farm(large):
    for page in large.values():
        assert b"default-src 'none'" in page
        assert page.count(b"<!doctype html>") == page.count(b"</html>") == page.count(b"<body>") == 1
        assert b"Alder Quay Greens" in page


def test_pictures_are_left_out_of_a_very_large_farm_and_how_to_draw_them_is_said(given, monkeypatch):
    monkeypatch.setattr(parted, "ONE_PAGE", 0)
    monkeypatch.setattr(parted, "DRAWN", 0)
    with without_charts():
        files = report_files(*given)
    weeks = [page for name, page in files.items() if "week-" in name]
    assert not any(b'<figure class="picture"' in page for page in weeks)
    assert b"raftway draw" in files["report.html"]


@pytest.fixture(scope="module")
def apart(given):
    with pytest.MonkeyPatch.context() as patch, without_charts():
        patch.setattr(parted, "ONE_PAGE", 0)
        patch.setattr(parted, "MOST_LOTS", 20)
        patch.setattr(parted, "_sheets", lambda *_: iter(()))
        return report_files(*given)


def test_lots_that_are_too_many_for_one_page_stand_on_pages_of_their_own(large, apart):
    files = apart
    codes = re.compile(r'<th scope="row"><bdi>([A-Z]{3}-[0-9]{6}[^<]*)</bdi></th><td><bdi>')
    every = codes.findall(large["report/back.html"].decode())
    names = [name for name in files if "lots-" in name]
    found = [codes.findall(files[name].decode()) for name in names]
    assert len(every) > 40
    assert [code for codes in found for code in codes] == every
    assert max(map(len, found)) == 20
    assert codes.findall(files["report/back.html"].decode()) == []
    led = [f"report/{href}" for href in Links(files["report/back.html"]).hrefs if href.startswith("lots-")]
    assert led == names
    assert all(Links(files[name]).hrefs == ["../report.html"] for name in names)


@pytest.mark.chromium
def test_a_page_of_lots_fits_a_phone(apart):
    with page_of(apart["report/lots-1.html"].decode(), PHONE) as opened:
        assert not opened.is_wider_than_its_window()


@pytest.mark.chromium
def test_a_week_s_page_is_printed_without_a_tick(large):
    pages = pdf_texts(to_pdf(large["report/week-15.html"].decode()))
    assert "Work from the top of a day" in pages[0]
    assert all("Week 15, 8 to 14 June 2026" in page for page in pages)

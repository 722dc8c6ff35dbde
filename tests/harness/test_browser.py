"""The browser of the tests: one page from the disk, and nothing else."""

import pytest
from browser import page_of, pdf_texts, to_pdf

pytestmark = pytest.mark.chromium

PAGE = """<!doctype html><html><head><title>Rows</title>
<style>@page { size: A5; margin: 10mm } .two { break-before: page }</style></head>
<body><h1>First</h1><p class="two">Second</p></body></html>"""


def test_a_page_from_text_or_disk_is_opened_and_asks_for_nothing(tmp_path):
    path = tmp_path / "rows.html"
    path.write_text(PAGE)
    for source in (PAGE, path):
        with page_of(source, 390) as opened:
            assert (opened.page.title(), opened.page.evaluate("innerWidth")) == ("Rows", 390)
            assert not opened.is_wider_than_its_window()
        assert (opened.outside, opened.errors) == ([], [])


@pytest.mark.parametrize(
    "text",
    [
        "<img src='//pictures.invalid/a.png'>",
        "<script src='http" + "://scripts.invalid/a.js'></script>",
        "<style>@import 'http" + "://styles.invalid/a.css';</style>",
        "<style>@font-face { font-family: F; src: url('http" + "://f.invalid/a.woff') } p { font-family: F }"
        "</style><p>Text</p>",
        "<iframe src='http" + "://frames.invalid/'></iframe>",
        "<img src='picture.png'>",
        "<script>fetch('http" + "://data.invalid/').catch(() => 0)</script>",
    ],
)
def test_what_a_page_asks_for_beside_itself_is_refused_and_listed(text):
    with page_of("<!doctype html><title>T</title>" + text) as opened:
        opened.page.wait_for_timeout(200)
        assert len(opened.outside) == 1, opened.outside


def test_a_page_within_a_page_shares_the_browser():
    with page_of(PAGE) as one, page_of("<title>Other</title><p style='width: 5000px'>wide") as other:
        assert (one.page.title(), other.page.title()) == ("Rows", "Other")
        assert other.is_wider_than_its_window()


def test_faults_of_scripts_are_listed():
    with page_of("<script>console.error('oh'); throw new Error('no')</script>") as opened:
        assert sorted(opened.errors) == ["no", "oh"]


def test_a_page_prints_on_the_paper_it_names():
    pdf = to_pdf(PAGE)
    assert [text.split() for text in pdf_texts(pdf)] == [["First"], ["Second"]]

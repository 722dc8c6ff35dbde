"""Names that would do harm do none in any output of any command, and no command reaches beyond its folder."""

import csv
import io
import json
import re
import zipfile
from html.parser import HTMLParser
from xml.etree.ElementTree import fromstring

import pytest
from hostile_books import MARK, NAMES, ran

from scheduler.book.from_csv import read_folder
from scheduler.book.grids import grids_of
from scheduler.book.guard import is_calculated
from scheduler.book.number_hints import NUMBER

BIDI = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")
STEERS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029]")
RUNS = {
    "script",
    "iframe",
    "object",
    "embed",
    "link",
    "form",
    "base",
    "frame",
    "img",
    "audio",
    "video",
    "button",
    "textarea",
    "select",
}
"""Elements that run, load or send something; a tick (input) sends nothing where there is no form."""

DRAWN = {"svg", "defs", "g", "use", "path", "rect", "line", "circle", "polygon", "polyline", "text", "tspan"}
DRAWN |= {"title", "style", "pattern", "clipPath", "desc", "marker"}


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    base = tmp_path_factory.getbasetemp()
    return ran(base.parent if base.name.startswith("popen-") else base)


def of_kind(done, suffix):
    found = [path for path in done.files if path.suffix == suffix]
    assert found
    return found


class Page(HTMLParser):
    """What stands in a page: tags, attributes and text."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.tags, self.attributes, self.styles, self.words, self._open = set(), [], [], [], ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes += attrs
        self._open = tag

    def handle_endtag(self, _tag):
        self._open = ""

    def handle_data(self, data):
        (self.styles if self._open == "style" else self.words).append(data)


def test_every_command_says_what_it_did_or_what_is_wrong(done):
    codes = {name: told["code"] for name, told in done.said.items()}
    refused = {name: code for name, code in codes.items() if code not in (0, 3)}
    asked_for = ("show nothing", "draw nothing", "trace nothing", "water")
    told = {name: done.said[name]["err"] for name in refused}
    assert refused == {**dict.fromkeys(asked_for, 2), "record nothing": 1}, told


def test_no_command_reaches_for_the_network(done):
    assert done.tried == ""


def test_nothing_is_written_outside_the_folder_of_outputs(done):
    assert done.changed == []


def test_files_have_plain_names_on_every_system(done):
    top = done.folder / "work" / "out"
    names = [path.relative_to(top).as_posix() for path in done.files]
    assert [name for name in names if not re.fullmatch(r"[a-z0-9_]+([./-]+[a-z0-9_]+)*", name)] == []
    stems = {part.split(".")[0] for name in names for part in name.split("/")}
    assert stems.isdisjoint({"con", "nul", "aux", "prn"})
    assert [path for path in done.files if path.is_symlink()] == []


def test_no_output_steers_a_terminal(done):
    for name, told in done.said.items():
        said = str(told["out"]) + str(told["err"])
        assert not STEERS.search(said), (name, STEERS.search(said))
        assert not BIDI.search(said), name


def test_no_cell_of_a_table_is_calculated(done):
    for path in of_kind(done, ".csv"):
        text = path.read_bytes().decode("utf-8")
        for row in csv.reader(io.StringIO(text, newline=""), strict=True):
            assert [c for c in row if is_calculated(c) and not NUMBER.fullmatch(c)] == [], path


def test_tables_that_others_open_hold_no_signs_that_steer(done):
    for path in of_kind(done, ".csv"):
        if path.name in ("equipment.csv",) and "(my remarks)" in path.read_text(encoding="utf-8"):
            continue  # a book's remarks are carried over as they are
        assert not STEERS.search(path.read_text(encoding="utf-8")), path


def test_pages_run_nothing_and_load_nothing(done):
    for path in of_kind(done, ".html"):
        text = path.read_text(encoding="utf-8")
        page = Page(text)
        assert page.tags.isdisjoint(RUNS), path
        assert [each for each in page.attributes if each[0].startswith("on")] == [], path
        addresses = [
            value for name, value in page.attributes if name in ("href", "src", "xlink:href", "action")
        ]
        assert [each for each in addresses if not each.startswith(("#", "data:image/"))] == [], path
        assert "default-src 'none'" in text, path
        assert MARK not in "".join(name + (value or "") for name, value in page.attributes if name == "style")


def test_no_name_gets_into_a_style_sheet(done):
    for path in of_kind(done, ".html"):
        for style in Page(path.read_text(encoding="utf-8")).styles:
            assert "@import" not in style
            assert "url(" not in re.sub(r"url\((#|data:)", "", style), path
            # names stand there only inside quotation marks, written by the numbers of their signs
            assert not re.search(rf"<|{MARK}\(|onload=", style), path


def test_pages_show_names_as_text_and_turn_no_writing_round(done):
    for path in of_kind(done, ".html"):
        page = Page(path.read_text(encoding="utf-8"))
        words = "".join(page.words)
        assert not STEERS.search(words), path
        assert not BIDI.search(words), path
    report = (done.folder / "work/out/plan/report.html").read_text(encoding="utf-8")
    words = "".join(Page(report).words)
    for name in ("farm", "crop", "product", "trough", "customer", "shelf"):
        assert NAMES[name] in words, name


def test_drawings_hold_shapes_and_text_alone(done):
    for path in of_kind(done, ".svg"):
        root = fromstring(path.read_bytes())  # our own file
        for each in root.iter():
            assert each.tag.rpartition("}")[2] in DRAWN, (path, each.tag)
            assert not [name for name in each.attrib if name.startswith("on")], path
            assert all(v.startswith("#") for name, v in each.attrib.items() if name.endswith("href")), path
            assert not BIDI.search(each.text or ""), path


def test_calendars_hold_the_events_of_raftway_alone(done):
    for path in of_kind(done, ".ics"):
        raw = path.read_bytes()
        lines = raw.decode("utf-8").split("\r\n")
        assert max(len(line.encode()) for line in lines) <= 75
        whole = raw.decode("utf-8").replace("\r\n ", "").split("\r\n")
        assert not STEERS.search("".join(whole)), path
        names = {re.split("[:;]", line)[0] for line in whole if line}
        assert names <= {
            *(
                "BEGIN",
                "END",
                "VERSION",
                "PRODID",
                "CALSCALE",
                "UID",
                "NAME",
                "X-WR-CALNAME",
                "REFRESH-INTERVAL",
            ),
            *(
                "X-PUBLISHED-TTL",
                "X-RAFTWAY-FARM",
                "X-RAFTWAY-PARTS",
                "SUMMARY",
                "DTSTART",
                "DTEND",
                "DTSTAMP",
            ),
            *(
                "LAST-MODIFIED",
                "SEQUENCE",
                "CATEGORIES",
                "TRANSP",
                "STATUS",
                "DESCRIPTION",
                "ACTION",
                "TRIGGER",
            ),
        }, path
        assert whole.count("BEGIN:VEVENT") == len([line for line in whole if line.startswith("UID:")]) - 1, (
            path
        )


def test_workbooks_calculate_nothing_and_lead_nowhere(done):
    for path in of_kind(done, ".xlsx"):
        with zipfile.ZipFile(path) as archive:
            for name in archive.namelist():
                assert re.fullmatch(r"[\w\[\]./]+", name), (path, name)
                assert ".." not in name
                assert "external" not in name.lower(), (path, name)
                data = archive.read(name)
                root = fromstring(data)  # our own file
                assert not root.findall(".//{*}sheetData//{*}f"), (path, name)
                assert b'TargetMode="External"' not in data, (path, name)


def test_what_is_kept_for_programs_is_whole_json(done):
    for path in of_kind(done, ".json"):
        json.loads(path.read_bytes())
    for line in (done.folder / "work/out/sweep.jsonl").read_text(encoding="utf-8").splitlines():
        assert set(json.loads(line)) == {"key", "answer"}


def test_a_book_comes_back_the_same_from_a_workbook_and_from_tables(done):
    first, again = (
        grids_of(read_folder(done.folder / "work" / each), longest=None) for each in ("book", "out/again")
    )
    for name in ("crops", "orders", "troughs", "equipment"):
        assert again[name].rows == first[name].rows, name

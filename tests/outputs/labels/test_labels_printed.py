"""Labels as a browser prints them: their place in millimetres, whole texts, QR codes others can read."""

import re
from dataclasses import replace
from functools import cache

import pytest
from browser import page_of, pdf_pictures, to_pdf
from farms import make_crop, make_farm
from plans import Batch, build, edit

from scheduler.outputs.labels.page import labels_html
from scheduler.outputs.labels.sheets import label_sheets, mm

zxingcpp = pytest.importorskip("zxingcpp")
Image = pytest.importorskip("PIL.Image")

MM_PER_INCH = 25.4
PIXELS_PER_MM = 96 / MM_PER_INCH
DOTS = 200
NAMES = sorted(label_sheets())
PLACES = """
Array.from(document.querySelectorAll('.label')).map(label => {
  const sheet = label.parentElement.getBoundingClientRect(), box = label.getBoundingClientRect();
  return [box.left - sheet.left, box.top - sheet.top, box.width, box.height];
})
"""
CUT_OFF = """
Array.from(document.querySelectorAll('.label, .top, .names, .code, .next, .dates'))
  .filter(part => part.scrollHeight > part.clientHeight + 1
    || !part.matches('.top, .label') && part.scrollWidth > part.clientWidth + 1)
  .map(part => [part.className, part.scrollHeight, part.clientHeight, part.innerText])
"""


@pytest.fixture(scope="module")
def farm():
    crops = [make_crop("Butterhead", code="BUT"), make_crop("Basil", code="BAS", board=None)]
    return make_farm(crops=crops, lane_slots=80, zone_slots=40, tier_slots=40)


@pytest.fixture(scope="module")
def plan(farm):
    butterhead = [
        Batch(crop="Butterhead", sown=day, rows=5, boards=(12,), board_day=day + 10, raft_day=day + 20)
        for day in range(6)
    ]
    basil = [
        Batch(
            crop="Basil",
            sown=day,
            board_day=None,
            raft_day=day + 10,
            rafts=(6,) * 4,
            cuts=tuple((day + 24 + cut, 1) for cut in range(6)),
        )
        for day in range(6)
    ]
    return build(farm, *butterhead, *basil)


@pytest.fixture(scope="module")
def measured(farm, plan):
    """Name of a sheet -> where its labels lie, in pixels, and what is cut off; each sheet is opened once."""

    @cache
    def measure(name):
        with page_of(labels_html(farm, plan, name)) as opened:
            opened.page.emulate_media(media="print")
            assert opened.outside == []
            assert opened.errors == []
            return opened.page.evaluate(PLACES), opened.page.evaluate(CUT_OFF)

    return measure


@pytest.mark.chromium
@pytest.mark.parametrize("name", NAMES)
def test_every_label_lies_where_the_sheet_has_it_to_a_twentieth_of_a_millimetre(measured, name):
    sheet, (found, _) = label_sheets()[name], measured(name)
    assert len(found) == 54
    for number, pixels in enumerate(found):
        wanted = (*sheet.place(number % sheet.places), *sheet.label)
        assert [pixel / PIXELS_PER_MM for pixel in pixels] == pytest.approx(
            [each / 1000 for each in wanted], abs=0.05
        )


@pytest.mark.chromium
@pytest.mark.parametrize("name", NAMES)
def test_nothing_of_an_ordinary_label_is_cut_off(measured, name):
    assert measured(name)[1] == []


@pytest.mark.chromium
@pytest.mark.parametrize("name", ["a4-3x8", "letter-3x10", "a4-5x13"])
def test_printed_qr_codes_lie_on_their_labels_and_read_as_the_lot(farm, plan, name, tmp_path):
    sheet, page = label_sheets()[name], labels_html(farm, plan, name)
    pictures = pdf_pictures(to_pdf(page), tmp_path, DOTS)
    codes = re.findall(r'class="code"[^>]*><bdi>(.*?)</bdi>', page)
    assert len(pictures) == -(-len(codes) // sheet.places)
    for number, path in enumerate(pictures):
        picture = Image.open(path)
        assert [side / DOTS * MM_PER_INCH for side in picture.size] == pytest.approx(
            [each / 1000 for each in sheet.paper], abs=0.3
        )
        on_this = codes[number * sheet.places : (number + 1) * sheet.places]
        read = {}
        for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode):
            corner = code.position.bottom_left
            across, down = (at / DOTS * MM_PER_INCH * 1000 for at in (corner.x, corner.y))
            read[_place(sheet, across, down)] = code.text
        assert read == dict(enumerate(on_this))


def _place(sheet, across, down):
    """Return the number of the label that a point of the paper, in thousandths of a mm, lies on."""
    for number in range(sheet.places):
        left, top = sheet.place(number)
        if left <= across <= left + sheet.label[0] and top <= down <= top + sheet.label[1]:
            return number
    raise AssertionError(f"nothing lies {mm(int(across))} mm across and {mm(int(down))} mm down")


@pytest.mark.chromium
def test_letters_of_other_scripts_read_as_they_are(farm, plan, tmp_path):
    lot = "Salát-Ωß-12"
    changed = edit(plan, "lots", {"lot": "BUT-260302"}, lot=lot)
    changed = edit(changed, "contents", {"lot": "BUT-260302"}, lot=lot)
    page = labels_html(farm, changed, "a4-2x4", 0, 0)
    (picture,) = pdf_pictures(to_pdf(page), tmp_path, DOTS)
    assert lot in {code.text for code in zxingcpp.read_barcodes(Image.open(picture))}


@pytest.mark.chromium
@pytest.mark.parametrize("name", ["a4-3x8", "letter-3x10", "a4-5x13", "a4-cut"])
def test_names_without_end_stay_on_their_label(farm, plan, name):
    long = "Very-long-name " * 60
    lot = "W" * 400
    crops = {key: replace(crop, variety=long) for key, crop in farm.crops.items()}
    changed = edit(plan, "lots", {"lot": "BUT-260302"}, lot=lot)
    changed = edit(changed, "contents", {"lot": "BUT-260302"}, lot=lot)
    changed = edit(changed, "positions", {"unit": "T1"}, place=long)
    page = labels_html(replace(farm, name=long, crops=crops), changed, name)
    with page_of(page) as opened:
        opened.page.emulate_media(media="print")
        sizes = opened.page.evaluate(PLACES)
        beyond = opened.page.evaluate(
            "Array.from(document.querySelectorAll('.next, .qr, .dates')).filter(part => "
            "part.getBoundingClientRect().bottom > part.closest('.label').getBoundingClientRect().bottom + 1)"
            ".length"
        )
        printed = opened.pdf()
    sheet = label_sheets()[name]
    assert {tuple(round(side / PIXELS_PER_MM, 1) for side in size[2:]) for size in sizes} == {
        tuple(round(side / 1000, 1) for side in sheet.label)
    }
    assert beyond == 0
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == page.count("<section")


@pytest.mark.chromium
def test_the_ruler_of_a_sheet_to_cut_is_50_mm_long(farm, plan, tmp_path):
    page = labels_html(farm, plan, "a4-cut")
    with page_of(page) as opened:
        opened.page.emulate_media(media="print")
        width = opened.page.evaluate("document.querySelector('.ruler').getBoundingClientRect().width")
    assert width / PIXELS_PER_MM == pytest.approx(50, abs=0.05)


@pytest.mark.chromium
def test_the_hint_is_for_the_screen_and_not_for_the_paper(farm, plan):
    with page_of(labels_html(farm, plan, "a4-3x8")) as opened:
        assert opened.page.locator(".hint").is_visible()
        opened.page.emulate_media(media="print")
        assert not opened.page.locator(".hint").is_visible()

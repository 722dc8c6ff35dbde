"""Label sheets: every one in the table fits its paper, and a grower's own is checked before it is used."""

import pytest

from crops.published import table
from scheduler.outputs.labels.sheets import SheetRefused, label_sheets, mm, sheet_of

NAMES = sorted(label_sheets())


@pytest.mark.parametrize("name", NAMES)
def test_labels_lie_in_the_middle_of_their_paper_and_not_on_each_other(name):
    sheet = label_sheets()[name]
    across = [sheet.place(number)[0] for number in range(sheet.columns)]
    down = [sheet.place(number * sheet.columns)[1] for number in range(sheet.rows)]
    assert all(right - left >= sheet.label[0] for left, right in zip(across, across[1:], strict=False))
    assert all(low - high >= sheet.label[1] for high, low in zip(down, down[1:], strict=False))
    assert abs(sheet.paper[0] - sheet.label[0] - across[-1] - across[0]) <= 20
    if not sheet.cut_lines:
        assert abs(sheet.paper[1] - sheet.label[1] - down[-1] - down[0]) <= 20


def test_a_sheet_to_cut_has_room_above_for_its_heading_and_white_all_around():
    cut = [sheet for sheet in label_sheets().values() if sheet.cut_lines]
    assert {sheet.paper for sheet in cut} == {(210_000, 297_000), (215_900, 279_400)}
    for sheet in cut:
        assert sheet.margin[1] >= 15_000
        assert min(sheet.margin) >= 10_000
        assert sheet.paper[1] - sheet.place(sheet.places - 1)[1] - sheet.label[1] >= 10_000


@pytest.mark.parametrize("row", table("label_sheets"), ids=lambda row: row["sheet"])
def test_a_name_says_paper_and_grid_and_the_value_counts_the_labels(row):
    sheet = label_sheets()[row["sheet"]]
    paper = {"210": "a4", "215.9": "letter"}[row["paper_width_mm"]]
    assert row["sheet"] == f"{paper}-cut" if sheet.cut_lines else f"{paper}-{sheet.columns}x{sheet.rows}"
    assert int(row["value"]) == sheet.places
    assert row["note"].startswith(("common practice, no source", "own grid")), row["note"]
    assert row["evidence"] in ("COMMON PRACTICE", "ESTIMATE")


def test_labels_are_counted_along_the_rows():
    sheet = sheet_of("a4-3x8")
    assert [sheet.place(number) for number in (0, 1, 3, 23)] == [
        (0, 500),
        (70_000, 500),
        (0, 37_500),
        (140_000, 259_500),
    ]


def test_a_name_may_be_written_in_capitals_and_with_a_blank():
    assert sheet_of("A4 3x8") is label_sheets()["a4-3x8"]


def test_measures_of_one_s_own_are_taken_and_places_add_up_exactly():
    sheet = sheet_of("210x297 3x8 63.5x33.9 7.25X12 2.5x0")
    assert (sheet.columns, sheet.rows, sheet.places) == (3, 8, 24)
    assert sheet.place(5) == (7_250 + 2 * 66_000, 12_000 + 33_900)


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ("a4-3x9", "no label sheet 'a4-3x9'; did you mean a4-3x8? your own is given as "),
        ("", "no label sheet ''; there is a4-2x4, a4-2x5, "),
        ("\x1b[2J", "no label sheet ' [2J'; there is a4-2x4, "),
        ("210x297 3x8 70x37 0x0.5", "no label sheet"),
        ("210x297 3x8 70x37 0x0.5 0x-1", "no label sheet"),
        ("210x297 3x8 70x37 0x0.6 0x0", None),
        ("210x297 3x8 70x37 0x1.2 0x0", "the labels end 0.2 mm beyond paper 297 mm high; make them smaller"),
        ("210x297 3x8 70.1x37 0x0 0x0", "the labels end 0.3 mm beyond paper 210 mm wide; make them smaller"),
        ("210x297 2.5x8 70x37 0x0 0x0", "labels across and down: give whole numbers from 1"),
        ("210x297 0x8 70x37 0x0 0x0", "labels across and down: give whole numbers from 1"),
        ("210x297 3x8 24.9x37 0x0 0x0", "give labels of at least 25 mm wide"),
        ("210x297 3x8 70x14.9 0x0 0x0", "give labels of at least 15 mm high"),
        ("2100x297 3x8 70x37 0x0 0x0", "give paper of at most 1200 mm"),
    ],
)
def test_what_does_not_fit_or_is_not_known_is_told(asked, told):
    if told is None:
        assert sheet_of(asked).name == asked
        return
    with pytest.raises(SheetRefused) as refused:
        sheet_of(asked)
    assert str(refused.value).startswith(told)


@pytest.mark.parametrize(
    ("thousandths", "text"),
    [
        (0, "0"),
        (10_000, "10"),
        (37_500, "37.5"),
        (66_675, "66.675"),
        (100_000, "100"),
        (-300, "-0.3"),
        (1_000_500, "1000.5"),
    ],
)
def test_millimetres_are_written_without_needless_digits(thousandths, text):
    assert mm(thousandths) == text

"""The office of the tests: a workbook in, other forms out."""

import pytest
from browser import pdf_texts
from office import office_to
from openpyxl import Workbook, load_workbook

pytestmark = pytest.mark.office


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    path = tmp_path_factory.mktemp("office") / "rows.xlsx"
    book = Workbook()
    book.active.title = "First"
    book.active.append(["Row", "Rafts, all"])
    book.active.append(["N1", 12])
    book.create_sheet("Second").append(["=1+1", 0.5])
    book.save(path)
    return path


def test_every_sheet_becomes_a_csv_file_of_what_its_cells_show(book):
    made = office_to(book, "csv")
    assert [path.name for path in made] == ["rows-First.csv", "rows-Second.csv"]
    assert made[0].read_text() == 'Row,"Rafts, all"\nN1,12\n'
    assert made[1].read_text() == "2,0.5\n"


def test_a_workbook_is_saved_again_and_printed(book, tmp_path):
    (saved,) = office_to(book, "xlsx", tmp_path)
    assert load_workbook(saved)["First"]["A2"].value == "N1"
    (printed,) = office_to(book, "pdf", tmp_path)
    assert "Rafts, all" in pdf_texts(printed.read_bytes())[0]


def test_what_is_no_document_fails_the_test(tmp_path):
    with pytest.raises(AssertionError):
        office_to(tmp_path / "nothing.xlsx", "pdf")

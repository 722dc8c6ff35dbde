"""What a low-memory reading of a sheet does not tell: its extent, merged cells and uncalculated formulas.

Each part is streamed once, so a sheet of any size costs time in step with its bytes and no memory.
"""

import posixpath
import re
import zipfile
from dataclasses import dataclass, field

from scheduler.book.from_xlsx_guard import DAMAGE, DAMAGED, NoWorkbook, xml_parser

MOST_TOLD = 200
"""Most formulas without a saved value, and most merged ranges, that are told one by one."""

ADDRESS = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPart:
    """A sheet by its name, and the part of the archive that holds it."""

    name: str
    part: str


@dataclass(slots=True)
class SheetFacts:
    """Facts of one sheet.

    Attributes:
        last_row, last_column: of the cells that hold something; 0 for an empty sheet.
        merged: ranges of merged cells, as written (``B2:C3``).
        unsaved: (row, column) of formulas that were never calculated.
    """

    last_row: int = 0
    last_column: int = 0
    merged: list[str] = field(default_factory=list)
    unsaved: set[tuple[int, int]] = field(default_factory=set)


def sheet_parts(archive: zipfile.ZipFile) -> list[SheetPart]:
    """Return the sheets of a workbook in order, hidden ones included.

    Raises:
        NoWorkbook: it lacks the parts that say so.
    """
    try:
        main = next(
            (
                _within("", relation["Target"])
                for relation in _elements(archive, "_rels/.rels", "Relationship")
                if relation["Type"].endswith("/officeDocument")
            ),
            "xl/workbook.xml",
        )
        if _is_strict(archive, main):
            raise NoWorkbook(
                "a workbook in the strict form of .xlsx",
                "the usual form: save it as 'Excel Workbook (.xlsx)'",
            )
        folder, name = posixpath.split(main)
        targets = {
            relation["Id"]: _within(folder, relation["Target"])
            for relation in _elements(archive, f"{folder}/_rels/{name}.rels", "Relationship")
        }
        sheets = _elements(archive, main, "sheet")
        return [SheetPart(name=sheet["name"], part=targets[sheet["id"]]) for sheet in sheets]
    except (KeyError, *DAMAGE):
        raise NoWorkbook(*DAMAGED) from None


def sheet_facts(archive: zipfile.ZipFile, part: str) -> SheetFacts:
    """Stream one sheet.

    Raises:
        NoWorkbook: the sheet is missing or damaged.
    """
    scan = _Scan()
    parser = xml_parser(part)
    parser.StartElementHandler = scan.start
    parser.EndElementHandler = scan.end
    parser.CharacterDataHandler = scan.text
    try:
        with archive.open(part) as file:
            parser.ParseFile(file)
    except (KeyError, ValueError, *DAMAGE):
        raise NoWorkbook(*DAMAGED) from None
    return scan.facts


def column_number(letters: str) -> int:
    """Return the number of a column by its letters: ``A`` is 1, ``AA`` is 27."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def _within(folder: str, target: str) -> str:
    return posixpath.normpath(posixpath.join("/" + folder, target)).lstrip("/")


def _elements(archive: zipfile.ZipFile, part: str, wanted: str) -> list[dict[str, str]]:
    """Return the attributes of every element of one name, without namespaces."""
    found: list[dict[str, str]] = []

    def start(name: str, attributes: dict[str, str]) -> None:
        if _local(name) == wanted:
            found.append({_local(key): value for key, value in attributes.items()})

    parser = xml_parser(part)
    parser.StartElementHandler = start
    parser.Parse(archive.read(part), True)
    return found


def _is_strict(archive: zipfile.ZipFile, part: str) -> bool:
    return b"purl.oclc.org/ooxml/spreadsheetml" in archive.read(part)


def _local(name: str) -> str:
    return name.rpartition(" ")[2]


class _Scan:
    """Follows the elements of one sheet and keeps only where it is."""

    def __init__(self) -> None:
        self.facts = SheetFacts()
        self._row = self._column = 0
        self._kind = ""
        self._formula = self._valued = self._filled = self._inside = False

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """Take the beginning of an element."""
        name = _local(name)
        if name == "row":
            self._row = int(attributes.get("r", self._row + 1))
            self._column = 0
        elif name == "c":
            match = ADDRESS.fullmatch(attributes.get("r", ""))
            if match:
                self._column, self._row = column_number(match[1]), int(match[2])
            else:
                self._column += 1
            self._kind = attributes.get("t", "n")
            self._formula = self._valued = self._filled = False
        elif name == "f":
            self._formula = True
        elif name in ("v", "t"):
            self._inside = True
            self._valued = self._valued or name == "v"
        elif name == "mergeCell" and len(self.facts.merged) < MOST_TOLD:
            self.facts.merged.append(attributes["ref"])

    def text(self, text: str) -> None:
        """Take text: only whether a cell has any counts."""
        if self._inside and text:
            self._filled = True

    def end(self, name: str) -> None:
        """Take the end of an element."""
        name = _local(name)
        if name in ("v", "t"):
            self._inside = False
        elif name == "c":
            # a formula that gives empty text is saved with an empty value, and marked as text
            unsaved = self._formula and not self._filled and not (self._kind == "str" and self._valued)
            if unsaved and len(self.facts.unsaved) < MOST_TOLD:
                self.facts.unsaved.add((self._row, self._column))
            if unsaved or self._filled:
                self.facts.last_row = max(self.facts.last_row, self._row)
                self.facts.last_column = max(self.facts.last_column, self._column)

"""What is let in as a workbook: the file is looked over before anything parses it.

A workbook is a zip file of XML, so a small file can unpack to gigabytes, and a document type can blow up a
parser; both are refused here. A file is read into memory and closed at once: it is never changed or locked.
"""

import io
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from xml.parsers import expat

from scheduler.book.raw import MOST_BYTES, UTF16_MARKS

MOST_PARTS = 500
"""Most files inside a workbook; one with a sheet a table has some fifty."""

MOST_UNPACKED = 60_000_000
"""Most bytes of all parts together; a farm's largest book is below two million (estimate)."""

MOST_STYLES = 5_000_000
"""Most bytes of the parts that are held in memory as objects."""

MOST_RATIO = 200
"""Most times a large part may shrink when packed; sheets of real books shrink 10 to 50 times."""

LARGE = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Most:
    """How large a workbook may be, in bytes.

    Attributes:
        file: the file itself.
        unpacked: all its parts together.
        sheet: one sheet, or all texts of its cells.
    """

    file: int
    unpacked: int
    sheet: int


OF_A_BOOK = Most(file=MOST_BYTES, unpacked=MOST_UNPACKED, sheet=MOST_BYTES)

OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
WORKBOOK = "an .xlsx workbook with a sheet for each table"
SAVED_ANEW = f"{WORKBOOK}: open it in a spreadsheet program and save it as .xlsx"
PROTECTED = ("a workbook with a password", "one without: open it and save it without the password")
DAMAGED = ("a damaged workbook", "a whole one: copy it again, or open it, repair it and save it anew")
DAMAGE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, expat.ExpatError)
"""What reading a part of a damaged zip file raises."""


class NoWorkbook(Exception):  # it is an answer, not an error of the program
    """A file that is no workbook that can be read; ``found`` says what it is, ``expected`` what to do."""

    def __init__(self, found: str, expected: str = WORKBOOK) -> None:
        """Keep what a fault needs besides the place."""
        super().__init__(f"found {found}; expected {expected}")
        self.found, self.expected = found, expected


def workbook_bytes(path: Path, most: Most = OF_A_BOOK) -> bytes:
    """Read a file of a bearable size.

    Raises:
        NoWorkbook: it is too large, or cannot be opened.
    """
    try:
        size = path.stat().st_size
        if size > most.file:
            found = f"a file of {size / 1e6:.1f} million bytes"
            raise NoWorkbook(found, f"at most {most.file // 10**6} million")
        return path.read_bytes()
    except OSError as error:
        raise NoWorkbook(f"a file that cannot be opened ({error.strerror})", "a file to read") from None


def safe_archive(path: Path, data: bytes, most: Most = OF_A_BOOK) -> zipfile.ZipFile:
    """Return the contents of a file as an archive that is safe to parse.

    Raises:
        NoWorkbook: it is something else, is protected, is damaged, or would unpack to too much.
    """
    if not data.startswith(b"PK"):
        raise _something_else(path, data)
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        _check_kind(archive)
        _check_sizes(archive, most)
        for part in archive.infolist():
            if part.filename.endswith((".xml", ".rels", ".vml")):
                _check_prolog(archive, part)
    except DAMAGE:
        raise NoWorkbook(*DAMAGED) from None
    return archive


def _something_else(path: Path, data: bytes) -> NoWorkbook:
    if not data:
        return NoWorkbook("an empty file")
    if path.name.startswith("~$"):
        found = "the mark a spreadsheet program leaves while a workbook is open"
        return NoWorkbook(found, "the workbook itself")
    if data.startswith(OLD_OFFICE):
        if "EncryptedPackage".encode("utf-16-le") in data:
            return NoWorkbook(*PROTECTED)
        return NoWorkbook("a workbook of the old kind (.xls)", SAVED_ANEW)
    if data.startswith(b"%PDF"):
        return NoWorkbook("a PDF")
    return _some_text(data)


def _some_text(data: bytes) -> NoWorkbook:
    text = data[:4000].decode("latin-1").removeprefix("\u00ef\u00bb\u00bf")
    if not data.startswith(UTF16_MARKS) and any(ord(char) < ord("\t") for char in text):
        return NoWorkbook("a file of another kind")
    start = text.lstrip().lower()
    if start.startswith("<?xml"):
        return NoWorkbook("an XML file", SAVED_ANEW)
    if start.startswith("<"):
        return NoWorkbook("a web page", SAVED_ANEW)
    return NoWorkbook("a text file", f"{WORKBOOK}, or the folder in which the CSV tables lie")


def _check_kind(archive: zipfile.ZipFile) -> None:
    names = set(archive.namelist())
    if any(part.flag_bits & 1 for part in archive.infolist()):
        raise NoWorkbook(*PROTECTED)
    if "mimetype" in names and "content.xml" in names:
        raise NoWorkbook("an OpenDocument file (.ods)", SAVED_ANEW)
    if any(name.endswith(".iwa") for name in names):
        raise NoWorkbook("a Numbers document", f"{WORKBOOK}: export it as .xlsx")
    if "xl/workbook.bin" in names:
        raise NoWorkbook("a binary workbook (.xlsb)", SAVED_ANEW)
    if "word/document.xml" in names:
        raise NoWorkbook("a text document (.docx)")
    if "_rels/.rels" not in names or not any(name.startswith("xl/") for name in names):
        raise NoWorkbook("a zip file that is no workbook")


def _check_sizes(archive: zipfile.ZipFile, limits: Most) -> None:
    parts = archive.infolist()
    if len(parts) > MOST_PARTS:
        raise NoWorkbook(f"a workbook of {len(parts)} parts", f"at most {MOST_PARTS}")
    total = sum(part.file_size for part in parts)
    if total > limits.unpacked:
        raise _too_large(total, limits.unpacked)
    for part in parts:
        most = MOST_STYLES if _is_held(part.filename) else limits.sheet
        if part.file_size > most:
            raise _too_large(part.file_size, most, f" in {part.filename}")
        if part.file_size > LARGE and part.file_size > MOST_RATIO * max(part.compress_size, 1):
            times = part.file_size // max(part.compress_size, 1)
            found = f"a workbook whose part {part.filename} unpacks to {times} times its size"
            raise NoWorkbook(found, f"at most {MOST_RATIO} times")


def _is_held(name: str) -> bool:
    return not name.startswith(("xl/worksheets/", "xl/media/", "xl/sharedStrings"))


def _too_large(size: int, most: int, where: str = "") -> NoWorkbook:
    return NoWorkbook(
        f"a workbook that unpacks to {size / 1e6:.1f} million bytes{where}",
        f"at most {most // 10**6} million",
    )


def _check_prolog(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> None:
    """Read up to the root element, before which a document type would have to stand."""
    begun: list[str] = []
    parser = xml_parser(part.filename)
    parser.StartElementHandler = lambda name, _attributes: begun.append(name)
    with archive.open(part) as file:
        while not begun and (chunk := file.read(65_536)):
            parser.Parse(chunk)


def xml_parser(part: str) -> expat.XMLParserType:
    """Return a parser of one part that refuses document types, with which entities would come."""
    parser = expat.ParserCreate(namespace_separator=" ")

    def refuse(*_: object) -> None:
        found = f"a workbook with a document type in {part}"
        raise NoWorkbook(found, "one as a spreadsheet program writes it")

    parser.StartDoctypeDeclHandler = refuse
    return parser

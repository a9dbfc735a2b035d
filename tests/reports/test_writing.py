from __future__ import annotations

import csv
import json
import os
import re
import shutil
import struct
import zlib
from base64 import b64decode
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import openpyxl
import pytest
from lxml import etree

import reports
from pipeline.models import read_models
from reports.exchange import exchanged
from reports.export import FRACTIONS, VIEWS
from reports.making import Making
from reports.source import KEEP, Source
from tests.reports.conftest import Views


@pytest.fixture(scope="module")
def paths(views: Source, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ...]:
    """The files of an edition; not to be changed."""
    return reports.write(tmp_path_factory.mktemp("course"), views)


@pytest.fixture(scope="module")
def written(paths: tuple[Path, ...]) -> Path:
    return paths[0].parent


@pytest.fixture
def course(written: Path, tmp_path: Path) -> Path:
    """A copy of the course whose pages are written, to be changed."""
    return shutil.copytree(written.parent.parent, tmp_path / "course")


@pytest.fixture
def without_figures(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out what takes longest and does not matter to how folders are swapped."""
    monkeypatch.setattr("reports.figures.export_figures", lambda *_: ())


def test_the_files_that_it_names_are_there(paths: tuple[Path, ...]) -> None:
    assert all(path.is_file() for path in paths)
    assert [path.name for path in paths[:2]] == ["index.html", "next-lesson.html"]
    assert {path.suffix for path in paths} == {
        ".html", ".csv", ".xlsx", ".json", ".svg", ".png", ".js", ".docx",
    }  # fmt: skip


def test_writing_again_leaves_the_same_pages_and_nothing_else(
    views: Source, written: Path, course: Path
) -> None:
    paths = reports.write(course, views)

    assert set((course / "reports" / "own").rglob("*.*")) == set(paths)
    assert contents(course / "reports" / "own") == contents(written)
    assert sorted(path.name for path in (course / "reports").glob("[!.]*")) == ["kept", "own"]


def test_a_run_that_dies_leaves_the_last_pages(
    views: Source, written: Path, course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("reports.figures.export_figures", lambda *_: 1 / 0)

    with pytest.raises(ZeroDivisionError):
        reports.write(course, retitled(views))
    assert contents(course / "reports" / "own") == contents(written)


def retitled(views: Views) -> Views:
    """The same figures of a course of another name."""
    course = views.frames["own_course"].assign(title="Algebra by the lake")
    return Views({**views.frames, "own_course": course})


def without_rates(views: Views) -> Views:
    """The same course, its first error not as common."""
    name = "own_pattern_prevalence"
    frame = views.frames[name]
    rate = frame["rate"].mask(frame["rank"] == 1, 0.31)
    return Views({**views.frames, name: frame.assign(rate=rate)})


def contents(folder: Path) -> dict[str, bytes]:
    """All files, with their bytes."""
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()
    }


@pytest.mark.parametrize("change", [retitled, without_rates])
def test_an_edition_over_another_is_that_from_nothing(
    change: Callable[[Views], Views], views: Views, course: Path, tmp_path: Path
) -> None:
    later, first = (
        reports.write(place, change(views))[0].parent for place in (course, tmp_path / "first")
    )

    assert contents(later) == contents(first)
    assert cells(later) == cells(first)


def cells(edition: Path) -> list[object]:
    book = openpyxl.load_workbook(edition / "tables" / "all-tables.xlsx")
    return [(sheet.title, list(sheet.iter_rows(values_only=True))) for sheet in book]


def test_what_was_made_from_the_same_is_not_drawn_again(
    views: Views, course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("_svg", "_png", "_bundle"):
        monkeypatch.setattr(f"reports.figures.{name}", lambda *_: 1 / 0)
    reports.write(course, retitled(views))
    monkeypatch.setattr("reports.writing._pages", lambda *_: 1 / 0)
    paths = reports.write(course, retitled(views))

    assert all(path.is_file() for path in paths)


@pytest.mark.parametrize("change", [Path.unlink, lambda path: path.write_bytes(b"spoilt")])
def test_files_that_are_not_as_they_were_written_are_made_anew(
    change: Callable[[Path], object], written: Path, views: Views, course: Path
) -> None:
    """One file of each kind; an edition stands no longer when it has lost any of them."""
    edition = course / "reports" / "own"
    table = course / "reports" / ".own-made.json"
    making = Making(edition, edition, table, json.loads(table.read_text("utf-8"))["inputs"])
    assert making.stands
    for kind in ("html", "svg", "png", "js", "csv"):
        path = min(edition.rglob(f"*.{kind}"))
        change(path)
        assert not making.stands, kind
        shutil.copy(written / path.relative_to(edition), path)
    for kind in ("html", "svg", "png", "js", "csv"):
        change(min(edition.rglob(f"*.{kind}")))
    reports.write(course, views)

    assert contents(edition) == contents(written)


@pytest.mark.usefixtures("without_figures")
def test_pages_between_the_two_renames_are_brought_back(views: Source, course: Path) -> None:
    folder = course / "reports"
    (folder / "own").rename(folder / ".own-old")
    reports.write(course, views)

    assert sorted(path.name for path in folder.glob("[!.]*")) == ["kept", "own"]


@pytest.mark.parametrize("can", [True, False])
def test_folders_change_names_in_one_step_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, can: bool
) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        folder.mkdir()
        (folder / folder.name).touch()
    if not can:
        monkeypatch.setattr("reports.exchange.ctypes.CDLL", lambda *_, **__: object())
    done = exchanged(first, second)

    assert done <= can
    assert (first / ("second" if done else "first")).exists()
    assert (second / ("first" if done else "second")).exists()


def test_nothing_is_exchanged_with_a_path_that_is_missing(tmp_path: Path) -> None:
    (tmp_path / "first").mkdir()

    assert not exchanged(tmp_path / "first", tmp_path / "second")
    assert (tmp_path / "first").is_dir()


@pytest.mark.usefixtures("without_figures")
def test_a_file_that_is_open_elsewhere_does_not_fail_the_run(
    views: Source, course: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = os.replace

    def locked_folder(path: Path, target: Path) -> Path:
        if path.name == "own":
            raise PermissionError("open in another program")
        return Path(os.rename(path, target) or target)

    def locked_file(source: Path, target: Path) -> None:
        if Path(target).name == "all-tables.xlsx":
            raise PermissionError("open in another program")
        replace(source, target)

    monkeypatch.setattr("reports.writing.exchanged", lambda *_: False)
    monkeypatch.setattr(Path, "rename", locked_folder)
    monkeypatch.setattr(os, "replace", locked_file)
    paths = reports.write(course, retitled(views))

    assert course / "reports" / "own" / "tables" / "all-tables (new).xlsx" in paths
    assert all(path.is_file() for path in paths)


def test_an_unknown_edition_is_refused(views: Source, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="expected one of own"):
        reports.write(tmp_path, views, "everyone")


def test_csv_is_lossless_and_ends_lines_as_the_standard_says(written: Path) -> None:
    """RFC 4180: records end with CRLF."""
    content = (written / "tables" / "unexplained.csv").read_bytes()
    rows = list(csv.DictReader(content.decode("utf-8").splitlines()))

    assert content.count(b"\r\n") == content.count(b"\n") == 3
    assert rows[0]["read_as"] == "=HYPERLINK(3)"
    assert float(rows[0]["share_unexplained"]) == 0.92


def test_no_text_in_the_workbook_is_a_formula(written: Path) -> None:
    """OWASP ASVS 1.2.10: cells that begin with `= + - @` must not be taken for formulas."""
    book = openpyxl.load_workbook(written / "tables" / "all-tables.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    risky = [c for c in cells if isinstance(c.value, str) and c.value[:1] in "=+-@"]

    assert [cell.value for cell in risky] == ["=HYPERLINK(3)"]
    assert risky[0].data_type == "s"
    assert risky[0].quotePrefix
    assert all(cell.data_type != "f" for cell in cells)


def test_a_page_carries_the_chart_library_packed_and_once(written: Path) -> None:
    """Base64 (RFC 4648) of zlib data (RFC 1950), which browsers unpack under the name deflate."""
    library = (written / "figures" / "charts.js").read_bytes()
    for page in written.glob("*.html"):
        packed = re.findall('id="library">(.+?)</script>', page.read_text("utf-8"))
        assert [zlib.decompress(b64decode(one)) for one in packed] == [library] * len(packed)
        assert len(packed) <= 1
        assert page.stat().st_size < 600_000

    assert len(library) > 600_000


def test_the_workbook_shows_days_and_percents_as_a_spreadsheet_has_them(written: Path) -> None:
    """Number formats as ECMA-376 part 1, 18.8.30 writes them."""
    book = openpyxl.load_workbook(written / "tables" / "all-tables.xlsx")
    term, rates = (
        {head.value: cell for head, cell in zip(book[name][1], book[name][2], strict=True)}
        for name in ("term", "pattern prevalence")
    )

    assert term["first_day"].is_date
    assert term["first_day"].number_format == "yyyy-mm-dd"
    assert rates["rate"].number_format == rates["recent_low"].number_format == "0.0%"
    assert rates["expected_errors"].number_format == rates["students"].number_format == "General"
    assert {sheet.freeze_panes for sheet in book} == {"A2"}


def test_each_column_of_the_workbook_is_as_wide_as_what_it_holds(written: Path) -> None:
    book = openpyxl.load_workbook(written / "tables" / "all-tables.xlsx")
    for sheet in book:
        alike = sheet.column_dimensions.values()  # one for neighbors of the same width
        widths = {place: one.width for one in alike for place in range(one.min, one.max + 1)}
        for place, column in enumerate(sheet.iter_cols(values_only=True), 1):
            texts = [len(value) for value in column if isinstance(value, str)]
            assert widths[place] >= min(max(texts), 60), (sheet.title, column[0])


@pytest.mark.parametrize("edition", ["own", "shared"])
def test_what_a_comment_calls_a_fraction_is_shown_in_percent(edition: str) -> None:
    """Comments of the models: `share`, `fraction` or `0 to 1` of a column is a fraction."""
    told = {
        name
        for view in VIEWS[edition]
        for name, comment in read_models()[f"main.{edition}_{view}"].column_comments.items()
        if re.search(r"^(share|fraction)\b(?!.*correlation)|, 0 to 1", comment)
    }

    assert len(told) > 3
    assert {name for name in told if not FRACTIONS.fullmatch(name)} <= {"by_noise"}


def test_the_package_describes_every_table_and_column(written: Path) -> None:
    """Data Package 2.0 and Table Schema: names, paths, hashes, known types, missing values."""
    tables = written / "tables"
    package = json.loads((tables / "datapackage.json").read_text(encoding="utf-8"))
    files = {path.name for path in tables.glob("*.csv")}

    assert package["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert {resource["path"] for resource in package["resources"]} == files
    for resource in package["resources"]:
        content = (tables / resource["path"]).read_bytes()
        header = next(csv.reader([content.decode("utf-8").split("\r\n", 1)[0]]))
        fields = resource["schema"]["fields"]
        assert [field["name"] for field in fields] == header
        assert {field["type"] for field in fields} <= {"string", "number", "integer", "boolean"}
        assert resource["hash"] == f"sha256:{sha256(content).hexdigest()}"
        assert resource["bytes"] == len(content)


def test_each_figure_is_a_named_picture(written: Path) -> None:
    for path in (written / "figures").glob("*.svg"):
        assert "aria-label=" in path.read_text(encoding="utf-8")
        assert path.with_suffix(".png").read_bytes().startswith(b"\x89PNG")


def test_a_figure_says_whom_it_is_for_and_what_it_shows(written: Path) -> None:
    """Width and height of a PNG stand behind its first chunk's name (ISO/IEC 15948, 11.2.2)."""
    drawings = list((written / "figures").glob("*.svg"))
    for path in drawings:
        root = etree.parse(path).getroot()
        told = {etree.QName(one).localname: one.text for one in root}
        png = path.with_suffix(".png").read_bytes()

        assert told["text"] == KEEP["own"]
        assert len(told["title"].split()) > 3
        assert len(told["desc"].split()) > 10
        assert struct.unpack(">II", png[16:24]) == (1920, 1080)
    assert drawings

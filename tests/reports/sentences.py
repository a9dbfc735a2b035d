"""Reads the pages as a reader does, and sets each number in a sentence against its table.

`python -m tests.reports.sentences DIR` does so with both editions of a course that was run.
"""

from __future__ import annotations

import json
import re
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import NamedTuple

import duckdb
from lxml import html

from pipeline.warehouse import reading
from reports.everyone import build_shared_pages
from reports.pages import build_pages
from reports.parts import Figure, Page
from reports.source import Book
from reports.tables import Table
from reports.words import minus_signs

RULES = Path(__file__).parent.parent / "cases" / "sentences.txt"
NUMBER = r"[−+±]?\d[\d,]*(?:\.\d+)?"
BLOCKS = (
    "//title | //header | //p | //li | //figcaption | //h1 | //h2 | //h3 | //caption | //summary"
    " | //dd"
)
UNREAD = (
    "script", "style", "math", "thead", "tbody", "code", "span[@class='rows']",
    "details[@class='behind']", "span[@class='typed']",
)  # fmt: skip
"""What is no sentence; what stands behind "how this was worked out" is of methods alone."""
ALLOWED = re.compile(
    # What names a thing and counts nothing: days, semesters, questions, files, marks, methods,
    # steps of a scale.
    r"[A-Z][a-z]+ \d{1,2}, \d{4}|(?:Fall|Spring|Summer|Winter) \d{4}|\d{4}-\d\d-\d\d"
    r"|Rule set \w+(?:, questions \w+)?(?:, exports \w+)?|^\d\. [A-Z]|question \S+"
    r"|in section [^;.]+|^Section [^,]+$|fewer than 30 students|^(?:under )?\d+%(?: and more)?$"
    r"|9\+sqrt\(65\)/4 may stand for \(9\+sqrt\(65\)\)/4|At most 12 pairs"
)
HIDDEN = re.compile(r"The figures of ([\d,]+) rows? (?:is|are) hidden")
STORED = {
    "own": "select sentence from own_default union select file || ': ' || sentence from own_note",
    "shared": "select sentence from shared_default",
}
"""Sentences that pages take whole from a table."""
TITLES = (
    "select title::varchar from {0}_term union select title::varchar from {0}_course"
    " union select sentence from {0}_pattern"
)
"""Texts that stand within sentences of pages."""
OTHER = {"own": "shared_", "shared": "own_"}
LABEL = """
create or replace temp macro label(pattern) as case len(string_split(pattern, ' / '))
    when 1 then replace(pattern, '-', ' ')
    when 2 then replace(replace(pattern, ' / ', ', or '), '-', ' ')
    else replace(split_part(pattern, ' / ', 1), '-', ' ') || ', or one of '
        || (len(string_split(pattern, ' / ')) - 1) || ' that look like it' end
"""


class Rule(NamedTuple):
    """Words with numbers, and where these are read.

    Args:
        words: finds the words; its groups n0, n1, … are the numbers, the others texts.
        expressions: SQL of each number, a hundred times it where words say percent or points.
        source: SQL after `from`.
    """

    words: re.Pattern[str]
    expressions: tuple[str, ...]
    source: str


@cache
def rules() -> tuple[Rule, ...]:
    lines = [one for one in RULES.read_text("utf-8").splitlines() if one and one[0] != "#"]
    return tuple(_rule(*pair) for pair in zip(lines[::2], lines[1::2], strict=True))


def _rule(words: str, source: str) -> Rule:
    expressions: list[str] = []

    def number(found: re.Match[str]) -> str:
        rest = found.string[found.end() :]
        scale = 100 if re.match(r"%|(?: to «[^»]+»)? points", rest) else 1
        expressions.append(f"{scale} * ({found[1]})")
        return f"(?P<n{len(expressions) - 1}>{NUMBER})"

    pattern = re.sub("«(.+?)»", number, words)
    pattern = re.sub("‹(.+?)›", r"(?P<\1>[^“”]+?)", pattern)
    return Rule(re.compile(pattern), tuple(expressions), source)


def blocks(page: str) -> Iterator[str]:
    """The text of each block of a page, of its labels and of its charts' titles.

    Tables, formulas and methods are left out.
    """
    root = html.document_fromstring(page)
    specs = root.xpath("//script[@type='application/json']/text()")
    titles = (" ".join(_lines(json.loads(spec).get("title"))) for spec in specs)
    for text in (*root.xpath("//@aria-label"), *titles):
        yield from (part for part in text.split(". ") if re.search(r"\d", part))
    for one in root.xpath(f"//{' | //'.join(UNREAD)}"):
        one.drop_tree()
    for one in root.xpath(BLOCKS):
        text = " ".join(one.text_content().split())
        if re.search(r"\d", text):
            yield text


def _lines(title: object) -> list[str]:
    """Lines of a chart's title, which stands alone or with how it is drawn."""
    text = title.get("text", "") if isinstance(title, dict) else title or ""
    return [text] if isinstance(text, str) else list(text)


def unfounded(
    page: str,
    database: duckdb.DuckDBPyConnection,
    term: str,
    setting: str,
    edition: str = "own",
) -> list[str]:
    """Numbers of a page's sentences that no table holds, each with its sentence.

    Args:
        page: HTML.
        database: holds the views of the pages' edition.
        term: id of the term that the pages are about.
        setting: of the pages.
        edition: own or shared.
    """
    database.execute(LABEL)
    found = [*_rows(page)]
    stored = {text for (text,) in database.execute(STORED[edition]).fetchall()}
    titles = [minus_signs(text) for (text,) in database.execute(TITLES.format(edition)).fetchall()]
    mine = [rule for rule in rules() if OTHER[edition] not in rule.source]
    for text in dict.fromkeys(blocks(page)):
        left = HIDDEN.sub(" ", text) if text not in stored else ""
        for rule in mine:
            for match in list(rule.words.finditer(left)):
                if any(match[f"n{at}"] for at in range(len(rule.expressions))):
                    left = left.replace(match[0], " ")
                    if not _holds(rule, match, database, {"term": term, "setting": setting}):
                        found.append(f"the tables say otherwise: {match[0]}")
        for title in sorted(titles, key=len, reverse=True):
            left = left.replace(title, " ")
        if re.search(r"\d", ALLOWED.sub(" ", left)):
            found.append(f"no table is named for: {left}")
    return found


def _rows(page: str) -> Iterator[str]:
    """Tables that are announced with another number of rows, or of hidden ones, than they have."""
    root = html.document_fromstring(page)
    for one in root.xpath("//details[@class='fold']"):
        told, rows = one.xpath("string(.//span[@class='rows'])"), one.xpath("count(.//tbody/tr)")
        if told != f"({rows:,.0f} row{'s' * (rows != 1)})":
            yield f"{told} of {rows} are announced"
    for one in root.xpath("//p[@class='below']"):
        for told in HIDDEN.findall(one.text_content()):
            table = one.xpath("(preceding::table)[last()]")[0]
            rows = table.xpath("count(.//tbody/tr[.//span[starts-with(., 'hidden')]])")
            if "All rows: hidden" in one.text_content():
                rows = table.xpath("count(.//tbody/tr)")
            if int(told.replace(",", "")) != rows:
                yield f"{told} rows are called hidden, {rows} are: {one.text_content()}"


def _holds(
    rule: Rule,
    match: re.Match[str],
    database: duckdb.DuckDBPyConnection,
    facts: dict[str, str],
) -> bool:
    """Whether a row of the source has all the numbers, as far as they are printed."""
    texts = facts | {k: v for k, v in match.groupdict().items() if not re.fullmatch(r"n\d+", k)}
    source = rule.source.replace("where here", "where term = $term and setting = $setting")
    query = f"select {', '.join(rule.expressions)} from {source}"  # noqa: S608 - our own cases
    known = {name: text for name, text in texts.items() if f"${name}" in query}
    rows = database.execute(query, known).fetchall()
    printed = [match[f"n{at}"] for at in range(len(rule.expressions))]
    return any(_same(printed, row) for row in rows)


def _same(printed: Sequence[str | None], row: Sequence[float | None]) -> bool:
    return all(
        text is None or (value is not None and _rounds_to(float(value), text))
        for text, value in zip(printed, row, strict=True)
    )


def _rounds_to(value: float, text: str) -> bool:
    plain = text.replace(",", "").replace("−", "-").replace("±", "")
    places = len(plain.partition(".")[2])
    return abs(float(plain) - value) <= 0.5 * 10**-places + 1e-9


def at_odds(pages: Sequence[Page]) -> list[str]:
    """Errors that two tables of the pages give another rate of, or another place in the order."""
    rates: dict[str, set[tuple[object, ...]]] = defaultdict(set)
    orders = []
    for table in (part for page in pages for part in _tables(page)):
        frame = table.frame
        if {"pattern", "rate"} <= set(frame) and not {"topic_title", "week"} & set(frame):
            told = frame.dropna(subset=["rate"])
            orders.append(list(told["pattern"]))
            for row in told[["pattern", "rate", "rate_low", "rate_high"]].itertuples(index=False):
                rates[row.pattern].add(tuple(row[1:]))
    found = [f"{name} has the rates {told}" for name, told in rates.items() if len(told) > 1]
    for first, second in combinations(orders, 2):
        common = set(first) & set(second)
        pairs = zip(*([n for n in one if n in common] for one in (first, second)), strict=True)
        found += [f"{one} stands where {other} does" for one, other in pairs if one != other]
    return found


def _tables(page: Page) -> Iterator[Table]:
    for part in (part for section in page.sections for part in section.parts):
        if isinstance(part, Figure):
            yield part.table
        elif isinstance(part, Table):
            yield part


def main(course: Path) -> int:
    """Print what no table holds or two tell differently; return how many such there are."""
    found = []
    with reading(course / "course.duckdb") as warehouse:
        for edition in OTHER:
            book = Book(warehouse, edition)
            pages = build_pages(book) if edition == "own" else build_shared_pages(book)
            found += [f"{edition}: {what}" for what in at_odds(pages)]
            facts = warehouse._connection, book.term, book.setting, edition
            for file in sorted((course / "reports" / edition).glob("*.html")):
                told = unfounded(file.read_text("utf-8"), *facts)
                found += [f"{edition}/{file.name}: {what}" for what in told]
    print("\n".join(found) or "every number in a sentence is that of its table")
    return len(found)


if __name__ == "__main__":
    sys.exit(bool(main(Path(sys.argv[1]))))

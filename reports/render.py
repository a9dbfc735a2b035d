"""A page's parts become one file of HTML that needs no network and runs only our own scripts."""

from __future__ import annotations

import json
import zlib
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from importlib.resources import files

import pandas as pd
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from reports.parts import Figure, Page
from reports.source import KEEP, Book
from reports.typesetting import typeset
from reports.words import missing, setting_words

PRINTED = {"own": "Not to be passed on", "shared": "For everyone"}
"""What stands at the edge of each printed sheet."""


def render(page: Page, pages: Sequence[Page], book: Book, library: str = "") -> str:
    """Return a page as HTML.

    Args:
        page: the page.
        pages: all pages of the edition, for the navigation.
        book: the course's numbers.
        library: the script that draws charts.
    """
    style = _text("style.css").replace("PRINTED-EDGE", PRINTED[book.edition])
    script = _text("charts.js")
    bundle = library if any(not figure.grid for figure in page.figures) else ""
    return (
        _environment()
        .get_template("page.html.j2")
        .render(
            page=page,
            pages=pages,
            course=book.title,
            term=book.term_title,
            keep=KEEP[book.edition],
            made=_made(book),
            style=Markup(style),  # noqa: S704 - our own files, as they stand
            script=Markup(script),  # noqa: S704
            bundle=_packed(bundle) if bundle else "",
            specification=_specification,
            policy=_policy([bundle, script] if bundle else [script], style),
        )
    )


@cache  # all pages carry the same
def _packed(library: str) -> str:
    """The library as a page carries it, in a third of its size and as text (RFC 1950, RFC 4648)."""
    return b64encode(zlib.compress(library.encode(), 9)).decode()


def _text(name: str) -> str:
    return files("reports").joinpath("templates", name).read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("reports", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(typeset=typeset, setting_words=setting_words)
    return environment


def _specification(figure: Figure) -> Markup:
    # A `<` could end the script element that holds the data.
    text = json.dumps(figure.drawn(), ensure_ascii=False, sort_keys=True).replace("<", "\\u003c")
    return Markup(text)  # noqa: S704 - escaped in the line above


def _policy(scripts: Sequence[str], style: str) -> str:
    """Allow our own scripts and style by their hashes, and nothing else."""
    allowed = " ".join(_hash(script) for script in scripts)
    return (
        f"default-src 'none'; script-src {allowed}; style-src {_hash(style)}; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def _made(book: Book) -> str:
    rules = _of(book, "rule_set")
    last = book.course.get("last_answer")
    day = None if last is None or missing(last) else pd.Timestamp(last)
    until = f"Answers up to {day:%B} {day.day}, {day.year}. " if day else ""
    marks = (
        ("Rule set", rules),
        ("questions", _of(book, "items")),
        ("exports", _of(book, "exports")),
    )
    told = ", ".join(f"{name} {mark}" for name, mark in marks if mark)
    which = f"{told}. " if told else ""
    return (
        f"{until}Made by lostroot from the course's own answer exports. {which}"
        f"Groups of fewer than {book.limit} students are hidden."
    )


def _of(book: Book, name: str) -> str | None:
    value = book.course.get(name)
    return None if value is None or missing(value) else str(value)

"""Write CONVENTIONS.md from its table: `python -m tests.reading.conventions_page`."""

from __future__ import annotations

from pathlib import Path

from pipeline.reading import conventions

HEAD = """# How ambiguous forms are read

Generated from `conventions.py`; a test keeps it true.
Where a second reading is legitimate both are kept: the verdict uses the one that helps the student
and says so, and the classifier sees all.
An answer that is right only with brackets that were not typed, or with a fraction bar or root over
more than what was typed, is neither right nor wrong: its verdict is "right if brackets were meant",
unless the course says which.
LaTeX, MathML and fractions drawn over three lines say how far they reach and have no such second
reading.

| typed | read as | second reading | rule | name |
| --- | --- | --- | --- | --- |
"""


def as_markdown() -> str:
    """Return CONVENTIONS.md."""
    rows = (
        f"| `{c.form}` | {c.read_as} | {c.other or 'none'} | {c.rule} | {c.name} |"
        for c in conventions.CONVENTIONS
    )
    return HEAD + "\n".join(rows).replace("|x|", "\\|x\\|") + "\n"


if __name__ == "__main__":
    page = Path(conventions.__file__).with_name("CONVENTIONS.md")
    page.write_text(as_markdown(), encoding="utf-8")

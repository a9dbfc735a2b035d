"""Files of tables, of whatever kind, as rows of texts that know where they stood.

`table_sources` takes a file and gives what tables are read from: the file, or each member of an
archive of tables. `open_source` opens one (`TableFile`); `open_table` does both for a file that
holds one table. A table has sheets, or none, and gives its rows again and again, each a line
number and a list of texts; a row that is none comes as a `BrokenRow` with the reason. Whatever
cannot be read at all raises `InputError`, with file, line and the way out.

A further kind of file, such as an open standard's, plugs in as a `Recognizer`: a function that
takes a `Source` and gives `Contents` when the file is of its kind, else None. It is asked before
the kinds of this package, so it must tell by what it finds in the file (`Source.opened`,
`archive_members`), not by the ending alone, and must look at the first bytes only. An archive
that it recognizes stays whole; another one is taken apart, and it is asked for each member.
List it in `recognizers` of `pipeline.ingest.standard_exports`. Found broken from the begin, a file
of its kind raises `InputError`.

`Contents.rows` then yields first a row of column names, line 1, out of `pipeline.course`'s
`EXPORT_FIELDS`: `student`, `item` and `answer` are needed, and no map is. Number the rows below
from 2, upwards. Where a row stood, if a line number does not say it, is a text in a column called
`source_place`, such as `results/ada.xml:12:5`: it is stored beside the answer and told with a
rejected row. A row that cannot be used is a `BrokenRow`, with its place. `Contents.notes` says what
is to be known of the whole file, once its rows are drawn.
"""

from __future__ import annotations

from pipeline.tables.opening import (
    TABLE_ENDINGS,
    Contents,
    Recognizer,
    TableFile,
    open_source,
    open_table,
    table_sources,
)
from pipeline.tables.rows import (
    DATE_CELL,
    FORMATTED_CELL,
    FORMULA_CELL,
    NUMBER_CELL,
    BrokenRow,
    TableRow,
    plain_text,
)
from pipeline.tables.source import Source, archive_members

__all__ = [
    "DATE_CELL",
    "FORMATTED_CELL",
    "FORMULA_CELL",
    "NUMBER_CELL",
    "TABLE_ENDINGS",
    "BrokenRow",
    "Contents",
    "Recognizer",
    "Source",
    "TableFile",
    "TableRow",
    "archive_members",
    "open_source",
    "open_table",
    "plain_text",
    "table_sources",
]

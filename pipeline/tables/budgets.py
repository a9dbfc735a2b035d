"""How much of a file is taken at most. What goes beyond is refused by name, never cut."""

from __future__ import annotations

CELL_CHARACTERS = 131_072
"""Characters of a cell, as many as Python's reader of CSV takes; workbooks hold 32,767."""

COLUMNS = 16_384
"""Columns of a table, as many as a worksheet has."""

LINE_CHARACTERS = 16 << 20
"""Characters of a line of text: 16,384 columns of a thousand characters."""

WORKBOOK_ROWS = 1_048_576
"""Rows of a worksheet, as many as spreadsheet programs have."""

WORKBOOK_BYTES = 2 << 30
"""Bytes of all parts of a workbook together, unpacked."""

MERGED_RANGES = 100_000
"""Merged cells of a worksheet."""

PARQUET_ROWS = 200_000_000
"""Rows of a Parquet file, where a few bytes can stand for any number of equal rows."""

JSON_BYTES = 100 << 20
"""Bytes of a JSON document, which is read at once; JSON Lines has no such limit."""

JSON_DEPTH = 32
"""Arrays and objects inside one another in a cell of JSON."""

ARCHIVE_MEMBERS = 100_000
"""Members of an archive; a class's results may be a file a student and question."""

ARCHIVE_BYTES = 8 << 30
"""Bytes of all members of an archive together, or of a packed file, unpacked."""

ARCHIVE_RATIO = 200
"""Unpacked bytes to a packed one, for an archive as a whole; tables of answers reach about 30."""

SMALL_BYTES = 64 << 20
"""As much may any archive unpack to, whatever its ratio."""

"""The list of questions drafted from what a course has: exports, QTI, Word files, plain text."""

from __future__ import annotations

from pipeline.drafting.computed import computed_answer, is_right
from pipeline.drafting.draft import CANNOT, LOOK, SURE, DraftRow, drafted
from pipeline.drafting.folder import QUESTIONS, Sources, sources_in
from pipeline.drafting.written_list import WrittenList, read_list, write_list

__all__ = [
    "CANNOT",
    "LOOK",
    "QUESTIONS",
    "SURE",
    "DraftRow",
    "Sources",
    "WrittenList",
    "computed_answer",
    "drafted",
    "is_right",
    "read_list",
    "sources_in",
    "write_list",
]

"""Exports into stored rows: readers, column plans, pseudonyms, and an account of every row."""

from __future__ import annotations

from pipeline.ingest.frames import RESPONSE_KINDS, Batch
from pipeline.ingest.known import KnownResponses
from pipeline.ingest.load import LoadedFile, load_exports
from pipeline.ingest.pseudonyms import TOMBSTONE_FILE, Pseudonyms, add_tombstones, read_tombstones
from pipeline.ingest.settle import settle_responses
from pipeline.ingest.survey import settle_terms

__all__ = [
    "RESPONSE_KINDS",
    "TOMBSTONE_FILE",
    "Batch",
    "KnownResponses",
    "LoadedFile",
    "Pseudonyms",
    "add_tombstones",
    "load_exports",
    "read_tombstones",
    "settle_responses",
    "settle_terms",
]

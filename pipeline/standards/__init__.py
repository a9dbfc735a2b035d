"""Open standards, read without trust: QTI, xAPI, Caliper, CASE and OneRoster into plain records.

A reader here takes bytes and gives records, or says where something is broken; it knows neither of
a course nor of a database.
"""

from __future__ import annotations

from pipeline.standards.qti_items import read_qti_items
from pipeline.standards.qti_packages import QtiPackage, read_qti_package
from pipeline.standards.qti_records import Accepted, Choice, Interaction, QtiItem

__all__ = [
    "Accepted",
    "Choice",
    "Interaction",
    "QtiItem",
    "QtiPackage",
    "read_qti_items",
    "read_qti_package",
]

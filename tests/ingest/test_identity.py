from __future__ import annotations

import hashlib
import hmac
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest

from pipeline.course import Privacy, read_key
from pipeline.ingest import KnownResponses
from pipeline.ingest.pseudonyms import Pseudonyms, normal_id

KEY = bytes.fromhex("0b1c2d3e4f5061728394a5b6c7d8e9fa" * 2)
PRIVACY = Privacy(key_file=Path("pseudonym.key"), issuer="college")

# RFC 4231 section 4.8, test case 7: key 131 times 0xaa, HMAC-SHA-256.
RFC_KEY = bytes([0xAA]) * 131
RFC_TEXT = (
    b"This is a test using a larger than block-size key and a larger than block-size data. "
    b"The key needs to be hashed before being used by the HMAC algorithm."
)
RFC_DIGEST = "9b09ffa71b942fcb27635fbcd5b0e944bfdc63644f0713938a7f51535c3a35e2"


def test_the_library_computes_the_published_value():
    assert hmac.new(RFC_KEY, RFC_TEXT, hashlib.sha256).hexdigest() == RFC_DIGEST


def test_a_pseudonym_is_the_keyed_digest_of_domain_issuer_and_id():
    expected = hmac.new(KEY, b"student|college|ann", hashlib.sha256).hexdigest()[:32]

    assert expected == Pseudonyms(KEY, PRIVACY).of("ann")


def test_another_key_or_issuer_is_another_pseudonym():
    other = Privacy(key_file=Path("pseudonym.key"), issuer="other college")
    found = {
        Pseudonyms(KEY, PRIVACY).of("ann"),
        Pseudonyms(KEY[::-1], PRIVACY).of("ann"),
        Pseudonyms(KEY, other).of("ann"),
        Pseudonyms(KEY, PRIVACY).of("bob"),
    }

    assert len(found) == 4


def test_terms_are_linked_only_where_the_course_says_so():
    apart = Privacy(key_file=Path("pseudonym.key"), issuer="college", link_terms=False)

    linked = Pseudonyms(KEY, PRIVACY)
    assert linked.of("ann", "spring") == linked.of("ann", "fall")
    unlinked = Pseudonyms(KEY, apart)
    assert unlinked.of("ann", "spring") != unlinked.of("ann", "fall")


@pytest.mark.parametrize(
    ("text", "fold", "same"),
    [
        (" Ann@College.example ", True, "ann@college.example"),
        (" Ann ", False, "Ann"),
        ("'00123", True, "00123"),
        (unicodedata.normalize("NFD", "José"), True, "josé"),
        ("STRASSE", True, "straße".casefold()),
        ("\x0112345", True, "12345"),
        ("   ", True, ""),
    ],
)
def test_an_id_has_one_normal_form(text: str, fold: bool, same: str):
    assert same == normal_id(text, fold_case=fold)


def test_ids_keep_their_case_where_the_course_says_so(load_of: Callable):
    text = "student,item,answer\nAnn,root-1,2\nann,root-1,2\n"
    exact = load_of({"a.csv": text}, settings="[privacy]\nfold_case = false\n")

    assert exact.responses["student"].nunique() == 2


def test_an_erased_student_does_not_come_back(course_of: Callable, load_course: Callable):
    course = course_of({"a.csv": "student,item,answer\nann,root-1,2\nbob,root-1,2\n"})
    ann = load_course(course).responses["student"][0]
    key = read_key(course.privacy.key_file)
    known = KnownResponses.empty()
    known.erased = frozenset({Pseudonyms(key, course.privacy).tombstone("ann")})
    loaded = load_course(course, known)

    assert ann not in set(loaded.responses["student"])
    row = loaded.rejected.iloc[0]
    assert (row["line"], row["needs_look"]) == (2, False)
    assert loaded.rejected["value"].isna().all()
    assert "erased" in row["reason"]


SLIPPED = """\
student,item,answer,answered_at,attempt,count
root-1,2,Jane Doe,20214533,555-123-4567,
x,root-1,2,123-45-6789,1,
y,root-1,2,jane@college.example,1,
z,root-1,2,2026-99-99,1,
w,root-1,2,,20214533,
"""


def test_a_value_that_could_name_a_person_is_not_kept(load_of: Callable):
    loaded = load_of({"a.csv": SLIPPED})

    assert len(loaded.rejected) == 5
    assert set(loaded.rejected["value"].dropna()) == {"2026-99-99"}
    assert "Jane" not in loaded.rejected.to_csv()

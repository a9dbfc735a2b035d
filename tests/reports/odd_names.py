"""Names that no careful person gives: markup, a command, other scripts, codes, one long word."""

from __future__ import annotations

from tests.reports.conftest import Views

ODD = (
    "<script>document.title = 'x'</script><b>bold</b>",
    "'; drop table answers; --",
    "حل المعادلات 2",
    "A\x07\x00 name \u202eturned",
    "Longword" * 25,
)
NAMED = {"title", "topic_title", "term_title", "current_term_title", "statement", "quiz", "section"}


def oddly_named(views: Views) -> Views:
    """The course with each of its names one of these, and a number to tell them apart."""
    changed = {}
    for view, frame in views.frames.items():
        texts = {}
        for name in NAMED & set(frame.select_dtypes(["object", "str"])):
            known = {text: at for at, text in enumerate(dict.fromkeys(frame[name].dropna()))}
            odd = {text: f"{ODD[(at + len(name)) % len(ODD)]} {at}" for text, at in known.items()}
            texts[name] = frame[name].map(odd)
        changed[view] = frame.assign(**texts)
    return Views(changed)

"""A short text on the first error that may be shown to students: no figure, and nobody in it."""

from __future__ import annotations

from reports.parts import ErrorCard, Note, Prose, Section, Worked
from reports.words import minus_signs

MOST_WORDS = 120
INTRODUCTION = (
    "May be shown to students: it holds no figure and speaks of nobody. Change it as you like."
)


def class_note(cards: tuple[ErrorCard, ...]) -> tuple[Section, ...]:
    """Return the section with a text for the class; none without an example to show.

    Args:
        cards: of the errors to take up, the first of which the text is about.
    """
    if not cards or not cards[0].worked.problem:
        return ()
    note = Note(announcement(cards[0].worked, cards[0].check.problem if cards[0].check else ""))
    return (Section("A note for your class", (Prose((INTRODUCTION,)), note), printed=False),)


def announcement(worked: Worked, question: str = "") -> str:
    """Return at most `MOST_WORDS` words on one error.

    Args:
        worked: the error on numbers of our own.
        question: one to try, in typed notation.
    """
    step = worked.says.split(". ")[0].rstrip(".")
    wrong = (worked.wrong_lines or (worked.wrong,))[worked.broken]
    attempt = f"Try it: {question}. Bring your working to the next class." if question else ""
    for right in ((*worked.right_lines[:-1], worked.right), (worked.right,)):
        task = f" ({worked.task})" if worked.task else ""
        lines = (
            f"A step that is easy to get wrong. Someone {step[:1].lower()}{step[1:]}.",
            f"Take {worked.problem}{task}. It is tempting to write {wrong}, which is wrong.",
            f"The right way: {'; '.join(right)}.",
            attempt,
        )
        text = "\n".join(minus_signs(line) for line in lines if line)
        if len(text.split()) <= MOST_WORDS:
            break
    return text

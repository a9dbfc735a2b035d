"""The question behind a sentence: which task, which problem, and whether every word is known."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from pipeline.reading.budgets import Unread
from pipeline.records import Numbers
from pipeline.wording.built import Built
from pipeline.wording.manner import Manner, manner_of
from pipeline.wording.rules import RULES
from pipeline.wording.spans import Sentence, sentence_of
from pipeline.wording.typed import typed
from pipeline.wording.vocabulary import FILLERS, TERMS

__all__ = ["Asked", "asked_by"]

_STORY_WORDS, _STORY_WITHOUT_VERB = 6, 3
_STORY = (
    "a problem told in words: write the equation behind it as the problem and `solve` as the task, "
    "or give a key and `judge`"
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What a question asks.

    Args:
        task: a task of the list of questions; "" where none is known.
        problem: in typed notation; "" where there is none.
        form, numbers, method: as in the list of questions.
        doubt: why a person should look; "" where every word is accounted for.
        verb: whether the question itself says what to do.
    """

    task: str
    problem: str = ""
    form: str | None = None
    numbers: Numbers = "real"
    method: str | None = None
    doubt: str = ""
    verb: bool = True


def asked_by(text: str, instruction: str = "", topic: str = "") -> Asked:
    """Tell what a question asks.

    Args:
        text: the question's words, its number left out; plain, Unicode, LaTeX or MathML.
        instruction: a sentence that stands above a group of questions.
        topic: the heading that it stands under: its words may say what to do, but add no doubt.
    """
    own = _asked(text)
    if own.task and own.verb:
        return own
    for above, known in ((instruction, False), (topic, True)):
        if above.strip():
            both = _asked(f"{above.rstrip(' .:')}: {text}", above if known else "")
            if both.task and both.verb:
                return both
    return own


def _asked(text: str, known: str = "") -> Asked:
    try:
        plain = typed(text)
    except Unread as error:
        return Asked("", doubt=f"the text cannot be read: {error}")
    manner, plain = manner_of(re.sub(r"\"[^\"]*\"|“[^”]*”", " ", plain))
    sentence = sentence_of(plain)
    for rule in RULES:
        found = rule.words.search(sentence.words)
        if found and (built := rule.build(sentence)) is not None:
            return _with_manner(built, manner, sentence, known)
    return Asked("", doubt=_STORY if _is_story(sentence) else _no_task(sentence))


def _is_story(sentence: Sentence) -> bool:
    return len(_unknown(sentence.words, frozenset())) >= _STORY_WORDS


def _no_task(sentence: Sentence) -> str:
    if not sentence.formulas:
        return "no mathematics was found in it"
    return "no known task fits these words"


def _with_manner(built: Built, manner: Manner, sentence: Sentence, known: str) -> Asked:
    asked = Asked(built.task, built.problem, built.form, built.numbers, verb=built.verb)
    method = manner.method if built.task in {"solve", "number-of-solutions"} else None
    form = manner.form or built.form
    if built.task in {"", "skip", "translate"}:
        return replace(asked, doubt=built.doubt)
    if built.task == "simplify" and form in {"exact+simplified", "reduced"}:
        form = None
    if built.task == "convert" and form == "mixed":
        form = None
    if built.task not in {"solve", "solve-for"} and form == "exact+simplified":
        form = "exact"
    numbers: Numbers = "complex" if "complex" in {manner.numbers, built.numbers} else "real"
    said = frozenset(re.findall(r"[a-z-]{2,}", known.casefold()))
    unknown = _unknown(sentence.words, TERMS.get(built.task, frozenset()) | said)
    doubt = built.doubt
    if len(unknown) >= _most_unknown(built):
        return Asked("", doubt=_STORY)
    if unknown:
        doubt = doubt or f"not understood: {', '.join(unknown[:6])}"
    elif built.used < len(sentence.formulas):
        doubt = doubt or "more formulas stand in it than the problem holds"
    return replace(asked, form=form, numbers=numbers, method=method, doubt=doubt)


def _most_unknown(built: Built) -> int:
    """From how many words on a question is told as a story; a lone number makes one sooner."""
    return _STORY_WITHOUT_VERB if not built.verb or built.task == "evaluate" else _STORY_WORDS


def _unknown(words: str, terms: frozenset[str]) -> list[str]:
    """Words that neither the terms of the task nor the fillers account for."""
    known = FILLERS | terms
    found = [word for word in words.split() if not (len(word) == 1 and word.isupper())]
    return [word for word in found if word not in known]

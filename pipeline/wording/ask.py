"""The question behind a sentence: which task, which problem, and whether every word is known."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from difflib import get_close_matches

from pipeline.reading.records import Unread
from pipeline.records import Numbers
from pipeline.tasks.catalogue import TASKS
from pipeline.wording.manner import BESIDE, REMARK, Manner, manner_of
from pipeline.wording.rules import RULES
from pipeline.wording.spans import Built, Sentence, letters_of, sentence_of
from pipeline.wording.spoken import in_symbols
from pipeline.wording.typed import typed
from pipeline.wording.vocabulary import ALTERING, FILLERS, SAYS, TERMS, in_english

_STORY_WORDS, _STORY_WITHOUT_VERB = 6, 3
_STORY = (
    "a problem told in words: write the equation behind it as the problem and `solve` as the task, "
    "or give a key and `judge`"
)
_TOLD_EQUATION = re.compile(r"\bsolve (?:the (?:equation|inequality) )?E\b")
_WITHIN_STORY = "the equation within a story is taken"
_GAP = "a gap in the mathematics is to be filled in"
_NOT_UNDERSTOOD = "not understood"
_SPOKEN = "a root or absolute value said in words may reach less far"
_HOW = re.compile(
    r"\b(?:answers?|solutions?|values?|results?|forms?|true|false|yes|no|why|explain|justify)\b",
    re.I,
)
_SPELLED = sorted({word for word in FILLERS.union(*TERMS.values()) if len(word) > 5})
_ALTERED = "write the task, and under `asked` or `keep` what is wanted; it asks for more than that"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a question asks.

    Args:
        task: a task of the list of questions; "" where none is known.
        problem: in typed notation; "" where there is none.
        form, numbers, method, keep, asked: as in the list of questions.
        options: of a question that is answered by true or false, yes or no.
        doubt: why a person should look; "" where every word is accounted for.
        verb: whether the question itself says what to do, even if that is nothing to be judged.
    """

    task: str
    problem: str = ""
    form: str | None = None
    numbers: Numbers = "real"
    method: str | None = None
    keep: str | None = None
    asked: str | None = None
    doubt: str = ""
    verb: bool = True
    options: tuple[str, ...] = ()


def asked_by(text: str, instruction: str = "", topic: str = "") -> Asked:
    """Tell what a question asks.

    Args:
        text: the question's words, its number left out; plain, Unicode, LaTeX or MathML.
        instruction: a sentence that stands above a group of questions.
        topic: the heading that it stands under: its words may say what to do, but add no doubt.
    """
    own = _spelt(_asked(text), text)
    if own.verb:
        return own
    # Numbers of a heading count chapters or years.
    heading = re.sub(r"[^A-Za-z\s-]", " ", topic)
    for above, known in ((instruction, False), (heading, True)):
        if above.strip():
            both = _asked(f"{above.rstrip(' .:')}: {text}", above if known else "")
            if both.task and both.verb:
                return both
    return own


def _spelt(own: Asked, text: str) -> Asked:
    """What a question asks whose words for it are misspelt, where that leaves no word unknown."""
    if own.task and own.verb and _NOT_UNDERSTOOD not in own.doubt:
        return own
    told: list[str] = []

    def nearest(found: re.Match[str]) -> str:
        word = found[0].casefold()
        near = [] if word in _SPELLED else get_close_matches(word, _SPELLED, n=1, cutoff=0.85)
        if not near or near[0].startswith(word) or word.startswith(near[0]):
            return str(found[0])
        told.append(f"“{found[0]}” is taken for “{near[0]}”")
        return str(near[0])

    corrected = re.sub(r"[A-Za-z]{6,}", nearest, text)
    found = _asked(corrected) if told else own
    if not told or not found.task or not found.verb or _NOT_UNDERSTOOD in found.doubt:
        return own
    return replace(found, doubt="; ".join(filter(None, (*told, found.doubt))))


def _asked(text: str, known: str = "") -> Asked:
    try:
        plain = in_english(typed(text))
    except Unread as error:
        return Asked("", doubt=f"the text cannot be read: {error}")
    manner, plain = manner_of(re.sub(r"\"[^\"]*\"|“[^”]*”", " ", plain))
    plain, unclear = in_symbols(plain)
    plain, remark = _without_remarks(plain)
    doubts = (manner.doubt, _SPOKEN if unclear else "", REMARK if remark else "")
    manner = replace(manner, doubt="; ".join(dict.fromkeys(filter(None, doubts))))
    sentence = sentence_of(plain)
    for rule in RULES:
        found = rule.words.search(sentence.words)
        if found and (built := rule.build(sentence)) is not None:
            return _with_manner(built, manner, sentence, known)
    if _is_story(sentence):
        return Asked("", doubt=_STORY)
    return Asked("", doubt=_no_task(sentence), verb=False)


def _without_remarks(text: str) -> tuple[str, bool]:
    """A question without sentences of words alone that say neither what to do nor how.

    They stay where no other sentence holds a formula. Says too whether they mean anything.
    """
    parts = re.split(r"(?<=[.!?])\s+(?=[A-Z(])", text)
    kept = [
        one for one in parts if SAYS.search(one) or _HOW.search(one) or sentence_of(one).formulas
    ]
    if len(kept) == len(parts) or not any(sentence_of(one).of("XEVNFCP") for one in kept):
        return text, False
    left = " ".join(one for one in parts if one not in kept)
    return " ".join(kept), bool(_unknown(sentence_of(left).words, frozenset()))


def _is_story(sentence: Sentence) -> bool:
    return len(_unknown(sentence.words, frozenset())) >= _STORY_WORDS


def _no_task(sentence: Sentence) -> str:
    if not sentence.formulas:
        return "no mathematics was found in it"
    return "no known task fits these words"


def _with_manner(built: Built, manner: Manner, sentence: Sentence, known: str) -> Asked:
    if built.task in {"", "skip", "translate", "choice"}:
        return Asked(
            built.task, built.problem, verb=built.verb, doubt=built.doubt, options=built.options
        )
    numbers: Numbers = "complex" if "complex" in {manner.numbers, built.numbers} else "real"
    asked = Asked(
        built.task, built.problem, _form_of(built, manner, sentence), numbers,
        method=manner.method if built.task in {"solve", "number-of-solutions"} else None,
        keep=built.keep or None, asked=built.asked or None, verb=built.verb,
    )  # fmt: skip
    said = frozenset(re.findall(r"[a-z-]{2,}", known.casefold()))
    unknown = _unknown(
        sentence.words, TERMS.get(built.task, frozenset()) | said | set(built.known.split())
    )
    doubt = built.doubt
    if len(unknown) >= _most_unknown(built):
        told = built.task == "solve" and _TOLD_EQUATION.search(sentence.words)
        return replace(asked, doubt=_WITHIN_STORY) if told else Asked("", doubt=_STORY)
    altering = [word for word in unknown if word in ALTERING]
    wanted = _of_solutions(asked, manner)
    if altering or wanted is None:
        selected = [text.replace("L", "x") for text in (manner.keep, manner.asked) if text]
        what = ", ".join([*altering, *selected])
        return Asked("", built.problem, doubt=f"{_ALTERED}: {what}")
    if unknown and not built.verb and not sentence.of("EV"):
        return Asked("", doubt=_no_task(sentence), verb=False)
    if unknown:
        doubt = doubt or f"{_NOT_UNDERSTOOD}: {', '.join(unknown[:6])}"
    elif built.used < len(sentence.formulas):
        doubt = doubt or "more formulas stand in it than the problem holds"
    elif built.task != "square-constant" and any(one.blank for one in sentence.formulas):
        doubt = doubt or _GAP
    return replace(wanted, doubt="; ".join(filter(None, (doubt, manner.doubt))))


def _form_of(built: Built, manner: Manner, sentence: Sentence) -> str | None:
    """The form asked for, where the task does not ask for it anyway."""
    parts = (manner.form or built.form or "").split("+")
    task = TASKS.get(built.task)
    beside = [one for one in parts if one in BESIDE and task and one in task.beside]
    form = "+".join(one for one in parts if one not in BESIDE) or None
    plain = _plain_form(form, built, sentence)
    if task is None or not beside:
        return plain
    usual = task.form
    return "+".join([plain or usual, *beside] if (plain or usual) != "any" else beside)


def _plain_form(form: str | None, built: Built, sentence: Sentence) -> str | None:
    if built.task == "solve" and re.search("and simplify|simplified", sentence.words):
        form = "exact+simplified" if form in (None, "exact") else form
    if form == "simplest":
        form = TASKS[built.task].simplest if built.task in TASKS else None
    if built.task == "simplify" and form in {"exact+simplified", "reduced"}:
        return None
    if built.task == "convert" and form in {"improper", "mixed", "scientific"}:
        return None
    plain = built.task not in {"solve", "solve-for"} and form == "exact+simplified"
    return "exact" if plain else form


def _of_solutions(asked: Asked, manner: Manner) -> Asked | None:
    """A question about some solutions, or made of them; None where that cannot be said of it."""
    if not (manner.keep or manner.asked):
        return asked
    letters = sorted(letters_of(asked.problem) - {"i", "e"})
    if asked.task not in {"solve", "logarithm"} or len(letters) != 1 or ";" in asked.problem:
        return None
    keep, wanted = (
        text and re.sub(r"\bL\b", letters[0], text) for text in (manner.keep, manner.asked)
    )
    return replace(asked, task="solve", keep=keep or asked.keep, asked=wanted or asked.asked)


def _most_unknown(built: Built) -> int:
    """From how many words on a question is told as a story; a lone number makes one sooner."""
    return _STORY_WITHOUT_VERB if not built.verb or built.task == "evaluate" else _STORY_WORDS


def _unknown(words: str, terms: frozenset[str]) -> list[str]:
    """Words that neither the terms of the task nor the fillers account for."""
    known = FILLERS | terms
    found = [word for word in words.split() if not (len(word) == 1 and word.isupper())]
    return [word for word in found if word not in known]

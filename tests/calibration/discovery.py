"""Does the search find a wrong rule that it does not know? `python -m tests.calibration.discovery`.

Each error of the catalogue is hidden in turn, with all that predict the same answers to half of
the questions or more. A class of 60 makes it in 15 % of its answers to eight questions, besides
three other errors, two of them at once, slips, and answers by chance. Found is what predicts at
least 95 % of the hidden error's answers to twenty further questions.
`... discovery sample 40` takes a random sample, `... discovery NAME ...` errors, tasks and skills;
a last `in FILE` keeps each line there, and leaves out what already has one.
`... discovery noise 1 50` draws fifty classes without a hidden error, and counts those with a
proposal; `... discovery published` tells what explains published wrong answers that no error fits.
"""

from __future__ import annotations

import re
import sys
from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator, Sequence
from functools import lru_cache
from pathlib import Path
from random import Random
from typing import Final, NamedTuple

from pipeline.discovery.evidence import LEVEL, Asked, Given, Proposal, kinds_of, proposals
from pipeline.discovery.search import led_to
from pipeline.errors import UnreadableProblem
from pipeline.patterns.catalogue import catalogue, moves
from pipeline.patterns.registry import Pattern
from pipeline.procedures.endings import comparable_value
from pipeline.procedures.other_steps import OtherStep, standings_at
from pipeline.procedures.rewriting.operations import OPERATIONS
from pipeline.procedures.walk import Walk, faulty_outcomes
from pipeline.reading.answer import read_answer
from pipeline.tagging.match import chance_weight
from pipeline.tagging.other_numbers import with_other_numbers
from pipeline.tagging.predict import predictions_of
from pipeline.tagging.priors import is_specific
from pipeline.tasks.catalogue import TASKS, plans, read_problem
from tests.calibration.shares import Exercise, as_value, by_chance, predicted
from tests.patterns.test_published_wrong_answers import rows

QUESTIONS, UNSEEN, STUDENTS = 8, 20, 60
HIDDEN, OTHERS, PAIRS, SLIPS, CHANCE = 0.15, (0.08, 0.06, 0.04), 0.02, 0.03, 0.04
ENOUGH: Final = 0.95
_NUMBER = re.compile(r"(?<![\d^_.])\d+(?![\d.])")


class Case(NamedTuple):
    """A hidden error with its questions and those to be foretold."""

    pattern: str
    task: str
    questions: list[Exercise]
    unseen: list[str]


def varied(task: str, problem: str) -> Iterator[str]:
    """Yield a question and others with other numbers."""
    yield problem
    yield from with_other_numbers(task, problem)
    draw = Random(problem)
    for most in (12, 12, 40):
        for _ in range(40):
            yield _NUMBER.sub(
                lambda one: one[0] if one[0] in "01" else str(draw.randint(2, most)),  # noqa: B023
                problem,
            )


@lru_cache(maxsize=4096)
def _alone(task: str, problem: str) -> dict[str, dict[Hashable, float]]:
    """What each error alone predicts: error -> ending -> weight."""
    try:
        found = predictions_of(read_problem(problem, task), depth=1)
    except (UnreadableProblem, ZeroDivisionError, ValueError):
        return {}
    by_error: dict[str, dict[Hashable, float]] = defaultdict(dict)
    for ending in found.by_value:
        for faults, weight in found.weights(ending):
            if len(faults) == 1:
                by_error[faults[0].id][ending] = weight
    return by_error


def case_of(pattern: Pattern, task: str) -> Case | None:
    """Eight questions that show an error, and twenty more; None where there are too few."""
    sources = [varied(task, one.problem) for one in pattern.shows if one.task == task]
    texts: dict[str, None] = {}
    while sources and len(texts) < QUESTIONS + UNSEEN:
        for source in list(sources):
            able = (one for one in source if one not in texts and pattern.id in _alone(task, one))
            text = next(able, None)
            if text is None:
                sources.remove(source)
            else:
                texts[text] = None
    if len(texts) < QUESTIONS + UNSEEN:
        return None
    questions: list[Exercise] = []
    unseen = []
    for text in texts:
        asked = exercise_of(task, text) if len(questions) < QUESTIONS else None
        if asked is None:
            unseen.append(text)
        else:
            questions.append(asked)
    if len(questions) < QUESTIONS:
        return None
    return Case(pattern.id, task, questions, unseen[:UNSEEN])


exercise_of = lru_cache(maxsize=512)(predicted)


def hidden_with(case: Case) -> set[str]:
    """The error, and those that predict the same answers to half of the questions or more."""
    same: Counter[str] = Counter()
    for asked in case.questions:
        by_error = _alone(case.task, asked.problem)
        mine = by_error[case.pattern]
        same.update(name for name, ends in by_error.items() if ends.keys() & mine.keys())
    return {name for name, count in same.items() if 2 * count >= QUESTIONS} | {case.pattern}


def asked_of(
    case: Case, hidden: set[str], given: Sequence[Sequence[tuple[int, Hashable]]]
) -> list[Asked]:
    """The questions with the answers that nothing known explains."""
    alone: Counter[str] = Counter()
    for asked, mine in zip(case.questions, given, strict=True):
        alone.update(one for _, ending in mine for one in _laid_to(asked, hidden, ending))
    pools: list[dict[Hashable, Given]] = []
    for asked, mine in zip(case.questions, given, strict=True):
        students: dict[Hashable, list[int]] = defaultdict(list)
        for student, ending in mine:
            students[ending].append(student)
        pools.append(
            {
                ending: Given(
                    len(some), frozenset(some), known=_known(asked, hidden, ending, alone)
                )
                for ending, some in students.items()
                if explained_alone(asked, hidden, ending) < 0.5
            }
        )
    ways = [frozenset(plan.name for plan in plans(read_problem(one.problem, case.task)))
            for one in case.questions]  # fmt: skip
    kinds = kinds_of(ways)
    found = []
    for asked, pool, mine, kind in zip(case.questions, pools, given, kinds, strict=True):
        explained = frozenset(ending for _, ending in mine) - pool.keys()
        found.append(Asked(case.task, asked.problem, "real", kind, pool, explained))
    return found


def _weights(
    asked: Exercise, hidden: set[str], ending: Hashable
) -> tuple[dict[frozenset[str], float], float]:
    """What each known set of faults weighs for an answer, and all of them with chance."""
    named = ((frozenset(one.id for one in faults), weight)
             for faults, weight in asked.found.weights(ending))  # fmt: skip
    known = {faults: weight for faults, weight in named if hidden.isdisjoint(faults)}
    chance = chance_weight(asked.found, as_value(asked.found, ending), asked.task)
    return known, chance + sum(known.values())


def explained_alone(asked: Exercise, hidden: set[str], ending: Hashable) -> float:
    """The share of an answer that known errors explain, each alone."""
    known, whole = _weights(asked, hidden, ending)
    return sum(weight for faults, weight in known.items() if is_specific(faults)) / whole


def _laid_to(asked: Exercise, hidden: set[str], ending: Hashable) -> Iterator[str]:
    known, whole = _weights(asked, hidden, ending)
    for faults, weight in known.items():
        if len(faults) == 1 and weight / whole > 0.5:
            yield from faults


def _known(
    asked: Exercise, hidden: set[str], ending: Hashable, alone: Counter[str]
) -> dict[str, float]:
    known, _ = _weights(asked, hidden, ending)
    rarely = QUESTIONS * STUDENTS / 20
    return {
        " ".join(sorted(faults)): min(alone[one] for one in faults) if len(faults) > 1 else rarely
        for faults in known
        if not is_specific(faults)
    }


def answers_of(
    case: Case, hidden: set[str], rate: float, rng: Random
) -> list[list[tuple[int, Hashable]]]:
    """The wrong answers to each question, with the student who gave each."""
    common = Counter(
        name
        for asked in case.questions
        for name in {next(iter(faults)) for faults in asked.kinds["one"]} - hidden
    )
    able = sorted(name for name, count in common.items() if 2 * count >= QUESTIONS)
    others = rng.sample(able, min(len(OTHERS), len(able)))
    found = []
    for asked in case.questions:
        mine: list[tuple[int, Hashable]] = []
        for student in range(STUDENTS):
            at, ending = rng.random(), None
            if at < rate:
                ending = _drawn(_alone(case.task, asked.problem).get(case.pattern, {}), rng)
            elif at < rate + sum(OTHERS):
                if others:
                    (name,) = rng.choices(others, OTHERS[: len(others)])
                    ending = _drawn(asked.kinds["one"].get(frozenset({name}), {}), rng)
            elif at < rate + sum(OTHERS) + PAIRS:
                ending = _of_one({one: ends for one, ends in asked.kinds["two"].items()
                                  if one <= {*others}}, rng)  # fmt: skip
            elif at < rate + sum(OTHERS) + PAIRS + SLIPS:
                ending = _of_one(asked.kinds["slip"], rng)
            elif at < rate + sum(OTHERS) + PAIRS + SLIPS + CHANCE:
                ending = by_chance(asked, rng)
            if ending is not None:
                mine.append((student, ending))
        found.append(mine)
    return found


def _of_one(ways: dict[frozenset[str], dict[Hashable, float]], rng: Random) -> Hashable | None:
    return _drawn(ways[rng.choice(sorted(ways, key=sorted))], rng) if ways else None


def _drawn(ends: dict[Hashable, float], rng: Random) -> Hashable | None:
    return rng.choices(list(ends), list(ends.values()))[0] if ends else None


def foretold(case: Case, rules: Sequence[OtherStep]) -> tuple[float, float]:
    """How much of the hidden error's answers to unseen questions is foretold.

    Returns:
        The share that the best of some rules foretells, and that all of them together do.
    """
    told = [0.0] * len(rules)
    together = 0.0
    for text in case.unseen:
        mine = _alone(case.task, text)[case.pattern]
        led = led_to(read_problem(text, case.task), "real", rules=rules)
        for ending, weight in mine.items():
            share = weight / sum(mine.values())
            together += share * (ending in led)
            hits = [share * (rule in led.get(ending, ())) for rule in rules]
            told = [before + hit for before, hit in zip(told, hits, strict=True)]
    return max(told, default=0.0) / len(case.unseen), together / len(case.unseen)


def reachable(case: Case) -> tuple[float, OtherStep | None]:
    """The rule that best foretells the answers to the questions asked, and how much of them."""
    told: dict[OtherStep, float] = defaultdict(float)
    for asked in case.questions:
        mine = _alone(case.task, asked.problem)[case.pattern]
        ends = led_to(read_problem(asked.problem, case.task), "real", wanted=mine)
        for ending, weight in mine.items():
            for rule in ends.get(ending, ()):
                told[rule] += weight / sum(mine.values())
    if not told:
        return 0.0, None
    rule, count = min(told.items(), key=lambda pair: (-round(pair[1], 6), pair[0].symbols, pair[0]))
    return count / len(case.questions), rule


def made_by(case: Case) -> str:
    """What kind of step the hidden error does wrongly."""
    kinds = set()
    for plan in plans(read_problem(case.questions[0].problem, case.task)):
        for step in Walk().through(plan.procedure, plan.start).log:
            wrong = faulty_outcomes(
                step, lambda *there: [one for one in moves(*there) if one.fault.id == case.pattern]
            )
            if not wrong:
                continue
            if step.operation in OPERATIONS.values():
                kinds.add("expression")
            elif standings_at(step) and {type(one) for one in wrong} == {type(step.result)}:
                kinds.add("number")
    return min(kinds, default="another shape of result")


def searched(case: Case, rate: float = HIDDEN) -> list[Proposal]:
    """What is proposed for a class that makes the hidden error at a rate."""
    hidden = hidden_with(case) if rate else set()
    given = answers_of(case, hidden, rate, Random(f"{case.pattern} {case.task}"))
    return proposals(asked_of(case, hidden, given))


def told(case: Case) -> tuple[str, str]:
    """Search for one hidden error.

    Returns:
        `found`, `found by several rules`, `not told apart from noise` where a rule would do but was
        not proposed, or `no rule does it`; and a line that says more.
    """
    made = searched(case)
    share, together = foretold(case, [one.rule for one in made])
    could, rule = reachable(case) if share < ENOUGH else (1.0, None)
    if share >= ENOUGH:
        verdict = "found"
    elif together >= ENOUGH:
        verdict = "found by several rules"
    else:
        verdict = "a rule was missed" if could >= ENOUGH else "no rule does it"
    best = "" if rule is None else f"best rule {could:.2f}: {rule}"
    first = [f"{one.rule} ({one.answers}, {one.by_noise:.3f})" for one in made[:3]]
    return verdict, f"{share:.2f}; {best}; proposed {' and '.join(first) or 'nothing'}"


def leave_one_out(wanted: Sequence[tuple[Pattern, str]], kept: Path | None) -> None:
    """Print for each error whether it is found, and then how many are, by kind and skill."""
    lines = kept.read_text("utf-8").splitlines() if kept and kept.exists() else []
    done = {tuple(line.split(" | ")[3:5]) for line in lines}
    for pattern, task in wanted:
        if (pattern.id, task) in done:
            continue
        case = case_of(pattern, task)
        kind, verdict, more = "-", "too few questions", ""
        if case is not None:
            kind, (verdict, more) = made_by(case), told(case)
        lines.append(" | ".join((verdict, kind, pattern.skill, pattern.id, task, more)))
        print(lines[-1], flush=True)
        if kept:
            kept.write_text("\n".join(lines) + "\n", "utf-8")
    rows = [line.split(" | ") for line in lines]
    for kind in sorted({row[1] for row in rows} - {"-"}):
        for skill in ("", *sorted({row[2] for row in rows if row[1] == kind})):
            some = Counter(row[0] for row in rows if row[1] == kind and skill in ("", row[2]))
            print(f"{kind}, {skill or 'all skills'}: {some['found']} of {some.total()} found; "
                  f"{dict(some)}")  # fmt: skip


def noise(first: int, last: int) -> int:
    """Draw classes without an unknown error; 1 where more than one in twenty has a proposal."""
    able = [(one, task) for one in catalogue() if not one.general for task in one.tasks]
    with_proposal = 0
    for place in range(first, last + 1):
        drawn = Random(f"noise {place}")
        case = None
        while case is None:
            case = case_of(*drawn.choice(able))
        made = searched(case, rate=0.0)
        with_proposal += bool(made)
        proposed = [f"{one.rule} ({one.answers})" for one in made]
        print(f"{place} {case.task} {case.questions[0].problem}: {proposed}", flush=True)
    print(f"{with_proposal} of {last - first + 1} classes without an unknown error have a proposal")
    return int(with_proposal > LEVEL * (last - first + 1))


def published() -> int:
    """Print what explains several of the published wrong answers that the catalogue has not."""
    told: dict[tuple[str, OtherStep], list[str]] = defaultdict(list)
    for row in rows():
        if row["pattern"] or row["task"] not in TASKS:
            continue
        try:
            problem = read_problem(row["problem"], row["task"])
            values = [one.value for one in read_answer(row["answer"], problem.context).readings]
            wanted = {ending for one in values if (ending := comparable_value(one)) is not None}
            for rules in led_to(problem, "real", wanted=wanted).values():
                for rule in rules:
                    told[row["task"], rule].append(f"{row['problem']}: {row['answer']}")
        except UnreadableProblem:
            continue
    several = [(key, some) for key, some in told.items() if len(set(some)) > 1]
    for (task, rule), some in sorted(several, key=lambda pair: (-len(pair[1]), pair[0][1].symbols)):
        print(f"{len(some)} | {task} | {rule} | {'; '.join(sorted(set(some)))}")
    return 0


def main(arguments: list[str]) -> int:
    """Run what is asked for; see the module's sentence."""
    if arguments[:1] == ["noise"]:
        return noise(int(arguments[1]), int(arguments[2]))
    if arguments == ["published"]:
        return published()
    kept = Path(arguments[-1]) if arguments[-2:-1] == ["in"] else None
    arguments = arguments[:-2] if kept else arguments
    wanted = [(one, task) for one in catalogue() if not one.general for task in one.tasks]
    if arguments[:1] == ["sample"]:
        wanted = Random("sample").sample(wanted, int(arguments[1]))
    elif arguments:
        wanted = [(one, task) for one, task in wanted if {one.id, task, one.skill} & {*arguments}]
    leave_one_out(wanted, kept)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

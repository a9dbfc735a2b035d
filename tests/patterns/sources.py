"""How strong the source of a pattern is, told from what its declaration cites.

A source is one or more works, strongest first, parted by semicolons, each with a remark in
brackets where one is due: `(kind of error)` or `(related: ...)` where the work names no more than
that, `(from memory)` where nobody here has its page before them.
"""

from __future__ import annotations

import re
from enum import Enum


class Strength(Enum):
    """How well a pattern is described, strongest first; the text heads its group on the page."""

    STUDY = "published study or collection"
    TEXTBOOK = "textbook or examiners' report"
    TEACHERS = "teachers' lists and pages"
    NEAR = "its kind or a related error is published"
    PRACTICE = "common practice"
    MEMORY = "from memory"


WORKS = {
    Strength.STUDY: {
        "Anderson 1982": "A. G. Anderson, 200 students of grades 9 and 10",
        "Ashlock 2006": "R. B. Ashlock, Error Patterns in Computation",
        "Ayres 2001": "expanding brackets",
        "Booth et al. 2014": "565 students of Algebra I",
        "Brown and Burton 1978": "1,300 students, subtraction",
        "Brown and Quinn 2006": "fractions",
        "Burns 2014": "A. Burns, parabolas",
        "Cangelosi et al. 2013": "negative signs and powers",
        "Capraro and Joffrion 2006": "words into equations",
        "Clement 1982": "150 freshman engineers, words into equations",
        "Clement, Lochhead and Monk 1981": "words into equations",
        "Demby 1997": "simplifying expressions",
        "Denbel": "D. G. Denbel, inequalities",
        "Didis and Erbas 2015": "Educational Sciences: Theory & Practice 15(4), 1137-1150",
        "Didis, Bas and Erbas 2011": "113 students, quadratic equations",
        "El-khateeb 2016": "students of a preparatory year, inequalities",
        "Farah 1993": "powers; as quoted by Otero, Druga and Lan 2024",
        "Figueras, Males and Otten 2008": "rational expressions",
        "Gumpo 2014": "L. Gumpo, simplifying expressions",
        "Hall 2002": "R. D. G. Hall, Philosophy of Mathematics Education Journal 15",
        "Hart 1981": "proportions",
        "Kieran 1984": "solving equations",
        "Kontorovich 2016": "square roots",
        "Kontorovich 2018": "roots of negative numbers",
        "Kotsopoulos 2007": "D. Kotsopoulos, Australian Mathematics Teacher 63(2), 19-24",
        "Kuchemann 1981": "meanings of letters",
        "Larino 2018": "L. B. Larino, 85 students, linear equations",
        "Lee and Star": 'K. Lee, J. R. Star, The "Insertion" Error in Solving Linear Equations',
        "Linchevski and Herscovics 1996": "terms detached from their signs",
        "Linchevski and Livneh 1999": "order of operations",
        "Makgakga 2023": "completing the square",
        "Makonye and Nhlanhla 2014": "22 learners, equations by factoring",
        "Makonye and Shingirayi 2014": "quadratic inequalities",
        "Matz 1980": "M. Matz, Journal of Mathematical Behavior 3",
        "Nordlander and Nordlander 2012": "complex numbers",
        "Otero, Druga and Lan 2024": "labelled examples, `tests/cases/published_wrong_answers.csv`",
        "Payne and Squibb 1990": "Cognitive Science 14(3), 445-481",
        "Pinchback 1991": "squares of differences",
        "Pournara et al. 2016": "250 learners followed from grade 9 to 11",
        "Reid O'Connor and Norton 2022": "25 students of year 11, quadratic equations",
        "Roach, Gibson and Weber 2004": "the root sign",
        "Ruhl, Belward and Balatti 2011": "95 undergraduates, rational expressions",
        "Slavit 2006": "powers; as quoted by Otero, Druga and Lan 2024",
        "Sleeman 1984": "Cognitive Science 8, 387-412",
        "Tall, Lima and Healy 2014": "Journal of Mathematical Behavior",
        "Theba, Pournara and Takker 2024": "58 learners, brackets after a minus",
        "Tourniaire and Pulos 1985": "proportions",
        "Tsamir and Almog 2001": "quadratic inequalities",
        "Tsamir and Bazzini": "inequalities",
        "Vaiyavutjamai and Clements 2006": "Mathematics Education Research Journal 18(1), 47-77",
        "Vlassis 2004": "negative numbers",
        "Vlassis 2008": "negative solutions",
        "Zakaria, Ibrahim and Maat 2010": "30 students, quadratic equations",
        "Zaslavsky 1997": "parabolas",
        "a case study of ten Year 11 students": "quadratic equations",
    },
    Strength.TEXTBOOK: {
        "Mid-Atlantic Center and University of Georgia 2005": "Situation 45: Zero-Product Property",
        "OpenStax College Algebra 2e": "J. Abramson and others, Rice University",
        "OpenStax Elementary Algebra 2e": "L. Marecek and others, Rice University",
        "OpenStax Intermediate Algebra 2e": "L. Marecek and others, Rice University",
        "OpenStax Prealgebra 2e": "L. Marecek and others, Rice University",
        "South African examiners' comments, November 2024": "on the school-leaving paper",
    },
    Strength.TEACHERS: {
        "Dawkins 2006": "P. Dawkins, Common Math Errors",
        "Mathematics Educators question 1040": "a question-and-answer site",
        "Mathematics Educators question 14757": "a question-and-answer site",
        "Robinson 2013": "C. Robinson, 96 answers on powers",
        "Schechter 2006": "E. Schechter, The Most Common Errors in Undergraduate Mathematics",
        "Scofield 2003": "T. L. Scofield, Top Algebra Errors Made by Calculus Students",
        "a note kept in a web collection": "",
        "a public collection of student mistakes": "",
        "a public list of errors": "",
        "a public question page": "",
        "a public question page, 2015": "",
        "a teacher's blog, 2014": "",
        "a teacher's list of errors, 2015": "grades 9 and 10",
        "a teacher's page on one lesson": "",
        "an Algebra 1 coach's page on inequalities": "",
        "college algebra notes in a public repository": "",
        "fyimaths.org.au, a teacher's collection": "complex numbers multiplied and divided",
        "mathmistakes.org, a teacher's collection": "M. Pershan",
        "public study pages": "",
        "questions of teachers on the web": "",
    },
    Strength.PRACTICE: {"common practice": ""},
    Strength.MEMORY: {"from memory": ""},
}
"""What may be cited, in one spelling, by how strong it is, with author, title or subject."""

_CITED = re.compile(
    r"(?P<work>[^()]+?)(?P<section>(?<= 2e), \d+\.\d+)?(?: \((?P<remark>[^()]+)\))?"
)
_STRENGTHS = {work: strength for strength, works in WORKS.items() for work in works}
_ORDER = list(Strength)


def strength_of(source: str) -> Strength:
    """Return how strong the strongest of the works is that a source cites.

    Raises:
        ValueError: it cites what is not in `WORKS`, or a textbook without its section.
    """
    return min((_strength(part) for part in source.split("; ")), key=_ORDER.index)


def _strength(cited: str) -> Strength:
    parts = _CITED.fullmatch(cited)
    if parts is None or parts["work"] not in _STRENGTHS:
        raise ValueError(
            f"{cited!r} is no work of tests/patterns/sources.py in its spelling there; a new one"
            " goes into WORKS, with author, title or subject"
        )
    if parts["work"].startswith("OpenStax") and parts["section"] is None:
        raise ValueError(f"{cited!r} names no section")
    remark = parts["remark"] or ""
    if remark == "from memory":
        return Strength.MEMORY
    if remark == "kind of error" or remark.startswith("related: "):
        return Strength.NEAR
    return _STRENGTHS[parts["work"]]

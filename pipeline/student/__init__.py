"""One student's answers: shown to whoever must see them, or erased everywhere."""

from __future__ import annotations

from pipeline.student.forget import BEFORE_FORGETTING, Forgotten, forget_student
from pipeline.student.prove import Proof, prove_gone
from pipeline.student.show import STUDENT_PAGE, show_student

__all__ = [
    "BEFORE_FORGETTING",
    "STUDENT_PAGE",
    "Forgotten",
    "Proof",
    "forget_student",
    "prove_gone",
    "show_student",
]

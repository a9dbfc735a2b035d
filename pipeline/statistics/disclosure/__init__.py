"""What may be given to everyone: which figures to hide, and the proof that it is enough."""

from __future__ import annotations

from pipeline.statistics.disclosure.attack import Audit, audit, ranges
from pipeline.statistics.disclosure.complement import protect
from pipeline.statistics.disclosure.linked import Linked, Target, two_way

__all__ = ["Audit", "Linked", "Target", "audit", "protect", "ranges", "two_way"]

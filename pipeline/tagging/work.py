"""stub"""
from __future__ import annotations
def with_working(request, problem, used, found): return found

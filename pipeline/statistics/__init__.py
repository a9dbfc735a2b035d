"""Intervals, comparisons and shares: a frame in, a frame out."""

"""From what a student typed to exact values."""

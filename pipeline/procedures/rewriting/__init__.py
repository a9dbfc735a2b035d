"""Expression tasks worked on syntax trees that keep what was written."""

"""Solution procedures as functions over named operations, and the walk over their faults."""

"""Tasks: each is declared in one file, what its problems look like, how it is worked and read."""

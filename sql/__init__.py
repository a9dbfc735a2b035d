"""The database as one SELECT per file: the path of a file is the name of its table."""

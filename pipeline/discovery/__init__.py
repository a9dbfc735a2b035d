"""Wrong rules that nobody has named yet, found in the answers that nothing explains."""

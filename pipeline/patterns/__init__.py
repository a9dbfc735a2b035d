"""The catalogue of error patterns."""

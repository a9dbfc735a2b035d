"""The course folder: questions, calendar, settings."""

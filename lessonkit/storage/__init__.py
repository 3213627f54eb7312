"""Lessons to JSON files and back: strict reading, safe writing, one pure step for each version."""

"""Lessons as immutable values, edits as functions from lesson to lesson, notes with live music words, and undo."""

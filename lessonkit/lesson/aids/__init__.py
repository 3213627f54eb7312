"""The aids that a page can carry beside drills and words: one file an aid, found by its name."""

"""Where the hand changes a lesson: writing on the page, the strip of keys, the shelf of what can be put in."""

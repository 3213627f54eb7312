"""Fingers, reach and difficulty in the window: judged after painting, shown beside the page, changed in one tap."""

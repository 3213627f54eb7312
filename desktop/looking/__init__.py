"""Ways to find something in the lesson: words in its notes, a place on its pages."""

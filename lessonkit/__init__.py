"""The engine of the lesson notebook: theory, drills, lessons, pages. It knows no window and never imports Qt."""

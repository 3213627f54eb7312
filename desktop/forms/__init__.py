"""Forms beside the page, generated from what a drill family declares. A form shows values and reports wishes."""

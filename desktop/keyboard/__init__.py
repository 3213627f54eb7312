"""The keyboard along the bottom edge: the keys of the selected drill, moment by moment."""

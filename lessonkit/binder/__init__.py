"""Binders: a term's lessons bound into one PDF, with contents, running page numbers and an index."""

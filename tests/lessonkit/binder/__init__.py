"""Tests of binders."""

"""Tests of terms and curriculum."""

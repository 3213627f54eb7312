"""Hands at the keyboard: geometry in millimetres, fingering, reach and difficulty. Imports theory only."""

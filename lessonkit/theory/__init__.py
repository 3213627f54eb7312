"""Spelled music theory: pitches, intervals, keys, scales, chords, degrees, progressions, voicings. Imports nothing of ours."""

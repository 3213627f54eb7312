"""Spelled theory: pitches, keys, scales, chords, degrees, progressions, voicings. Imports nothing else of ours."""

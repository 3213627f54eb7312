"""The few shapes a page is made of, the one text ruler and the music glyphs. Imports nothing of ours."""

"""Painting with Qt: finished shapes onto the screen. Nothing here decides where anything goes."""

"""For those who translate the window: texts out of the code into a file of translations, and what Qt reads of it."""

"""The window. It shows a lesson and reports wishes; open_lesson.py is the one door through which it changes one."""

"""Help as a part of the window: what can be done and by which keys, what each drill is for, and what is new."""

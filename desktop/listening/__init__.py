"""Sound in the window: drills played and followed on the page, by ear, as files; played in from a keyboard."""

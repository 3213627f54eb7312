"""The terms room: weeks with their lessons, what they cover, how hard they are. Fetched when it is first entered."""

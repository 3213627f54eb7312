"""The students room: who there is, how they stand, what they were given. It never changes a lesson."""

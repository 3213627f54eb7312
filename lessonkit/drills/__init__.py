"""What a drill family is, its settings, and the exercise that it builds."""

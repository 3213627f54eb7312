"""From an exercise to drawings of its systems, through MEI and verovio."""

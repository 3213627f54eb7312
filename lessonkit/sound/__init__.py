"""What is heard: an exercise as it is played, as MIDI, as sampled piano, as files for the student."""

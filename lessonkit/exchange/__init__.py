"""Music from elsewhere: excerpts in MusicXML and ABC read into the teacher's own phrases and charts."""

"""One file a drill family. A new file here is found, shown, stored, tested and printed with no other change."""

"""Pages and single drills as pictures: SVG and PNG."""
